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
pub use hinges::{CANTILEVER, FRAME, RING};
pub use point::POINT;
pub use sections::{BENDING, BENDING_AND_PULL, SHAPE_FACTORS};
pub use strips::{DOUBLE_NOTCH, STRIP_WITH_HOLE};

use crate::problem::Problem;

/// All problems of yielding step by step, in a fixed order.
#[must_use]
pub fn elastic_plastic() -> Vec<Problem> {
    vec![
        POINT,
        BENDING,
        SHAPE_FACTORS,
        BENDING_AND_PULL,
        CANTILEVER,
        RING,
        FRAME,
        STRIP_WITH_HOLE,
        DOUBLE_NOTCH,
        CYLINDER,
        ELASTICA,
        CIRCLE,
    ]
}
