//! Lots: taken from the logbook, and drawn.

mod picture;
mod taken;

pub use picture::{picture, sizes};
pub use taken::{from_logbook, hash};
