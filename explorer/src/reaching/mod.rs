//! From what was found about a load to the picture of where it is held.

mod picture;

pub use picture::picture;
