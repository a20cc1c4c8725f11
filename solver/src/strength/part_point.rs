//! Where on a connector a part lies that fails, as far as one point can say so.

use super::failure_mode::FailureMode;
use crate::response::PullAxis;
use crate::rig::RigEnd;
use geometry::connector::Pin;
use geometry::curve::Point;
use geometry::outline::Outline;

/// The middle of a part, mm: of a strap the centre of its load on `axis`, of all others a point on `outline`. The frame has
/// none of its own, so it lies where it `tears`, or at the nose pin where nothing says so.
#[must_use]
pub fn part_point(mode: FailureMode, outline: &Outline, axis: &PullAxis, tears: Option<Point>) -> Point {
    let seats = &outline.seats;
    let (nose, hinge) = (seats.nose_pin.centre, seats.hinge_pin.centre);
    match mode {
        FailureMode::Strap(RigEnd::Upper) => axis.upper,
        FailureMode::Strap(RigEnd::Lower) => axis.lower,
        FailureMode::NoseRoot => outline.frame_stations[3].centroid,
        FailureMode::FrameYields | FailureMode::FrameBends | FailureMode::FrameOpens => tears.unwrap_or(nose),
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
