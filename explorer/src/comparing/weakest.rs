//! Where on the connector the part lies that fails first: comparisons and stills ring the same place.

use report::failure_modes;
use report::numbers::kilonewtons;
use solver::strength::{Limits, part_point};
use study::compare::SolvedVariant;
use viz::Weakest;

/// The part that fails first, with its place and its load.
#[must_use]
pub fn weakest(variant: &SolvedVariant) -> Weakest {
    let Limits { fails_first, fails_at_kn, tears_point_mm, .. } = &variant.limits;
    let part = failure_modes::part(*fails_first).to_owned();
    let load = kilonewtons(*fails_at_kn).replace(' ', "\u{a0}");
    let axis = &variant.mapped.response.axis;
    let at = part_point(*fails_first, &variant.mapped.system.outline, axis, *tears_point_mm);
    Weakest { at, part, load, does: report::pictures::FAILS_FIRST.to_owned() }
}
