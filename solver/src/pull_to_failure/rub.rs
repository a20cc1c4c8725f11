//! Friction between nose pin and flank: what keeps a pin from sliding out, as far as the coefficient goes.
//!
//! A pin that moves into the notch is free to; from the deepest place where it has been it is held back by a stiff spring that gives way at
//! the coefficient times the pressing force. A pin that something else keeps where it stands is held both ways.

use super::face::Facing;

/// A pin that has moved out by this much is held with half of what friction can, mm.
const HALF_MM: f64 = 1e-3;
/// A pin that has moved out by this much slips, mm: the place from which it is held goes along.
const SLIPS_MM: f64 = 1e-2;
/// What keeps a pin from moving in holds with this, N/mm.
const BLOCKED: f64 = 1e5;

/// Friction at the flank.
#[derive(Clone, Debug)]
pub(super) struct Rub {
    /// The point of the flank that the pin is watched from.
    pub facing: Facing,
    /// A second point of the flank, nearer to the mouth: the two tell its direction.
    pub toward_mouth: Facing,
    /// Coefficient.
    pub friction: f64,
    /// Whether the pin is kept from moving in as well.
    pub both_ways: bool,
    /// Whether friction alone keeps the pin in: its force then goes by what presses now, at the price of more iterations; otherwise by what
    /// pressed in the last step.
    pub holds: bool,
}

/// Friction now.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Rubbing {
    /// How far the pin stands toward the mouth from the flank's point, mm.
    pub out_mm: f64,
    /// Direction of the flank, toward the mouth.
    pub direction: [f64; 2],
    /// Force that holds the pin back, N.
    pub force: f64,
    /// Its derivative by the way out, N/mm.
    pub stiffness: f64,
}

impl Rub {
    /// Friction of a pin at `out_mm` that was last held at `anchor_mm`, pressed with `press_n`. It sets in without a step.
    pub fn at(&self, out_mm: f64, direction: [f64; 2], anchor_mm: f64, press_n: f64) -> Rubbing {
        let moved = out_mm - anchor_mm;
        let most = self.friction * press_n;
        let part = moved / HALF_MM;
        let (force, stiffness) = if moved > 0.0 {
            let under = 1.0 + part * part;
            (most * part * part / under, most * 2.0 * part / (HALF_MM * under * under))
        } else if self.both_ways {
            (BLOCKED * HALF_MM * (part - part.tanh()), BLOCKED * part.tanh().powi(2))
        } else {
            (0.0, 0.0)
        };
        Rubbing { out_mm, direction, force, stiffness }
    }

    /// Where the pin is held from after a step.
    pub fn anchor_after(&self, rubbing: &Rubbing, anchor_mm: f64) -> f64 {
        let slipped = anchor_mm.max(rubbing.out_mm - SLIPS_MM);
        if self.both_ways { slipped } else { slipped.min(rubbing.out_mm) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rub(both_ways: bool) -> Rub {
        let facing = Facing { nodes: [0; 3], shape: [0.0; 3], length_mm: 1.0, at: [0.0; 2], inset_mm: 0.0 };
        Rub { facing, toward_mouth: facing, friction: 0.2, both_ways, holds: false }
    }

    #[test]
    fn a_pin_is_held_up_to_the_coefficient_and_then_slips() {
        let rub = rub(false);
        let at = |out: f64, anchor: f64| rub.at(out, [-1.0, 0.0], anchor, 1000.0);
        assert_eq!(at(-0.1, 0.0).force, 0.0);
        assert!((at(1e-3, 0.0).force - 100.0).abs() < 1e-9);
        let slips = at(0.1, 0.0);
        assert!((slips.force / 200.0 - 1.0).abs() < 1e-3, "{slips:?}");
        // It moves in freely and is held from there; after a slip, from nearly where it came to.
        assert!((rub.anchor_after(&at(-0.1, 0.0), 0.0) + 0.1).abs() < 1e-12);
        let anchor = rub.anchor_after(&slips, 0.0);
        assert!((at(0.1, anchor).force / 200.0 - 1.0).abs() < 0.011);
        // Stiffness is the force's derivative.
        for out in [3e-4, 2e-3, 0.02] {
            let slope = (at(out + 1e-8, 0.0).force - at(out - 1e-8, 0.0).force) / 2e-8;
            assert!((at(out, 0.0).stiffness / slope - 1.0).abs() < 1e-4, "{out}");
        }
    }

    #[test]
    fn a_pin_that_is_kept_where_it_stands_does_not_move_in() {
        let rub = rub(true);
        let inward = rub.at(-0.02, [-1.0, 0.0], 0.0, 1000.0);
        assert!(inward.force < -1800.0, "{inward:?}");
        assert_eq!(rub.anchor_after(&inward, 0.0), 0.0);
    }
}
