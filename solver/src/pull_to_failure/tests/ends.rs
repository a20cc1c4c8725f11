//! Ends of a pull that no part of the gate line brings about.

use super::{asked, metal, run, system};
use crate::pull_to_failure::{Asked, End, Metal};
use crate::rig::{GateState, Rig};
use geometry::connector::Connector;

/// A pull of metal that never tears, with parts that hold whatever comes.
fn endless(connector: &Connector, rig: &Rig) -> (End, f64, f64, f64, f64) {
    let system = system(connector, 4000.0);
    let metal = Metal { ductility: None, ..metal(&system) };
    let course = run(&system, rig, &Asked { parts: Vec::new(), ..asked(&system, metal) });
    let last = course.steps.last().unwrap();
    (course.end, course.marks.peak_kn, last.load_kn, last.opened_deg, last.pin_out_mm)
}

#[test]
fn a_hook_that_does_not_tear_opens_by_a_right_angle() {
    let (end, peak, last, opened_deg, _) =
        endless(&Connector::example(), &Rig { gate: GateState::Open, ..Rig::example() });
    assert_eq!(end, End::Opened);
    assert!((90.0..96.0).contains(&opened_deg), "{opened_deg} degrees");
    assert!(last <= peak && peak > 9.0, "{peak} kN");
}

#[test]
fn a_gate_whose_pin_climbs_out_of_a_slanting_notch_lets_the_load_fall() {
    let mut connector = Connector::example();
    connector.nose.flank_angle_deg = 12.0;
    connector.nose.notch_depth_mm = 4.0;
    let (end, peak, last, _, out_mm) = endless(&connector, &Rig { friction: 0.0, ..Rig::example() });
    assert_eq!(end, End::Maximum);
    assert!(last < 0.98 * peak && last > 0.95 * peak, "{last} of {peak} kN");
    assert!(out_mm > 0.5, "{out_mm} mm");
}
