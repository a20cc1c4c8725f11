//! The picture of the places where loads come to rest.

mod picture;

pub use picture::picture;
