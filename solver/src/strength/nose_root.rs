//! The nose at the closed end of its notch (or where the head's block ends): what is left of the nose holds the gate's
//! pull off its middle.
//!
//! This cut carries nothing but the force of the gate, so its limit belongs to the gate line: a deeper notch leaves less.

use super::capacity::{Capacity, LimitKind};
use super::cut_forces::gate_pull;
use super::failure_mode::FailureMode;
use super::formula::{Formula, Quantity, input};
use super::strengths::Strengths;
use crate::sections::Cut;
use crate::system::System;

/// The nose root.
#[must_use]
pub fn nose_root_capacity(system: &System, strengths: &Strengths) -> Capacity {
    let cut = Cut::at_station(&system.outline.strip, &system.breadth, &system.outline.frame_stations[3]);
    let [axial, moment] = cut.resolve(system.outline.seats.nose_pin.centre, gate_pull(system));
    let strength = strengths.frame_flow_mpa();
    Capacity {
        what: FailureMode::NoseRoot,
        force_n: cut.limit.factor(axial, moment, strength),
        kind: LimitKind::Breaks,
        by_hand_n: None,
        formula: Formula::NoseRoot,
        inputs: vec![
            input(Quantity::CutDepth, cut.limit.depth_mm(), "mm"),
            input(Quantity::CutArea, cut.limit.area_mm2(), "mm^2"),
            input(Quantity::PinLineArm, moment.abs(), "mm"),
            input(Quantity::PullAlongNose, axial, ""),
            input(strengths.flow_is(Quantity::FlowStress), strength, "MPa"),
        ],
    }
}
