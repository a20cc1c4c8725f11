//! The pin riding out of the notch: the nose turns as the frame opens, until the flank no longer holds the pin.
//!
//! Seated, the pin line leans from the flank's normal by some angle, negative into the notch. The nose's turn adds to it.
//! Past the friction angle the pin slides; as it slides, the line leans back by slide over gate length. It leaves when the
//! line still leans past the friction angle with the pin at the mouth.
//!
//! A pin that is still held where the frame opens has no such limit: beyond, an elastic solution says nothing. How much of
//! the turn is used up there is among the inputs.
//!
//! Left out: yielding, which turns the nose further.

use super::formula::{Input, Quantity, input};
use super::load_path::{LoadPath, Sample};
use crate::response::{RigError, corner_turn, lean};
use crate::system::System;

/// Force from which on a pin counts as pressed, N.
const PRESSED_N: f64 = 1.0;

/// When the pin leaves its notch; absent loads lie beyond the one that opens the frame.
#[derive(Clone, Debug, PartialEq)]
pub struct RidingOut {
    /// Load at which the pin begins to slide, kN.
    pub slides_at_kn: Option<f64>,
    /// Load at which it leaves, kN.
    pub leaves_at_kn: Option<f64>,
    /// What went in.
    pub inputs: Vec<Input>,
}

/// Turn that the notch still holds: friction angle less lean, and, where the pin has `left_mm` to slide, what the line of
/// length `line_mm` leans back on the way, rad.
#[must_use]
pub fn turn_to_leave(friction: f64, lean: f64, left_mm: f64, line_mm: f64) -> f64 {
    friction.atan() - lean + left_mm.max(0.0) / line_mm
}

/// How the pin lies in its notch before the pull.
struct Seated {
    /// Lean of the pin line from the normal that holds it, rad; on the lip's corner the normal is turned toward the mouth.
    lean: f64,
    /// Pin centre inside the mouth, mm.
    inside_mm: f64,
    /// Distance of the pins, mm.
    line_mm: f64,
}

impl Seated {
    fn new(system: &System) -> Self {
        let seats = &system.outline.seats;
        let (nose, hinge) = (seats.nose_pin.centre, seats.hinge_pin.centre);
        Self {
            lean: lean(seats, system.outline.lip_on) + corner_turn(seats),
            inside_mm: seats.pin_inside_mouth_mm(),
            line_mm: (nose[0] - hinge[0]).hypot(nose[1] - hinge[1]),
        }
    }

    /// Turn that lets the pin out, rad.
    fn to_leave(&self, friction: f64) -> f64 {
        turn_to_leave(friction, self.lean, self.inside_mm, self.line_mm)
    }

    /// Turn at a load, rad: what the elastic motion has used up of the way to the mouth counts as turn.
    fn used(&self, sample: &Sample) -> f64 {
        sample.turn + sample.slide_mm / self.line_mm
    }
}

/// Riding out on a load path that is solved up to `up_to_kn`, where the frame opens.
///
/// # Errors
/// [`RigError`].
pub fn riding_out(
    system: &System,
    friction: f64,
    path: &mut LoadPath<'_, '_>,
    up_to_kn: f64,
) -> Result<RidingOut, RigError> {
    let seated = Seated::new(system);
    let to_slide = turn_to_leave(friction, seated.lean, 0.0, seated.line_mm);
    let to_leave = seated.to_leave(friction);
    let slides_at_kn = reached(path, to_slide, up_to_kn, &|s| s.turn)?;
    let leaves_at_kn = reached(path, to_leave, up_to_kn, &|s| seated.used(s))?;
    let mut inputs = vec![
        input(Quantity::LeanTowardMouth, seated.lean.to_degrees(), "deg"),
        input(Quantity::FrictionAngle, friction.atan().to_degrees(), "deg"),
        input(Quantity::PinInsideMouth, seated.inside_mm, "mm"),
        input(Quantity::PinDistance, seated.line_mm, "mm"),
        input(Quantity::TurnToLeave, to_leave.to_degrees(), "deg"),
        input(Quantity::TurnWhereFrameOpens, seated.used(&path.solve(up_to_kn)?).to_degrees(), "deg"),
    ];
    if let Some(kn) = slides_at_kn {
        inputs.push(input(Quantity::SlidesFrom, kn, "kN"));
    }
    Ok(RidingOut { slides_at_kn, leaves_at_kn, inputs })
}

/// Load at which `of` has reached `wanted` and the pin is pressed, for one that nothing presses on yet neither slides nor rides
/// out; `None` if that is not by `up_to_kn`.
fn reached(
    path: &mut LoadPath<'_, '_>,
    wanted: f64,
    up_to_kn: f64,
    of: &dyn Fn(&Sample) -> f64,
) -> Result<Option<f64>, RigError> {
    let end = path.solve(up_to_kn)?;
    if (wanted > 0.0 && of(&end) < wanted) || end.nose_n < PRESSED_N {
        return Ok(None);
    }
    let turned_kn = if wanted > 0.0 { path.load_at(wanted, of)? } else { None };
    match turned_kn {
        Some(kn) if path.solve(kn)?.nose_n >= PRESSED_N => Ok(Some(kn)),
        _ => path.load_at(PRESSED_N, &|s| s.nose_n),
    }
}

/// True when the elastic motion of a response has used up all of the turn that keeps the pin in its notch.
pub(super) fn has_ridden_out(system: &System, friction: f64, sample: &Sample) -> bool {
    let seated = Seated::new(system);
    sample.nose_n >= PRESSED_N && seated.used(sample) >= seated.to_leave(friction)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_deep_seat_bears_more_turn() {
        // Friction 0.2: 11.31 degrees; leaning 4 degrees inward: 15.31; 3 mm to slide on a line of 40: 4.30 more.
        let turn = |left| turn_to_leave(0.2, -4.0_f64.to_radians(), left, 40.0).to_degrees();
        assert!((turn(0.0) - 15.31).abs() < 0.01);
        assert!((turn(3.0) - 15.31 - 4.297).abs() < 0.01);
        // A centre outside the mouth has nothing left.
        assert!((turn(-1.0) - turn(0.0)).abs() < 1e-12);
    }
}
