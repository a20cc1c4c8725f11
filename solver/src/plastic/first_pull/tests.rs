//! Curves pulled as bars.

use super::*;
use crate::material::Material;
use crate::material::{library, lot};

/// Force of a bar over its first area, MPa, after a plastic strain.
fn force_mpa(metal: &Material, pull: &FirstPull, plastic: f64) -> f64 {
    let stress = pull.hardening.at(plastic).stress_mpa;
    stress * (-plastic - 2.0 * metal.poisson_ratio * stress / metal.youngs_modulus_mpa).exp()
}

/// The greatest force over the first area and the plastic strain there, by trying many.
fn greatest(metal: &Material, pull: &FirstPull) -> (f64, f64) {
    let strains = (0..=20_000).map(|at| 1.5 * pull.last_strain * f64::from(at) / 20_000.0);
    strains
        .map(|strain| (force_mpa(metal, pull, strain), strain))
        .fold((0.0, 0.0), |a, b| if b.0 > a.0 { b } else { a })
}

/// Every metal of the library, and the ends of what the unknown ones may have.
fn metals() -> Vec<Material> {
    let mut all: Vec<Material> = library::all().iter().map(library::Handbook::material).collect();
    for book in library::all().iter().filter(|book| book.is_unknown()) {
        let ([y0, y1], [u0, u1]) = (book.yield_mpa.range.unwrap(), book.ultimate_mpa.range.unwrap());
        let ends = [(y0, u0), (y0, u1), (y1, u0), (y1, u1)];
        for (yield_mpa, ultimate_mpa) in ends.into_iter().filter(|(y, u)| y < u) {
            all.push(Material { yield_mpa, ultimate_mpa, ..book.material() });
        }
    }
    all
}

fn check(metal: &Material) {
    let Material { name, yield_mpa, ultimate_mpa, .. } = metal;
    let pull = FirstPull::of(metal).unwrap();
    let at_yield = force_mpa(metal, &pull, 0.002);
    assert!((at_yield / yield_mpa - 1.0).abs() < 5e-4, "{name}: {at_yield} {yield_mpa}");
    let (most, strain) = greatest(metal, &pull);
    assert!((most / ultimate_mpa - 1.0).abs() < 5e-4, "{name}: {most} {ultimate_mpa}");
    let at_uniform = force_mpa(metal, &pull, pull.uniform_strain);
    assert!((at_uniform / ultimate_mpa - 1.0).abs() < 5e-4, "{name}: {at_uniform} {ultimate_mpa}");
    // Where yield and ultimate are one the force is level all the way.
    assert!(
        (strain / pull.uniform_strain - 1.0).abs() < 0.02 || ultimate_mpa / yield_mpa < 1.01,
        "{name}: {strain} {}",
        pull.uniform_strain
    );
    assert!(pull.uniform_strain < pull.last_strain, "{name}");
    let mut before = 0.0;
    for at in 0..=1000 {
        let flow = pull.hardening.at(2.0 * pull.last_strain * f64::from(at) / 1000.0);
        assert!(flow.stress_mpa >= before && flow.slope_mpa >= 0.0 && flow.stress_mpa.is_finite(), "{name}");
        before = flow.stress_mpa;
    }
    let first = pull.hardening.at(0.0).stress_mpa / yield_mpa;
    assert!((0.5..1.01).contains(&first), "{name}: {first}");
    assert_eq!(pull.hardening.at(3.0 * pull.last_strain).slope_mpa, 0.0, "{name}");
}

#[test]
fn every_metal_has_its_yield_and_its_ultimate_strength() {
    for metal in metals() {
        check(&metal);
    }
}

#[test]
fn the_slope_at_the_greatest_force_is_the_stress_there() {
    // Considère, with what elastic strain takes from the area besides.
    for metal in metals() {
        let pull = FirstPull::of(&metal).unwrap();
        let at = |part: f64| pull.hardening.at(part * pull.uniform_strain);
        let stress = at(1.0).stress_mpa;
        let needed = stress / (1.0 - 2.0 * metal.poisson_ratio * stress / metal.youngs_modulus_mpa);
        let [before, after] = [0.999, 1.001].map(|part| at(part).slope_mpa);
        assert!(after < needed && needed < before, "{}: {after} {needed} {before}", metal.name);
        // Straight pieces: the last before it is a little steeper.
        assert!(before / needed < 1.06, "{}: {before} {needed}", metal.name);
    }
}

#[test]
fn a_lot_passes_through_its_own_fracture() {
    for (lot, metal) in
        [(&lot::ALUMINIUM_7075_T6, library::ALUMINIUM_7075_T6), (&lot::STEEL_4340, library::STEEL_4340_180)]
    {
        let own = Material { yield_mpa: lot.yield_mpa, ultimate_mpa: lot.ultimate_mpa, ..metal.material() };
        check(&own);
        let pull = FirstPull::of(&own).unwrap();
        assert_eq!(pull.basis, CurveBasis::Lot(lot));
        let torn = pull.hardening.at(strain_of_neck(lot.reduction_of_area)).stress_mpa;
        assert!((torn / lot.true_fracture_mpa - 1.0).abs() < 1e-6, "{torn}");
    }
}

#[test]
fn the_lot_of_7075_is_the_power_law_that_is_listed_for_it() {
    // First pull of 7075-T6: 827 MPa times strain to 0.113 (Dowling table 12.1, from memory), a fit to large strains.
    let lot = &lot::ALUMINIUM_7075_T6;
    let own = Material {
        yield_mpa: lot.yield_mpa,
        ultimate_mpa: lot.ultimate_mpa,
        ..library::ALUMINIUM_7075_T6.material()
    };
    let pull = FirstPull::of(&own).unwrap();
    assert_eq!(pull.uniform_strain, 0.113);
    for strain in [0.03, 0.06, 0.1, 0.2, 0.4] {
        let listed = 827.0 * f64::powf(strain, 0.113);
        let found = pull.hardening.at(strain).stress_mpa;
        assert!((found / listed - 1.0).abs() < 0.03, "{strain}: {found} {listed}");
    }
}

#[test]
fn a_metal_made_stronger_has_the_same_curve_higher_up() {
    for mut metal in metals() {
        let plain = FirstPull::of(&metal).unwrap();
        metal.scale_strength(1.1);
        let strong = FirstPull::of(&metal).unwrap();
        for strain in [0.0, 0.002, 0.02, 0.2] {
            let [a, b] = [&plain, &strong].map(|pull| pull.hardening.at(strain).stress_mpa);
            assert!((b / a / 1.1 - 1.0).abs() < 0.01, "{} {strain}: {a} {b}", metal.name);
        }
        check(&metal);
    }
}

/// A metal that yields so that half way to its ultimate strength lies this part of the way that it has.
fn with_flow(material: &Material, part: f64) -> Material {
    let flow = material.yield_mpa + part * (material.ultimate_mpa - material.yield_mpa);
    Material { yield_mpa: 2.0 * flow - material.ultimate_mpa, ..material.clone() }
}

#[test]
fn ultimate_hardly_above_yield_and_far_above_it() {
    for metal in metals() {
        for part in [0.0, 0.5, 0.999, 1.0] {
            let flowing = with_flow(&metal, part);
            if flowing.yield_mpa > 0.5 * flowing.ultimate_mpa {
                check(&flowing);
            }
        }
    }
    let soft = library::find("304").unwrap().material();
    for (elongation, yield_mpa, ultimate_mpa) in
        [(0.005, 400.0, 401.0), (0.02, 300.0, 360.0), (0.6, 200.0, 1000.0), (1.0, 300.0, 300.0)]
    {
        check(&Material { elongation: Some(elongation), yield_mpa, ultimate_mpa, ..soft.clone() });
    }
}

#[test]
fn what_a_model_file_may_hold_never_breaks_it() {
    let soft = library::find("304").unwrap().material();
    for youngs_modulus_mpa in [1000.0, 500_000.0] {
        for (yield_mpa, ultimate_mpa) in [(10.0, 10.0), (10.0, 5000.0), (5000.0, 5000.0)] {
            for elongation in [0.005, 1.0] {
                let elongation = Some(elongation);
                let metal =
                    Material { youngs_modulus_mpa, yield_mpa, ultimate_mpa, elongation, ..soft.clone() };
                let pull = FirstPull::of(&metal).unwrap();
                let stress = pull.hardening.at(0.1).stress_mpa;
                assert!(stress.is_finite() && stress > 0.0, "{metal:?}");
            }
        }
    }
}

#[test]
fn nothing_is_made_of_a_metal_whose_stretch_is_unknown() {
    let soft = library::find("304").unwrap().material();
    assert_eq!(FirstPull::of(&Material { elongation: None, ..soft.clone() }), None);
    assert_eq!(FirstPull::of(&soft).unwrap().basis, CurveBasis::Elongation);
}
