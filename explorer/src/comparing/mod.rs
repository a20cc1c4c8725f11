//! Variants of a connector side by side: what was asked for, each of them solved, what differs in words, numbers and a
//! picture.
//!
//! `request` turns what was typed into variants, whose mistakes are types of `study::compare`, `cases` solves them (one that cannot be computed is left out with its
//! reason), `words` tells the difference, `report` is the JSON, `picture` the data of the picture, `weakest` the place that it
//! rings.

mod cases;
mod mistake;
mod picture;
mod report;
mod request;
mod weakest;
mod words;

pub use cases::{Case, Compared, LeftOut, compute};
pub use mistake::CompareError;
pub use picture::{comparison, rigs, subtitle};
pub use report::{FORMAT, Report, plain};
pub use request::{VariantRequest, requested};
pub use weakest::weakest;
pub use words::difference;
