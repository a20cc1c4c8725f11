//! A comparison: variants of a connector side by side, each solved as it would be alone.
//!
//! `asked` turns models, or one model and the values of a key, into [`VariantRequest`]s; [`solve`] solves them at the same time and
//! keeps their order; [`Compared`] tells what is to be known about all of them: their notes, what was changed in each, which of
//! them is farthest from the first. What is wrong comes as types: in what was asked for as [`CompareMistake`], of a variant that is
//! left out as [`Why`].
//!
//! Where models come from is the caller's business: one that is not to be had is refused by an error of the caller, which comes
//! back as it is.

mod asked;
mod compared;
mod mistake;
mod notes;
mod solve;
mod variant;

pub use asked::{Asked, asked};
pub use compared::Compared;
pub use mistake::{COUNT, CompareMistake};
pub use notes::NoteOf;
pub use solve::{TooFew, solve};
pub use variant::{LeftOut, SolvedVariant, VariantName, VariantRequest, Why};
