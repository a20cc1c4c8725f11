//! Whether the notch holds the pin.

use crate::rig::GateState;
use crate::system::{Side, System};

/// A pin line that leans into the notch by less than this from the flank's normal has no seat to speak of: it takes
/// next to nothing to slide it along the flank, so friction is what keeps it, rad (engineering judgement: one degree).
const NEUTRAL: f64 = 0.0175;

/// A pin nearer than this to where it lies when the gate is shut is there, mm.
const SHUT_MM: f64 = 1e-3;

/// How the notch holds the pin when the gate is pulled along the line of its pins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hold {
    /// The gate is open and carries nothing.
    Open,
    /// The line of the pins lies inside the seating normals.
    Held,
    /// Friction at the flank is needed: the angle it holds, radians (its tangent is the coefficient needed).
    ByFriction(f64),
    /// The line lies outside the seating normals widened by friction: the notch does not hold the pin. The angle from the
    /// flank's normal toward the mouth, radians.
    NotHeld(f64),
}

impl Hold {
    /// True when the gate takes part.
    #[must_use]
    pub fn holds(self) -> bool {
        matches!(self, Self::Held | Self::ByFriction(_))
    }
}

/// How the notch of a system holds its pin for a gate state and friction.
#[must_use]
pub fn hold(system: &System, gate: GateState, friction: f64) -> Hold {
    if gate == GateState::Open {
        return Hold::Open;
    }
    let seats = &system.outline.seats;
    let surface = if system.nose_disc.0 == Side::Gate { Side::Frame } else { Side::Gate };
    // A pulled gate draws nose and hinge together: the force on the frame's notch points to the hinge, that on a gate's
    // notch away from it.
    let (from, to) = match surface {
        Side::Frame => (seats.nose_pin.centre, seats.hinge_pin.centre),
        Side::Gate => (seats.hinge_pin.centre, seats.nose_pin.centre),
    };
    let line = [to[0] - from[0], to[1] - from[1]];
    let notch = &seats.notch;
    let toward_mouth = line[0] * notch.to_mouth[0] + line[1] * notch.to_mouth[1];
    let into_lip = -(line[0] * notch.from_lip[0] + line[1] * notch.from_lip[1]);
    let lean = toward_mouth.atan2(into_lip);
    let cone = friction.atan();
    // Engaged all the way it is shut: a pin that leans into the notch has nowhere to slide to.
    let nose = &system.connector.nose;
    let full_mm = nose.notch_depth_mm - nose.pin_clearance_mm;
    let half = matches!(gate, GateState::Half { engaged_mm } if engaged_mm < full_mm - SHUT_MM);
    if lean <= -NEUTRAL && !half {
        Hold::Held
    } else if lean.abs() <= cone {
        Hold::ByFriction(lean)
    } else {
        Hold::NotHeld(lean)
    }
}
