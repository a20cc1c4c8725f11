//! Nose pin and hinge pin: two shear planes that break, and a span between the gate's walls that bends.
//!
//! First yield in bending ends nothing: a pin that is a little bent jams its hinge, and its shear planes still carry. Once
//! the whole section at the pin's middle has yielded, it carries no more, and the gate's walls draw off a pin that folds:
//! that ends a pull. How far the pin bends is decided by the walls of the gate and their clearance beside nose or lug.
//!
//! The ultimate force is a limit load of a round bar on three supports that can only press, every fibre of the pin at its
//! ultimate strength, as the lug method takes it for a compact section. Every support presses as near to the shear planes as
//! its bearing strength lets it, which makes the arm least; what the far side of a wall could do against the pin's turning is
//! left out. A support that is used up is pressed beyond its bearing strength: bearing is a limit of its own.

use super::capacity::{Capacity, LimitKind};
use super::failure_mode::{FailureMode, PinFailure};
use super::formula::{Formula, Quantity, input};
use super::lip::BEARING_OVER_ULTIMATE;
use crate::material::Material;
use geometry::connector::{Gate, Pin};
use std::f64::consts::PI;

/// Force that shears a pin through at two planes, N.
#[must_use]
pub fn double_shear_n(diameter_mm: f64, shear_ultimate_mpa: f64) -> f64 {
    2.0 * shear_ultimate_mpa * PI * diameter_mm * diameter_mm / 4.0
}

/// Arm of half the force at the middle of a pin, mm: walls `outer_mm`, lug `middle_mm`, clearance `gap_mm` on each side.
#[must_use]
pub fn bending_arm_mm(outer_mm: f64, middle_mm: f64, gap_mm: f64) -> f64 {
    outer_mm / 2.0 + middle_mm / 4.0 + gap_mm
}

/// Force at which the outermost fibre of a pin yields in bending, N.
#[must_use]
pub fn bending_yield_n(diameter_mm: f64, arm_mm: f64, yield_mpa: f64) -> f64 {
    2.0 * yield_mpa * PI * diameter_mm.powi(3) / 32.0 / arm_mm
}

/// Plastic moment of a round pin, N mm (C1: 16 / (3 pi) times that of first yield).
#[must_use]
pub fn plastic_moment_nmm(diameter_mm: f64, strength_mpa: f64) -> f64 {
    strength_mpa * diameter_mm.powi(3) / 6.0
}

/// A support of a pin: how much of the pin's length it can press on at each shear plane, mm, and with what force per mm.
#[derive(Clone, Copy, Debug)]
pub struct Support {
    /// Length beside one shear plane, mm.
    pub length_mm: f64,
    /// Largest force per length, N/mm.
    pub n_per_mm: f64,
}

/// Force at which a pin in double shear is bent through, N, and the arm of half of it at the middle of the pin, mm: `wall` on
/// each side, half of the `middle` at each shear plane, `gap_mm` between them.
///
/// Half of the force presses at each shear plane over no more length than it needs: the arm grows with the force until a
/// support is used up. Solved for `force / 2 * arm = moment`, which has one answer since the arm never falls.
#[must_use]
pub fn bent_through_n(moment_nmm: f64, wall: Support, middle: Support, gap_mm: f64) -> (f64, f64) {
    let arm = |force: f64| {
        let pressed = |s: Support| (0.5 * force / s.n_per_mm).min(s.length_mm);
        0.5 * pressed(wall) + 0.5 * pressed(middle) + gap_mm
    };
    let excess = |force: f64| 0.5 * force * arm(force) - moment_nmm;
    let (mut low, mut high) = (0.0, 1.0);
    while excess(high) < 0.0 {
        high *= 2.0;
    }
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if excess(middle) < 0.0 { low = middle } else { high = middle }
    }
    (high, arm(high))
}

/// One pin between the walls of the gate.
#[derive(Clone, Copy, Debug)]
pub struct PinSeat<'a> {
    /// Which pin.
    pub pin: Pin,
    /// Diameter of the pin, mm.
    pub diameter_mm: f64,
    /// Breadth between the walls that the pin presses on: of the lip or the lug, mm.
    pub middle_mm: f64,
    /// Clearance between that and a wall, mm: of wall and nose or lug, and where the lip is narrower than its nose.
    pub gap_mm: f64,
    /// What nose or lug is made of.
    pub middle: &'a Material,
    /// What the walls of the gate are made of.
    pub wall: &'a Material,
}

/// Shear and bending of a pin.
#[must_use]
pub fn pin_capacities(seat: PinSeat<'_>, gate: &Gate, material: &Material) -> [Capacity; 3] {
    let d = seat.diameter_mm;
    let arm = bending_arm_mm(gate.cheek_mm, seat.middle_mm, seat.gap_mm);
    let [on_wall, on_middle] = [seat.wall, seat.middle].map(|m| BEARING_OVER_ULTIMATE * m.ultimate_mpa);
    let (through_n, through_arm) = bent_through_n(
        plastic_moment_nmm(d, material.ultimate_mpa),
        Support { length_mm: gate.cheek_mm, n_per_mm: on_wall * d },
        Support { length_mm: 0.5 * seat.middle_mm, n_per_mm: on_middle * d },
        seat.gap_mm,
    );
    [
        Capacity {
            what: FailureMode::Pin(seat.pin, PinFailure::Sheared),
            force_n: double_shear_n(d, material.shear_ultimate_mpa),
            kind: LimitKind::Breaks,
            by_hand_n: None,
            formula: Formula::PinShear,
            inputs: vec![
                input(Quantity::PinDiameter, d, "mm"),
                input(Quantity::UltimateShearStrength, material.shear_ultimate_mpa, "MPa"),
            ],
        },
        Capacity {
            what: FailureMode::Pin(seat.pin, PinFailure::Bent),
            force_n: bending_yield_n(d, arm, material.yield_mpa),
            kind: LimitKind::Yields,
            by_hand_n: None,
            formula: Formula::PinYield,
            inputs: vec![
                input(Quantity::PinDiameter, d, "mm"),
                input(Quantity::Cheek, gate.cheek_mm, "mm"),
                input(Quantity::BreadthBetweenCheeks, seat.middle_mm, "mm"),
                input(Quantity::CheekClearance, seat.gap_mm, "mm"),
                input(Quantity::YieldStrength, material.yield_mpa, "MPa"),
            ],
        },
        Capacity {
            what: FailureMode::Pin(seat.pin, PinFailure::BentThrough),
            force_n: through_n,
            kind: LimitKind::Breaks,
            by_hand_n: None,
            formula: Formula::PinBentThrough,
            inputs: vec![
                input(Quantity::PinDiameter, d, "mm"),
                input(Quantity::Cheek, gate.cheek_mm, "mm"),
                input(Quantity::BreadthBetweenCheeks, seat.middle_mm, "mm"),
                input(Quantity::CheekClearance, seat.gap_mm, "mm"),
                input(Quantity::PinUltimateStrength, material.ultimate_mpa, "MPa"),
                input(Quantity::CheekBearingStrength, on_wall, "MPa"),
                input(Quantity::BearingStrengthBetweenCheeks, on_middle, "MPa"),
                input(Quantity::HalfForceArm, through_arm, "mm"),
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
        // B8: F = 20 kN, walls 5, middle 10, clearance 0.5, d = 8: M = 55 000 N mm, 1094 MPa elastic.
        let arm = bending_arm_mm(5.0, 10.0, 0.5);
        assert!((20_000.0 / 2.0 * arm - 55_000.0).abs() < 1e-9);
        let force = bending_yield_n(8.0, arm, 1094.0);
        assert!((force / 20_000.0 - 1.0).abs() < 5e-4, "{force}");
    }

    #[test]
    fn a_pin_is_bent_through_as_by_hand() {
        // 3.2 mm at 1241 MPa: moment 6777.5 N mm. Bearing 858 MPa: 2745.6 N/mm at walls and middle, clearance 0.5.
        // F / 2 (F / (2 p) + 0.5) = M: F^2 + p F - 4 p M = 0, F = (-p + sqrt(p^2 + 16 p M)) / 2 = 7 363 N.
        let moment = plastic_moment_nmm(3.2, 1241.0);
        let on = |length_mm: f64| Support { length_mm, n_per_mm: 858.0 * 3.2 };
        let (force, arm) = bent_through_n(moment, on(3.0), on(4.5), 0.5);
        assert!((force - 7363.2).abs() < 0.5, "{force}");
        assert!((0.5 * force * arm / moment - 1.0).abs() < 1e-12);
        // Walls so hard that the pressure stands at the shear planes: F = 2 M / clearance.
        let hard = Support { length_mm: 3.0, n_per_mm: 1e9 };
        let (force, _) = bent_through_n(moment, hard, hard, 0.5);
        assert!((force / (4.0 * moment) - 1.0).abs() < 1e-3, "{force}");
        // Thin supports are used up whole: the arm is then that of the lug method, B8: 5 / 2 + 10 / 4 + 0.5.
        let soft = |length_mm: f64| Support { length_mm, n_per_mm: 1.0 };
        let (_, arm) = bent_through_n(moment, soft(5.0), soft(5.0), 0.5);
        assert!((arm - bending_arm_mm(5.0, 10.0, 0.5)).abs() < 1e-12, "{arm}");
    }

    #[test]
    fn a_bigger_or_stronger_pin_and_more_bearing_never_bear_less() {
        let force = |d: f64, su: f64, bearing: f64, gap: f64| {
            let on = |length_mm: f64| Support { length_mm, n_per_mm: bearing * d };
            bent_through_n(plastic_moment_nmm(d, su), on(3.0), on(4.5), gap).0
        };
        let at = force(3.2, 1241.0, 858.0, 0.5);
        assert!(force(3.3, 1241.0, 858.0, 0.5) > at && force(3.2, 1300.0, 858.0, 0.5) > at);
        assert!(force(3.2, 1241.0, 900.0, 0.5) > at && force(3.2, 1241.0, 858.0, 0.6) < at);
    }
}
