//! From a pull until failure to its table and its pictures.

mod curve;
mod table;

pub use curve::curve;
pub use table::csv;
