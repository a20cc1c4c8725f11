//! Sharing, order, calling off.

use super::*;
use geometry::connector::Connector;
use rayon::prelude::*;
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
        constants: solver::strength::Constants::default(),
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
    let found = Engine::default().evaluate(&cases, &Watch { done: &count, stop: &stop, ..Watch::quiet() });
    let solved = found.iter().filter(|f| f.is_ok()).count();
    let stopped = found.iter().filter(|f| matches!(f, Err(CaseError::Stopped))).count();
    assert_eq!(solved + stopped, 6);
    assert!(solved >= 2 && stopped >= 1, "{solved} solved, {stopped} called off");
}

#[test]
fn who_asks_at_once_is_given_the_same_system() {
    let (engine, case) = (Engine::default(), case());
    let all: Vec<_> = std::thread::scope(|scope| {
        let asking: Vec<_> = (0..6).map(|_| scope.spawn(|| engine.system(&case).unwrap())).collect();
        asking.into_iter().map(|thread| thread.join().unwrap()).collect()
    });
    assert!(all.iter().all(|system| std::sync::Arc::ptr_eq(system, &all[0])));
    assert_eq!(engine.count(), 1);
}

/// A pool whose every thread waited for a builder that needs them would stand still.
#[test]
fn threads_of_a_pool_never_wait_for_each_other() {
    let (engine, case) = (Engine::default(), case());
    let pool = rayon::ThreadPoolBuilder::new().num_threads(2).build().unwrap();
    let numbers: Vec<usize> = (0..6).collect();
    let (done, answers) = std::sync::mpsc::channel();
    // Left alone: threads that wait for each other would never be joined.
    std::thread::spawn(move || {
        let (engine, case) = (&engine, &case);
        let of = |_: &usize| engine.system(case).unwrap().unknowns();
        std::thread::scope(|scope| {
            let outside = scope.spawn(|| engine.system(case).unwrap().unknowns());
            let inside: Vec<usize> = pool.install(|| numbers.par_iter().map(of).collect());
            done.send((outside.join().unwrap(), inside, engine.count())).unwrap();
        });
    });
    let (outside, inside, kept) = answers.recv_timeout(std::time::Duration::from_secs(120)).unwrap();
    assert!(inside.iter().all(|unknowns| *unknowns == outside));
    assert_eq!((inside.len(), kept), (6, 1));
}

#[test]
fn no_more_is_kept_than_there_is_room_for_and_nothing_of_what_cannot_be_built() {
    let one = Engine::default().system(&case()).unwrap().unknowns();
    let engine = Engine::with_room(2 * one + one / 2);
    let shape = |i: i32| changed(|c| c.connector.nose.pin_clearance_mm += 0.01 * f64::from(i));
    for (i, kept) in [(0, 1), (1, 2), (2, 2)] {
        engine.built(&shape(i)).unwrap();
        assert_eq!(engine.count(), kept, "{i}");
    }
    assert!(engine.built(&changed(|c| c.connector.nose.notch_depth_mm = 90.0)).is_err());
    assert_eq!(engine.count(), 2);
    // A handle outlives its place, and gives a case of another shape a system that nobody keeps.
    let held = engine.built(&shape(0)).unwrap();
    let (same, other) = (held.for_case(&shape(0)).unwrap(), held.for_case(&shape(5)).unwrap());
    assert!(std::sync::Arc::ptr_eq(held.system(), same.system()));
    assert_eq!((other.key(), engine.count()), (&shape(5).key(), 2));
}
