//! The gate itself: two walls with a pin through them at each end, or, with the lips inside it, the metal behind its notch.

use super::capacity::{Capacity, LimitKind};
use super::failure_mode::FailureMode;
use super::formula::{Formula, Quantity, input};
use super::lug::{Lug, lug_capacities};
use super::strengths::Strengths;
use crate::sections::SectionLimit;
use geometry::connector::{Gate, LipOn, Nose, Pin};

/// One end of the gate as a lug about a pin that fills its hole.
#[must_use]
pub fn gate_lug(gate: &Gate, pin_diameter_mm: f64) -> Lug {
    Lug {
        thickness_mm: gate.wall_thickness_mm(),
        end_mm: 0.5 * gate.width_mm,
        hole_mm: pin_diameter_mm,
        pin_mm: pin_diameter_mm,
        width_mm: gate.width_mm,
    }
}

/// Force along the gate's axis at which the metal behind its notch tears, N.
///
/// The notch reaches `notch_radius_mm` past the axis; what is left runs from there to the gate's edge and is pulled off
/// its middle.
#[must_use]
pub fn behind_notch_n(gate: &Gate, notch_radius_mm: f64, strength_mpa: f64) -> f64 {
    let left = 0.5 * gate.width_mm - notch_radius_mm;
    if left <= 0.0 {
        return 0.0;
    }
    let arm = 0.5 * gate.width_mm - 0.5 * left;
    SectionLimit::rectangle(left, gate.wall_thickness_mm()).factor(1.0, arm, strength_mpa)
}

/// Limits of both ends of the gate. The hinge pin's diameter is `hinge_pin_mm`; `press` as for a lug.
#[must_use]
pub fn gate_capacities(gate: &Gate, nose: &Nose, hinge_pin_mm: f64, strengths: &Strengths) -> Vec<Capacity> {
    let (material, press) = (&strengths.materials.gate, strengths.press);
    let mut all = lug_capacities(
        gate_lug(gate, hinge_pin_mm),
        material,
        &|how| FailureMode::Gate(Pin::Hinge, how),
        press,
    )
    .to_vec();
    match nose.lip_on {
        LipOn::Frame => all.extend(lug_capacities(
            gate_lug(gate, nose.pin_diameter_mm),
            material,
            &|how| FailureMode::Gate(Pin::Nose, how),
            press,
        )),
        LipOn::Gate => all.push(Capacity {
            what: FailureMode::BehindNotch,
            force_n: behind_notch_n(gate, nose.notch_radius_mm(), strengths.gate_flow_mpa()),
            kind: LimitKind::Breaks,
            by_hand_n: None,
            formula: Formula::BehindNotch,
            inputs: vec![
                input(Quantity::GateWidth, gate.width_mm, "mm"),
                input(Quantity::NotchRadius, nose.notch_radius_mm(), "mm"),
                input(Quantity::BothCheeks, gate.wall_thickness_mm(), "mm"),
                input(strengths.flow_is(Quantity::FlowStress), strengths.gate_flow_mpa(), "MPa"),
            ],
        }),
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    const GATE: Gate = Gate { width_mm: 9.0, breadth_mm: 10.0, cheek_mm: 3.0, cheek_clearance_mm: 0.5 };

    #[test]
    fn the_gate_is_two_walls() {
        // Two walls of 3 mm, 9 - 5 mm wide beside the hinge pin: 24 mm^2.
        assert!((gate_lug(&GATE, 5.0).net_mm2() - 24.0).abs() < 1e-12);
        assert!((Gate { cheek_mm: 6.0, ..GATE }.wall_thickness_mm() - 10.0).abs() < 1e-12);
    }

    #[test]
    fn metal_behind_a_notch_bends_and_stretches() {
        // 2.5 x 6 left, arm 3.25: n + ... solves m = 1 - n^2 with N = 15 s n, M = 9.375 s m, M = 3.25 N:
        // 5.2 n = 1 - n^2, n = 0.1858, N = 2.787 s.
        let force = behind_notch_n(&GATE, 2.0, 500.0);
        assert!((force / (2.7867 * 500.0) - 1.0).abs() < 1e-3, "{force}");
    }
}
