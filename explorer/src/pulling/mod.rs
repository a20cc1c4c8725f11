//! From a pull until failure to its table and its pictures.

mod curve;
mod film;
mod maps;
mod shown;
mod table;

pub use curve::{curve, marks};
pub use film::film;
pub use maps::{maps, unloaded};
pub use table::csv;
