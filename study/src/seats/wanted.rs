//! Which places of two loads are worth knowing.

use super::place::{PlaceName, RestName};
use solver::rig::Rig;
use solver::seats::{Rest, Seating};

/// At most this many stable rests are judged.
const MOST_RESTS: usize = 4;
/// A place closer than this to another in both offsets is the same place, mm.
const SAME_MM: f64 = 0.6;

/// A place to be judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Wanted {
    /// What it is.
    pub name: PlaceName,
    /// Offset of the upper load, mm, positive toward the gate.
    pub upper_mm: f64,
    /// Offset of the lower load, mm.
    pub lower_mm: f64,
    /// Part of all starting places from which the loads run there; stable rests only.
    pub share_of_starting_places: Option<f64>,
}

impl Wanted {
    /// Whether it is as good as the place at these offsets, mm.
    pub fn is_at(&self, upper_mm: f64, lower_mm: f64) -> bool {
        (self.upper_mm - upper_mm).abs() < SAME_MM && (self.lower_mm - lower_mm).abs() < SAME_MM
    }
}

/// The stable rests that draw from farthest, then the place of the rig, the middle, and both ends, each place once.
pub(crate) fn wanted(seating: &Seating, rests: &[Rest], rig: &Rig) -> Vec<Wanted> {
    let (upper, lower) = (seating.upper.range(), seating.lower.range());
    let mut all: Vec<Wanted> = rests
        .iter()
        .take(MOST_RESTS)
        .map(|r| Wanted {
            name: PlaceName::Rest(RestName::of(r.upper_mm, r.lower_mm, upper, lower)),
            upper_mm: r.upper_mm,
            lower_mm: r.lower_mm,
            share_of_starting_places: Some(r.share_of_starting_places),
        })
        .collect();
    // A rest beside the middle may have its name.
    let exactly = all.iter().any(|w| w.name == PlaceName::Rest(RestName::MIDDLE));
    let middle = |range: (f64, f64)| 0.0_f64.clamp(range.0, range.1);
    let others = [
        (PlaceName::AsInTheModel, rig.upper.offset_mm(), rig.lower.offset_mm()),
        (PlaceName::InTheMiddle { exactly }, middle(upper), middle(lower)),
        (PlaceName::NearestToTheGate, upper.1, lower.1),
        (PlaceName::NearestToTheSpine, upper.0, lower.0),
    ];
    for (name, upper_mm, lower_mm) in others {
        if !all.iter().any(|w| w.is_at(upper_mm, lower_mm)) {
            all.push(Wanted { name, upper_mm, lower_mm, share_of_starting_places: None });
        }
    }
    all
}
