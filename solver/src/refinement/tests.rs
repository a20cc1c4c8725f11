//! What refinement is held to: peaks come to rest near those of an evenly fine mesh, at a fraction of its unknowns.

use super::*;
use crate::material::{Materials, library};
use crate::rig::{GateState, Loader};
use geometry::connector::{Connector, GatePlace};

fn rig() -> Rig {
    let strap =
        Loader::Strap { width_mm: 12.0, offset_mm: 0.0, stiffness_n_per_mm2: 100.0, strength_kn: None };
    Rig { load_kn: 10.0, gate: GateState::Closed, friction: 0.2, upper: strap, lower: strap }
}

fn system(mesh_size_mm: f64) -> Arc<System> {
    let settings = SystemSettings { mesh_size_mm: Some(mesh_size_mm), ..SystemSettings::default() };
    let material = |key: &str| library::find(key).unwrap().material();
    let materials =
        Materials { frame: material("7075-t6"), gate: material("7075-t6"), pins: material("4340-180") };
    Arc::new(System::try_new(&Connector::example(), GatePlace::Shut, &materials, &settings).unwrap())
}

#[test]
fn a_coarse_mesh_is_made_fine_where_it_matters() {
    let wanted = Request { accuracy: 0.005, unknowns: 200_000, rounds: 8 };
    let refined = refine(system(2.5), &rig(), &SystemSettings::default(), wanted).unwrap();
    let first = &refined.rounds[0];
    let last = refined.rounds.last().unwrap();
    assert!(refined.reached && last.change.unwrap() <= 0.005, "{:#?}", refined.rounds);
    assert!(refined.rounds.windows(2).all(|w| w[1].unknowns > w[0].unknowns));
    assert!(last.energy_error_percent < first.energy_error_percent, "{:#?}", refined.rounds);
    // Trusted stress moves by more than was asked for from the first mesh to the second: coming to rest is not for free.
    assert!(refined.rounds[1].change.unwrap() > wanted.accuracy, "{:#?}", refined.rounds);

    let even = system(0.5);
    let response = even.respond(&rig()).unwrap();
    let stress = NodalStress::new(&even, &response);
    let fine = peaks(&even, &response, &stress.frame, &stress.gate).into_iter().find(|p| p.trusted).unwrap();
    assert!(
        (last.peak_mpa / fine.von_mises_mpa - 1.0).abs() < 0.01,
        "{} {}",
        last.peak_mpa,
        fine.von_mises_mpa
    );
    assert!(refined.system.unknowns() < even.unknowns(), "{} {}", refined.system.unknowns(), even.unknowns());
}

#[test]
fn a_budget_is_kept_and_what_was_reached_is_told() {
    let start = system(1.3);
    let budget = start.unknowns() + 100;
    let wanted = Request { accuracy: 1e-9, unknowns: budget, rounds: 8 };
    let refined = refine(start, &rig(), &SystemSettings::default(), wanted).unwrap();
    assert!(!refined.reached && refined.system.unknowns() <= budget);
    let wanted = Request { accuracy: 1e-9, unknowns: 400_000, rounds: 2 };
    let refined = refine(system(2.5), &rig(), &SystemSettings::default(), wanted).unwrap();
    assert!(!refined.reached);
    assert_eq!(refined.rounds.len(), 3);
}
