//! Metal on its way from first yield to the limit, and far beyond small motion: the steps of `solver::plastic` beside closed forms.

mod bends;
mod cylinder;
mod driven;
mod hinges;
mod point;
mod sections;
mod strips;

pub use bends::{CIRCLE, ELASTICA};
pub use cylinder::CYLINDER;
pub use hinges::{CANTILEVER, RING};
pub use point::POINT;
pub use sections::{BENDING, BENDING_AND_PULL};
pub use strips::STRIP_WITH_HOLE;

use crate::problem::Problem;

/// All problems of yielding step by step, in a fixed order.
#[must_use]
pub fn elastic_plastic() -> Vec<Problem> {
    vec![POINT, BENDING, BENDING_AND_PULL, CANTILEVER, RING, STRIP_WITH_HOLE, CYLINDER, ELASTICA, CIRCLE]
}
