//! Whether the notch holds the pin.
//!
//! A pin whose centre lies inside the mouth presses on the flank, along the flank's normal. One whose centre is still outside
//! touches nothing but the lip's corner: the normal then runs from the corner to the pin's centre and turns toward the mouth
//! the farther out the pin stands, by asin(distance outside / radius).

use crate::rig::GateState;
use crate::system::System;
use geometry::connector::{Connector, GatePlace, LipOn};
use geometry::outline::Seats;

/// A pin line that leans into the notch by less than this from the flank's normal has no seat to speak of: it takes
/// next to nothing to slide it along the flank, so friction is what keeps it, rad (engineering judgement: one degree).
const NEUTRAL: f64 = 0.0175;

/// A pin that this coefficient of friction holds stands square to the flank (engineering judgement).
const SQUARE: f64 = 0.02;

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
    /// The pin of a half-shut gate leans into the notch farther than friction holds. Pulled, it would slide home; it is taken to
    /// be kept where it stands by what keeps the gate from shutting. The angle from the flank's normal, radians, negative.
    Blocked(f64),
    /// The line leans toward the mouth farther than friction holds: the notch does not hold the pin. The angle from the
    /// flank's normal, radians, positive.
    NotHeld(f64),
}

/// Which way a pin leans that friction holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leans {
    /// Toward the mouth.
    Out,
    /// So little that a coefficient of 0.02 holds it: the line of the pins stands square to the flank.
    Neither,
    /// Into the notch.
    In,
}

impl Leans {
    /// Of a lean from the flank's normal, radians, positive toward the mouth.
    #[must_use]
    pub fn of(lean: f64) -> Self {
        match lean {
            small if small.tan().abs() <= SQUARE => Self::Neither,
            out if out > 0.0 => Self::Out,
            _ => Self::In,
        }
    }
}

impl Hold {
    /// True when the gate takes part.
    #[must_use]
    pub fn holds(self) -> bool {
        matches!(self, Self::Held | Self::ByFriction(_) | Self::Blocked(_))
    }

    /// True when something besides the notch keeps the pin from sliding along the flank.
    #[must_use]
    pub fn sticks(self) -> bool {
        matches!(self, Self::ByFriction(_) | Self::Blocked(_))
    }
}

/// How far the normal under the pin is turned from the flank's, toward the mouth, rad: zero on the flank, up to a quarter turn
/// on the lip's corner.
#[must_use]
pub fn corner_turn(seats: &Seats) -> f64 {
    let outside = -seats.pin_inside_mouth_mm();
    (outside / seats.nose_pin.radius).clamp(0.0, 1.0).asin()
}

/// Angle of the pin line from the flank's normal, toward the mouth, rad, before the pull.
#[must_use]
pub fn lean(seats: &Seats, lip_on: LipOn) -> f64 {
    // A pulled gate draws nose and hinge together: the force on the frame's notch points to the hinge, that on a gate's
    // notch away from it.
    let (from, to) = match lip_on {
        LipOn::Frame => (seats.nose_pin.centre, seats.hinge_pin.centre),
        LipOn::Gate => (seats.hinge_pin.centre, seats.nose_pin.centre),
    };
    let line = [to[0] - from[0], to[1] - from[1]];
    let notch = &seats.notch;
    let toward_mouth = line[0] * notch.to_mouth[0] + line[1] * notch.to_mouth[1];
    let into_lip = -(line[0] * notch.from_lip[0] + line[1] * notch.from_lip[1]);
    toward_mouth.atan2(into_lip)
}

/// The engaged depth at which friction begins to hold a half-shut gate's pin on the lip's corner, mm; `None` where it does
/// not even where the pin reaches the flank.
#[must_use]
pub fn held_from_mm(connector: &Connector, friction: f64) -> Option<f64> {
    let beyond = |engaged_mm: f64| {
        let seats = Seats::new(connector, GatePlace::Half { engaged_mm });
        lean(&seats, connector.nose.lip_on) + corner_turn(&seats) - friction.atan()
    };
    let (mut low, mut high) = (0.0, 0.5 * connector.nose.pin_diameter_mm);
    if beyond(high) > 0.0 {
        return None;
    }
    if beyond(low) <= 0.0 {
        return Some(0.0);
    }
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if beyond(middle) > 0.0 { low = middle } else { high = middle }
    }
    Some(high)
}

/// How the notch of a system holds its pin for a gate state and friction.
#[must_use]
pub fn hold(system: &System, gate: GateState, friction: f64) -> Hold {
    hold_of(&system.connector, &system.outline.seats, gate, friction)
}

/// How the notch of a drawn connector holds its pin, its seats as the gate stands.
#[must_use]
pub fn hold_of(connector: &Connector, seats: &Seats, gate: GateState, friction: f64) -> Hold {
    if gate == GateState::Open {
        return Hold::Open;
    }
    let nose = &connector.nose;
    let lean = lean(seats, nose.lip_on) + corner_turn(seats);
    let cone = friction.atan();
    // Engaged all the way it is shut: a pin that leans into the notch has nowhere to slide to.
    let full_mm = nose.notch_depth_mm - nose.pin_clearance_mm;
    let half = matches!(gate, GateState::Half { engaged_mm } if engaged_mm < full_mm - SHUT_MM);
    if !half && lean < -(NEUTRAL.min(cone)) {
        Hold::Held
    } else if lean.abs() <= cone {
        Hold::ByFriction(lean)
    } else if lean < 0.0 {
        Hold::Blocked(lean)
    } else {
        Hold::NotHeld(lean)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How the example's notch holds its pin on a flank that leans by `flank_deg`, half shut by `engaged_mm` or shut.
    fn held(flank_deg: f64, engaged_mm: Option<f64>, friction: f64) -> (Hold, f64) {
        let mut connector = Connector::example();
        connector.nose.flank_angle_deg = flank_deg;
        let (place, gate) = match engaged_mm {
            Some(engaged_mm) => (GatePlace::Half { engaged_mm }, GateState::Half { engaged_mm }),
            None => (GatePlace::Shut, GateState::Closed),
        };
        let seats = Seats::new(&connector, place);
        (hold_of(&connector, &seats, gate, friction), lean(&seats, connector.nose.lip_on))
    }

    #[test]
    fn a_pin_that_leans_into_the_notch_is_blocked_half_shut_and_seated_shut() {
        // On the flank, engaged by more than the pin's radius, nothing turns the normal.
        let (half, leans) = held(8.0, Some(3.0), 0.1);
        assert!(leans < -0.1_f64.atan(), "{leans}");
        assert_eq!(half, Hold::Blocked(leans));
        assert!(half.holds() && half.sticks());
        // More friction than it leans by holds it itself.
        assert_eq!(held(8.0, Some(3.0), 0.5).0, Hold::ByFriction(leans));
        assert!(Hold::ByFriction(leans).holds() && Hold::ByFriction(leans).sticks());
        // Shut, it has nowhere to slide to.
        assert_eq!(held(8.0, None, 0.1).0, Hold::Held);
        assert!(Hold::Held.holds() && !Hold::Held.sticks());
        // The same angle toward the mouth lets it go.
        let (out, leans) = held(-20.0, Some(3.0), 0.1);
        assert!(leans > 0.1_f64.atan(), "{leans}");
        assert_eq!(out, Hold::NotHeld(leans));
        assert!(!out.holds() && !out.sticks());
    }
}
