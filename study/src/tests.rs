//! Sharing, order, calling off.

use super::*;
use geometry::connector::Connector;
use solver::material::{Materials, library};
use solver::rig::{GateState, Loader, Rig};
use solver::system::SystemSettings;
use std::sync::atomic::{AtomicUsize, Ordering};

fn case() -> Case {
    let metal = |key: &str| library::find(key).unwrap().material();
    let strap =
        Loader::Strap { width_mm: 12.0, offset_mm: 0.0, stiffness_n_per_mm2: 100.0, strength_kn: None };
    Case {
        connector: Connector::example(),
        materials: Materials { frame: metal("7075-t6"), gate: metal("7075-t6"), pins: metal("4340-180") },
        rig: Rig { load_kn: 10.0, gate: GateState::Closed, friction: 0.2, upper: strap, lower: strap },
        mesh: SystemSettings { unknowns: 5000.0, ..SystemSettings::default() },
    }
}

/// The case with one thing changed.
fn changed(change: impl Fn(&mut Case)) -> Case {
    let mut case = case();
    change(&mut case);
    case
}

#[test]
fn cases_share_a_system_where_only_rig_and_strength_differ() {
    let own = case().key();
    let same = [
        changed(|c| c.rig.load_kn = 3.0),
        changed(|c| c.rig.gate = GateState::Open),
        changed(|c| c.materials.frame.scale_strength(0.8)),
        changed(|c| c.connector.nose.lip_breadth_mm *= 0.7),
        // Pins are rigid.
        changed(|c| c.materials.pins.youngs_modulus_mpa *= 2.0),
    ];
    for (i, case) in same.iter().enumerate() {
        assert_eq!(case.key(), own, "{i}");
    }
    let other = [
        changed(|c| c.connector.nose.notch_depth_mm += 1e-9),
        changed(|c| c.rig.gate = GateState::Half { engaged_mm: 3.0 }),
        changed(|c| c.materials.gate.youngs_modulus_mpa *= 2.0),
        changed(|c| c.mesh.unknowns = 6000.0),
        changed(|c| c.mesh.mesh_size_mm = Some(2.0)),
    ];
    for (i, case) in other.iter().enumerate() {
        assert_ne!(case.key(), own, "{i}");
    }
}

#[test]
fn outcomes_come_in_order_and_as_each_case_has_them_alone() {
    let cases = [
        case(),
        changed(|c| c.connector.nose.notch_depth_mm = 7.0),
        changed(|c| c.materials.frame.scale_strength(0.5)),
        changed(|c| c.connector.nose.notch_depth_mm = 90.0),
        changed(|c| c.connector.nose.lip_breadth_mm = 3.0),
    ];
    let engine = Engine::default();
    let together = engine.evaluate(&cases, &Watch::quiet());
    for (i, (case, found)) in cases.iter().zip(&together).enumerate() {
        let alone = Engine::default().evaluate(std::slice::from_ref(case), &Watch::quiet()).remove(0);
        match (found, alone) {
            (Ok(found), Ok(alone)) => assert_eq!(*found, alone, "{i}"),
            (Err(CaseError::System(_)), Err(CaseError::System(_))) => assert_eq!(i, 3),
            other => panic!("{i}: {other:?}"),
        }
    }
    let peak = |i: usize| together[i].as_ref().unwrap().limits.peak_kn;
    assert!(peak(2) < 0.6 * peak(0) && peak(4) < peak(0));
    // What was built is kept.
    let [first, again] = [0, 2].map(|i| engine.system(&cases[i]).unwrap());
    assert!(std::sync::Arc::ptr_eq(&first, &again));
}

#[test]
fn what_is_called_off_is_told_as_that_and_the_rest_as_solved() {
    let cases: Vec<Case> = (0..6).map(|i| changed(|c| c.rig.load_kn = 1.0 + f64::from(i))).collect();
    let done = AtomicUsize::new(0);
    let count = || {
        done.fetch_add(1, Ordering::Relaxed);
    };
    let stop = || done.load(Ordering::Relaxed) >= 2;
    let found = Engine::default().evaluate(&cases, &Watch { done: &count, stop: &stop });
    let solved = found.iter().filter(|f| f.is_ok()).count();
    let stopped = found.iter().filter(|f| matches!(f, Err(CaseError::Stopped))).count();
    assert_eq!(solved + stopped, 6);
    assert!(solved >= 2 && stopped >= 1, "{solved} solved, {stopped} called off");
}
