//! From what one step of each key does to the picture of it.

mod picture;

pub use picture::picture;
