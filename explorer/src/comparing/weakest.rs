//! Where on the connector the part lies that fails first: comparisons and stills ring the same place.

use super::cases::Case;
use geometry::curve::Point;
use report::failure_modes;
use report::numbers::kilonewtons;
use solver::rig::RigEnd;
use solver::strength::{FailureMode, Limits, Pin};
use viz::Weakest;

/// The part that fails first, with its place and its load.
#[must_use]
pub fn weakest(case: &Case) -> Weakest {
    let Limits { fails_first, fails_at_kn, .. } = &case.limits;
    let part = failure_modes::part(*fails_first).to_owned();
    let load = kilonewtons(*fails_at_kn).replace(' ', "\u{a0}");
    Weakest { at: place(case), part, load, does: report::pictures::FAILS_FIRST.to_owned() }
}

/// The middle of the part that fails first.
fn place(case: &Case) -> Point {
    let system = &case.solved.system;
    let seats = &system.outline.seats;
    let (nose, hinge) = (seats.nose_pin.centre, seats.hinge_pin.centre);
    match case.limits.fails_first {
        FailureMode::Strap(RigEnd::Upper) => case.solved.response.axis.upper,
        FailureMode::Strap(RigEnd::Lower) => case.solved.response.axis.lower,
        FailureMode::NoseRoot => system.outline.frame_stations[3].centroid,
        FailureMode::FrameYields | FailureMode::FrameBends | FailureMode::FrameOpens => {
            case.limits.tears_point_mm.unwrap_or(nose)
        }
        FailureMode::Pin(Pin::Hinge, _) | FailureMode::Gate(Pin::Hinge, _) | FailureMode::HingeLug(_) => {
            hinge
        }
        FailureMode::Lip | FailureMode::Flank => {
            let notch = &seats.notch;
            [0, 1].map(|k| notch.end.centre[k] - notch.end.radius * notch.from_lip[k])
        }
        FailureMode::RidesOut
        | FailureMode::NoseHead
        | FailureMode::BehindNotch
        | FailureMode::Pin(Pin::Nose, _)
        | FailureMode::Gate(Pin::Nose, _) => nose,
    }
}
