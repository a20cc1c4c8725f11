//! Metal that does not harden, in small motion: a pull comes to the limit loads of an independent calculation of the open hooks.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::model;
use solver::plastic::{Hardening, Law, Motion};
use solver::pull_to_failure::{Asked, Metal, pull};
use solver::strength::Strengths;
use solver::system::{System, SystemSettings};
use std::ops::ControlFlow;

/// The load hardly rises beyond this stretch, mm.
const FAR_MM: f64 = 12.0;

#[test]
fn open_hooks_come_to_their_independent_limit_loads() {
    let open = ["rig.gate=open", "rig.both.kind=strap", "rig.both.width_mm=12"];
    for (name, independent_kn) in [("broadbar-alu", 7.18), ("broadbar-steel", 8.85)] {
        let sets: Vec<(&str, &str)> = open.iter().filter_map(|set| set.split_once('=')).collect();
        let model = model(name, &sets);
        let case = model.case(SystemSettings { unknowns: 6000.0, ..SystemSettings::default() });
        let place = case.rig.gate.place();
        let system = System::try_new(&model.connector, place, &model.materials, &case.mesh).unwrap();
        let strengths = Strengths::new(&model.connector, &model.materials);
        let hardening = Hardening::Perfect { yield_mpa: strengths.frame_flow_mpa() };
        let law = Law { elastic: system.frame.body.elastic(), hardening };
        let asked = Asked {
            metal: Metal { law, ductility: None, motion: Motion::Small },
            parts: Vec::new(),
            expected_kn: independent_kn,
            steps: 30,
            until_kn: None,
            stroke_mm: None,
            hook_to_deg: None,
        };
        let course = pull(&system, &case.rig, &asked, &mut |reached| match reached.stretch_mm < FAR_MM {
            true => ControlFlow::Continue(()),
            false => ControlFlow::Break(()),
        })
        .unwrap();
        let peak = course.marks.peak_kn;
        assert!((peak / independent_kn - 1.0).abs() < 0.03, "{name}: {peak} kN, wanted {independent_kn}");
    }
}
