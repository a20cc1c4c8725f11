//! From the pulls of a logbook to what they tell of the constants of forecasts, and to the picture of it.

mod gathered;
mod kept;
mod picture;

pub use gathered::{Gathered, OfOneModel, gather};
pub use kept::{calibration_of, told};
pub use picture::picture;
