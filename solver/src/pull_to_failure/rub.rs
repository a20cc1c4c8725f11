//! Friction between nose pin and flank: what keeps a pin from sliding out, as far as the coefficient goes.
//!
//! A pin that moves into the notch is free to; from the deepest place where it has been it is held back by a stiff spring that gives way at
//! the coefficient times the pressing force. A pin that something else keeps where it stands is held both ways.

use super::face::{Facing, Pressed};

/// A pin that has moved out by this much is held with half of what friction can, mm.
const HALF_MM: f64 = 1e-3;
/// A pin that has moved out by this much slips, mm: the place from which it is held goes along. It is held with 99 % of what friction can.
const SLIPS_MM: f64 = 1e-2;
/// A pin that sticks is held with this, N/mm.
const STICKS: f64 = 1e5;
/// A force that decides nothing, N: a pin that hardly presses does not slip.
const LEAST_N: f64 = 5.0;

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
    /// Whether friction alone keeps the pin in: it sticks until that takes more than friction can. Otherwise friction only adds to what the
    /// notch does, by what pressed in the last step.
    pub holds: bool,
}

/// Friction now.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Rubbing {
    /// How far the pin stands toward the mouth from the flank's point, mm.
    pub out_mm: f64,
    /// Direction of the flank, toward the mouth.
    pub direction: [f64; 2],
    /// Energy of what holds the pin back, N mm.
    pub energy: f64,
    /// Force that holds the pin back, N.
    pub force: f64,
    /// Its derivative by the way out, N/mm.
    pub stiffness: f64,
}

impl Rubbing {
    /// What it does to the surface at a point: it takes it along with a pin that wants out.
    pub fn on(&self, facing: Facing) -> Pressed {
        let [x, y] = self.direction;
        Pressed {
            facing,
            depth_mm: 0.0,
            energy: self.energy,
            force: [self.force * x, self.force * y],
            by: [x * x, x * y, y * y].map(|b| self.stiffness * b),
        }
    }
}

impl Rub {
    /// Friction of a pin at `out_mm` that was last held at `anchor_mm`, pressed with `press_n`. One that `sticks` is held both ways, by
    /// whatever force it takes; of others friction sets in without a step.
    pub fn at(
        &self,
        out_mm: f64,
        direction: [f64; 2],
        anchor_mm: f64,
        press_n: f64,
        sticks: bool,
    ) -> Rubbing {
        let moved = out_mm - anchor_mm;
        let most = self.friction * press_n;
        let part = moved / HALF_MM;
        let (energy, force, stiffness) = if sticks || (self.both_ways && moved < 0.0) {
            (0.5 * STICKS * moved * moved, STICKS * moved, STICKS)
        } else if moved > 0.0 {
            let under = 1.0 + part * part;
            let energy = most * HALF_MM * (part - part.atan());
            (energy, most * part * part / under, most * 2.0 * part / (HALF_MM * under * under))
        } else {
            (0.0, 0.0, 0.0)
        };
        Rubbing { out_mm, direction, energy, force, stiffness }
    }

    /// Whether a pin that sticks is held by more than friction can, pressed with `press_n`.
    pub fn slips(&self, rubbing: &Rubbing, press_n: f64) -> bool {
        // What keeps one from moving in is not friction.
        let by_friction = if self.both_ways { rubbing.force } else { rubbing.force.abs() };
        by_friction > self.friction * press_n + LEAST_N
    }

    /// Where the pin is held from after a step in which it came to press with `press_n`: from there, that holds it with the force that did.
    /// A pin that presses more is not held by more until it moves on.
    pub fn anchor_after(&self, rubbing: &Rubbing, anchor_mm: f64, press_n: f64, sticks: bool) -> f64 {
        let moved = rubbing.out_mm - anchor_mm;
        if sticks || (self.both_ways && moved <= 0.0) {
            anchor_mm
        } else if moved <= 0.0 {
            rubbing.out_mm
        } else {
            let most = self.friction * press_n;
            let under = most - rubbing.force;
            let part = if under > 0.0 { (rubbing.force / under).sqrt() } else { f64::INFINITY };
            rubbing.out_mm - (HALF_MM * part).min(SLIPS_MM)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rub(both_ways: bool) -> Rub {
        let facing = Facing {
            nodes: [0; 3],
            shape: [0.0; 3],
            length_mm: 1.0,
            at: [0.0; 2],
            outward: [0.0; 2],
            inset_mm: 0.0,
        };
        Rub { facing, toward_mouth: facing, friction: 0.2, both_ways, holds: false }
    }

    #[test]
    fn a_pin_is_held_up_to_the_coefficient_and_then_slips() {
        let rub = rub(false);
        let at = |out: f64, anchor: f64| rub.at(out, [-1.0, 0.0], anchor, 1000.0, false);
        assert_eq!(at(-0.1, 0.0).force, 0.0);
        assert!((at(1e-3, 0.0).force - 100.0).abs() < 1e-9);
        let slips = at(0.1, 0.0);
        assert!((slips.force / 200.0 - 1.0).abs() < 1e-3, "{slips:?}");
        // It moves in freely and is held from there; after a slip, from nearly where it came to.
        assert!((rub.anchor_after(&at(-0.1, 0.0), 0.0, 1000.0, false) + 0.1).abs() < 1e-12);
        let anchor = rub.anchor_after(&slips, 0.0, 1000.0, false);
        assert!((at(0.1, anchor).force / 200.0 - 1.0).abs() < 0.011);
        // One that comes to press more, or less, is held on by the force that holds it, as far as friction goes.
        let held = at(1e-3, 0.0);
        for (press, wanted) in [(4000.0, 100.0), (600.0, 100.0), (300.0, 60.0)] {
            let anchor = rub.anchor_after(&held, 0.0, press, false);
            let force = rub.at(1e-3, [-1.0, 0.0], anchor, press, false).force;
            assert!((force / wanted - 1.0).abs() < 0.011, "{press}: {force}");
        }
        // Stiffness is the force's derivative, and that the energy's.
        for out in [3e-4, 2e-3, 0.02] {
            let [low, high] = [-1e-8, 1e-8].map(|by| at(out + by, 0.0));
            assert!((at(out, 0.0).stiffness / ((high.force - low.force) / 2e-8) - 1.0).abs() < 1e-4, "{out}");
            assert!((at(out, 0.0).force / ((high.energy - low.energy) / 2e-8) - 1.0).abs() < 1e-4, "{out}");
        }
    }

    #[test]
    fn a_pin_that_is_kept_where_it_stands_does_not_move_in() {
        let rub = rub(true);
        let inward = rub.at(-0.02, [-1.0, 0.0], 0.0, 1000.0, false);
        assert!((inward.force + 2000.0).abs() < 1e-9, "{inward:?}");
        assert_eq!(rub.anchor_after(&inward, 0.0, 1000.0, false), 0.0);
    }

    #[test]
    fn a_pin_that_sticks_slips_beyond_the_cone() {
        let rub = rub(false);
        let at = |out: f64| rub.at(out, [-1.0, 0.0], 0.0, 0.0, true);
        assert!((at(1e-3).force - 100.0).abs() < 1e-9 && (at(-1e-3).force + 100.0).abs() < 1e-9);
        // 0.2 times 600 N is more than 100 N, 0.2 times 400 N is less.
        assert!(!rub.slips(&at(1e-3), 600.0) && rub.slips(&at(1e-3), 400.0));
        assert!(!rub.slips(&at(-1e-3), 600.0) && rub.slips(&at(-1e-3), 400.0));
        assert_eq!(rub.anchor_after(&at(1e-3), 0.0, 600.0, true), 0.0);
    }
}
