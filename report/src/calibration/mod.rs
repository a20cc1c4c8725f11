//! Calibrations in words and as JSON: what pulls have told of the constants of forecasts.

mod constants;
mod document;
mod kept;
mod left;
mod sentences;

pub use constants::{counts, name, value};
pub use document::Document;
pub use kept::{KeptDocument, kept};
pub use left::{Left, nothing_to_learn};
pub use sentences::{against, answer, headline, kept_as, not_kept, sentences, under_it};

/// A calibration with all that is to be told of it.
#[derive(Clone, Debug)]
pub struct Told<'a> {
    /// Its name.
    pub name: &'a str,
    /// What the pulls told.
    pub found: &'a study::calibrate::Calibrated,
    /// How many set-ups of model and rig there were.
    pub setups: usize,
    /// Pulls that were left out, by their numbers.
    pub left: &'a [(i64, Left)],
}
