//! How long does a change take? Of the rig (contact, fields, stress), and of the geometry (outline to stress).
#![allow(missing_docs, clippy::unwrap_used, reason = "a benchmark fails by panicking")]

use criterion::{Criterion, criterion_group, criterion_main};
use geometry::connector::{Connector, GatePlace};
use solver::findings::{NodalStress, findings};
use solver::material::{Material, Materials};
use solver::rig::{GateState, Loader, Rig};
use solver::system::{System, SystemSettings};
use std::hint::black_box;

fn aluminium() -> Material {
    Material {
        name: "7075-T6".to_owned(),
        youngs_modulus_mpa: 71_700.0,
        poisson_ratio: 0.33,
        density_g_cm3: 2.81,
        yield_mpa: 503.0,
        ultimate_mpa: 572.0,
        shear_ultimate_mpa: 331.0,
        elongation: None,
        reduction_of_area: None,
        lot: None,
    }
}

fn rig(width_mm: f64, upper: f64, lower: f64) -> Rig {
    let strap =
        |offset_mm| Loader::Strap { width_mm, offset_mm, stiffness_n_per_mm2: 100.0, strength_kn: None };
    Rig { load_kn: 10.0, gate: GateState::Closed, friction: 0.2, upper: strap(upper), lower: strap(lower) }
}

fn connector(c: &mut Criterion) {
    let materials = Materials { frame: aluminium(), gate: aluminium(), pins: aluminium() };
    let build = || {
        System::try_new(&Connector::example(), GatePlace::Shut, &materials, &SystemSettings::default())
            .unwrap()
    };
    c.bench_function("geometry change: outline, mesh, factor", |b| b.iter(|| black_box(build())));
    let system = build();
    for (name, rig) in [
        ("rig change: 12 mm straps", rig(12.0, 3.0, 3.0)),
        ("rig change: 40 mm straps", rig(40.0, 0.0, 0.0)),
        ("rig change: tilted 12 mm straps", rig(12.0, 10.0, -10.0)),
    ] {
        // The first response fills in compliances; every later one finds them.
        let _ = system.respond(&rig).unwrap();
        c.bench_function(name, |b| {
            b.iter(|| {
                let response = system.respond(black_box(&rig)).unwrap();
                black_box(NodalStress::new(&system, &response))
            });
        });
    }
    let rig = rig(12.0, 0.0, 0.0);
    let response = system.respond(&rig).unwrap();
    let stress = NodalStress::new(&system, &response);
    c.bench_function("findings, first yield included", |b| {
        b.iter(|| black_box(findings(&system, &materials, &response, &stress).unwrap()));
    });
}

criterion_group!(benches, connector);
criterion_main!(benches);
