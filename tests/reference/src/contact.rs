//! The contact problems.

use crate::problem::Problem;
use crate::{hertz, neat_pin, pinned_lug, pulled_ring};

/// All contact problems, in a fixed order.
#[must_use]
pub fn contact() -> Vec<Problem> {
    vec![
        neat_pin::RIGID,
        neat_pin::ELASTIC,
        neat_pin::CLEARANCE,
        hertz::RIGID_ON_BLOCK,
        hertz::ELASTIC_ON_BLOCK,
        hertz::RIGID_IN_GROOVE,
        hertz::ELASTIC_IN_GROOVE,
        pulled_ring::PINS,
        pulled_ring::STRAPS,
        pinned_lug::PROBLEM,
    ]
}
