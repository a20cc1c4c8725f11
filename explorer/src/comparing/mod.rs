//! Variants of a connector side by side: models found, and the picture. What a comparison is stands in
//! `study::compare`, its words in `report::compare`.
//!
//! `request` finds the models and solves the variants, `picture` fills the picture, `weakest` is the place that it rings.

mod mistake;
mod picture;
mod request;
mod weakest;

pub use mistake::CompareError;
pub use picture::comparison;
pub use request::{Asked, Compared, compute, compute_all, lone, requested};
pub use weakest::weakest;
