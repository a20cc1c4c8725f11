//! Nose pin and hinge pin: two shear planes that break, and a span between the gate's walls that bends.
//!
//! Bending is a yield and not a break: a bent pin jams its hinge but the shear planes still carry. How much it bends is
//! decided by the wall of the gate and its play beside nose or ear.

use super::capacity::{Capacity, LimitKind, input};
use crate::material::Material;
use geometry::connector::Gate;
use std::f64::consts::PI;

/// Force that shears a pin through at two planes, N.
#[must_use]
pub fn double_shear_n(diameter_mm: f64, shear_ultimate_mpa: f64) -> f64 {
    2.0 * shear_ultimate_mpa * PI * diameter_mm * diameter_mm / 4.0
}

/// Arm of half the force at the middle of a pin, mm: walls `outer_mm`, lug `middle_mm`, play `gap_mm` on each side.
#[must_use]
pub fn bending_arm_mm(outer_mm: f64, middle_mm: f64, gap_mm: f64) -> f64 {
    outer_mm / 2.0 + middle_mm / 4.0 + gap_mm
}

/// Force at which the outermost fibre of a pin yields in bending, N.
#[must_use]
pub fn bending_yield_n(diameter_mm: f64, arm_mm: f64, yield_mpa: f64) -> f64 {
    2.0 * yield_mpa * PI * diameter_mm.powi(3) / 32.0 / arm_mm
}

/// One pin between the walls of the gate.
#[derive(Clone, Copy, Debug)]
pub struct PinSeat {
    /// Names of its two limits: shear and bending.
    pub names: [&'static str; 2],
    /// Diameter of the pin, mm.
    pub diameter_mm: f64,
    /// Breadth of nose or ear between the walls, mm.
    pub middle_mm: f64,
}

/// Shear and bending of a pin.
#[must_use]
pub fn pin_capacities(seat: PinSeat, gate: &Gate, material: &Material) -> [Capacity; 2] {
    let d = seat.diameter_mm;
    let arm = bending_arm_mm(gate.tine_mm, seat.middle_mm, gate.tine_gap_mm);
    [
        Capacity {
            what: seat.names[0],
            force_n: double_shear_n(d, material.shear_ultimate_mpa),
            kind: LimitKind::Breaks,
            other_forms_n: None,
            source: "mean shear on two planes; textbooks",
            formula: "2 x ultimate shear x pi diameter^2 / 4",
            inputs: vec![
                input("pin diameter", d, "mm"),
                input("ultimate shear strength", material.shear_ultimate_mpa, "MPa"),
            ],
        },
        Capacity {
            what: seat.names[1],
            force_n: bending_yield_n(d, arm, material.yield_mpa),
            kind: LimitKind::Yields,
            other_forms_n: None,
            source: "pin of a lug, Bruhn D1 (from memory): moment = force / 2 x (wall / 2 + middle / 4 + play)",
            formula: "2 x yield x pi diameter^3 / 32 / (wall / 2 + middle / 4 + play)",
            inputs: vec![
                input("pin diameter", d, "mm"),
                input("wall of the gate", gate.tine_mm, "mm"),
                input("breadth between the walls", seat.middle_mm, "mm"),
                input("play beside it", gate.tine_gap_mm, "mm"),
                input("yield strength", material.yield_mpa, "MPa"),
            ],
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn double_shear_is_that_of_the_texts() {
        // B7: 20 kN on 8 mm is 198.94 MPa.
        assert!((double_shear_n(8.0, 198.9437) - 20_000.0).abs() < 0.1);
        assert!((double_shear_n(5.0, 745.0) / double_shear_n(4.0, 745.0) - 25.0 / 16.0).abs() < 1e-12);
    }

    #[test]
    fn pin_bending_is_that_of_the_lug_method() {
        // B8: F = 20 kN, walls 5, middle 10, play 0.5, d = 8: M = 55 000 N mm, 1094 MPa elastic.
        let arm = bending_arm_mm(5.0, 10.0, 0.5);
        assert!((20_000.0 / 2.0 * arm - 55_000.0).abs() < 1e-9);
        let force = bending_yield_n(8.0, arm, 1094.0);
        assert!((force / 20_000.0 - 1.0).abs() < 5e-4, "{force}");
    }
}
