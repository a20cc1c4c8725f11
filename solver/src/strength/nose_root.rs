//! The nose at the closed end of its notch (or where the head's block ends): what is left of the nose holds the gate's
//! pull off its middle.
//!
//! This cut carries nothing but the force of the gate, so its limit belongs to the gate line: a deeper notch leaves less.

use super::capacity::{Capacity, LimitKind, input};
use super::cut_forces::gate_pull;
use super::failure_mode::FailureMode;
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
        source: "section limit with axial force and moment together; textbooks",
        formula: "largest pull along the line of the pins that the cut holds, every fibre at the mean of yield and \
                  ultimate",
        inputs: vec![
            input("depth of the cut", cut.limit.depth_mm(), "mm"),
            input("area of the cut", cut.limit.area_mm2(), "mm^2"),
            input("arm of the pin line", moment.abs(), "mm"),
            input("part of the pull along the nose", axial, ""),
            input("mean of yield and ultimate", strength, "MPa"),
        ],
    }
}
