//! The gate line: everything that the gate's pull runs through, from nose root to hinge lug. The gate is pulled at its two
//! ends only, so one and the same force goes through all of it.

use super::capacity::{Capacity, LimitKind};
use super::failure_mode::FailureMode;
use super::formula::{Formula, Quantity, input};
use super::gate::gate_capacities;
use super::hinge_lug::hinge_lug_capacities;
use super::lip::{lip_capacities, lip_capacities_by_hand};
use super::nose_root::nose_root_capacity;
use super::pin::{PinSeat, double_shear_n, pin_capacities};
use super::strengths::Strengths;
use crate::system::System;
use geometry::connector::{LipOn, Pin};

/// What every part of the gate line holds, weakest first. `friction` is that of the rig.
#[must_use]
pub fn gate_line(system: &System, strengths: &Strengths, friction: f64) -> Vec<Capacity> {
    gate_line_with(system, strengths, Lip::Computed { friction })
}

/// How the lip's limit is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Lip {
    /// By finite elements, under this friction at the pin.
    Computed {
        /// The coefficient of friction of the rig.
        friction: f64,
    },
    /// By a formula that lies below that.
    ByHand,
}

/// The same with the lip's limit found in one way or the other.
pub(super) fn gate_line_with(system: &System, strengths: &Strengths, lip: Lip) -> Vec<Capacity> {
    let connector = &strengths.connector(system);
    let Strengths { materials, press, lip: of_lip, pins: of_pins, .. } = strengths;
    let press = *press;
    let (nose, hinge, gate) = (&connector.nose, &connector.hinge, &connector.gate);
    let lips = |metal| match lip {
        Lip::Computed { friction } => lip_capacities(connector, &system.outline, metal, friction, press),
        Lip::ByHand => lip_capacities_by_hand(connector, &system.outline, metal),
    };
    let mut all = Vec::new();
    match nose.lip_on {
        LipOn::Frame => {
            all.extend(lips(&materials.frame));
            let seat = PinSeat {
                pin: Pin::Nose,
                diameter_mm: nose.pin_diameter_mm,
                // A lip narrower than its nose leaves the pin that much more to span.
                middle_mm: nose.lip_breadth_mm.min(nose.breadth_mm),
                gap_mm: gate.cheek_clearance_mm + 0.5 * (nose.breadth_mm - nose.lip_breadth_mm).max(0.0),
                middle: &materials.frame,
                wall: &materials.gate,
            };
            all.extend(pin_capacities(seat, gate, &materials.pins));
        }
        LipOn::Gate => {
            all.extend(lips(&materials.gate));
            let fsu = materials.frame.shear_ultimate_mpa;
            all.push(Capacity {
                what: FailureMode::NoseHead,
                force_n: double_shear_n(nose.pin_diameter_mm, fsu),
                kind: LimitKind::Breaks,
                by_hand_n: None,
                formula: Formula::HeadShear,
                inputs: vec![
                    input(Quantity::HeadDiameter, nose.pin_diameter_mm, "mm"),
                    input(Quantity::UltimateShearStrength, fsu, "MPa"),
                ],
            });
        }
    }
    all.push(nose_root_capacity(system, strengths));
    let seat = PinSeat {
        pin: Pin::Hinge,
        diameter_mm: hinge.pin_diameter_mm,
        middle_mm: hinge.lug_breadth_mm,
        gap_mm: gate.cheek_clearance_mm,
        middle: &materials.frame,
        wall: &materials.gate,
    };
    all.extend(pin_capacities(seat, gate, &materials.pins));
    all.extend(hinge_lug_capacities(hinge, &materials.frame, press));
    all.extend(gate_capacities(gate, nose, hinge.pin_diameter_mm, strengths));
    for part in &mut all {
        match part.what {
            FailureMode::Lip => part.times(*of_lip),
            FailureMode::Pin(..) => part.times(*of_pins),
            _ => {}
        }
    }
    all.sort_by(|a, b| a.force_n.total_cmp(&b.force_n));
    all
}

/// Force that the gate line holds before one of its parts breaks, N.
#[must_use]
pub fn gate_line_force_n(parts: &[Capacity]) -> f64 {
    parts.iter().filter(|p| p.kind == LimitKind::Breaks).map(|p| p.force_n).fold(f64::INFINITY, f64::min)
}
