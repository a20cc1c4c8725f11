use super::*;
use crate::plane::stress::von_mises_across;
use crate::plastic::hardening::{Beyond, Measured};

const E: f64 = 210e3;
const NU: f64 = 0.3;
const STRENGTH: f64 = 240.0;

fn elastic(state: PlaneState) -> Elastic {
    Elastic { youngs_modulus_mpa: E, poisson_ratio: NU, state }
}

fn hardenings() -> Vec<Hardening> {
    let measured = Measured::new(vec![[0.0, 240.0], [0.01, 300.0], [0.2, 400.0]], Beyond::Level).unwrap();
    vec![
        Hardening::Perfect { yield_mpa: STRENGTH },
        Hardening::Swift { yield_mpa: STRENGTH, offset: 0.002, exponent: 0.2 },
        Hardening::RambergOsgood { strength_mpa: 600.0, exponent: 0.15 },
        Hardening::Measured(measured),
    ]
}

fn laws() -> impl Iterator<Item = Law> {
    [PlaneState::Stress, PlaneState::Strain].into_iter().flat_map(|state| {
        hardenings().into_iter().map(move |hardening| Law { elastic: elastic(state), hardening })
    })
}

/// A point that has been bent and sheared before.
fn bent(law: &Law) -> Memory {
    [[0.004, -0.001, 0.003], [0.006, 0.001, -0.002]]
        .iter()
        .fold(Memory::default(), |memory, strain| law.at(&memory, *strain).memory)
}

#[test]
fn first_yield_is_where_von_mises_says() {
    // Equally in both directions at the strength itself, in shear at its root of a third, with the strain beside held at
    // strength / sqrt(1 - nu + nu^2): by definition.
    let law = Law { elastic: elastic(PlaneState::Stress), hardening: hardenings().swap_remove(0) };
    let moduli = law.elastic.moduli();
    let aside = (1.0 - NU + NU * NU).sqrt().recip();
    assert!((aside - 1.125_09).abs() < 1e-5);
    let both = STRENGTH * (1.0 - NU) / E;
    let shear = STRENGTH / 3.0_f64.sqrt() / moduli.shear;
    for (strain, largest) in [
        ([both, both, 0.0], STRENGTH),
        ([0.0, 0.0, shear], STRENGTH / 3.0_f64.sqrt()),
        ([aside * STRENGTH / moduli.direct, 0.0, 0.0], aside * STRENGTH),
    ] {
        let [below, above] =
            [0.999_999_9, 1.000_001].map(|by| law.at(&Memory::default(), strain.map(|e| by * e)));
        assert_eq!(below.memory, Memory::default(), "{strain:?}");
        assert!(above.memory.accumulated > 0.0, "{strain:?}");
        let found = above.stress.iter().fold(0.0_f64, |m, s| m.max(s.abs()));
        assert!((found / largest - 1.0).abs() < 1e-6, "{found} {largest}");
    }
}

#[test]
fn a_held_side_ends_at_two_over_root_three() {
    let law = Law { elastic: elastic(PlaneState::Stress), hardening: hardenings().swap_remove(0) };
    let end = (0..2000).fold((Memory::default(), 0.0), |(memory, _), step| {
        let point = law.at(&memory, [f64::from(step) * 5e-5, 0.0, 0.0]);
        (point.memory, point.stress[0])
    });
    assert!((end.1 / STRENGTH - 2.0 / 3.0_f64.sqrt()).abs() < 1e-6, "{}", end.1 / STRENGTH);
}

#[test]
fn plain_tension_and_shear_follow_the_curve() {
    for hardening in hardenings() {
        let law = Law { elastic: elastic(PlaneState::Stress), hardening };
        // The stress is chosen, the strain that belongs to it is closed: elastic part with nu, plastic part with one half.
        for accumulated in [1e-5, 1e-3, 0.02, 0.2] {
            let stress = law.hardening.at(accumulated).stress_mpa;
            let strain = [stress / E + accumulated, -NU * stress / E - 0.5 * accumulated, 0.0];
            let found = law.at(&Memory::default(), strain);
            for (found, wanted) in found.stress.iter().zip([stress, 0.0, 0.0]) {
                assert!((found - wanted).abs() < 1e-8 * stress, "{law:?}: {found} {wanted}");
            }
            assert!((found.memory.accumulated / accumulated - 1.0).abs() < 1e-8);
            let tau = stress / 3.0_f64.sqrt();
            let sheared =
                law.at(&Memory::default(), [0.0, 0.0, tau / law.shear_mpa() + 3.0_f64.sqrt() * accumulated]);
            assert!(
                (sheared.stress[2] / tau - 1.0).abs() < 1e-8 && sheared.stress[0].abs() < 1e-8,
                "{law:?}: {sheared:?}"
            );
        }
    }
}

#[test]
fn plane_strain_tension_after_yield_keeps_its_volume() {
    // Far beyond yield the stress across is the mean of the others but for elastic remains; von Mises and volume hold exactly.
    for hardening in hardenings() {
        let law = Law { elastic: elastic(PlaneState::Strain), hardening };
        let bulk = E / (3.0 * (1.0 - 2.0 * NU));
        let mut memory = Memory::default();
        for step in 1..=50 {
            let strain = [f64::from(step) * 1e-3, -f64::from(step) * 0.9e-3, 0.0];
            let point = law.at(&memory, strain);
            memory = point.memory;
            let mean = (point.stress[0] + point.stress[1] + point.across) / 3.0;
            assert!((mean - bulk * (strain[0] + strain[1])).abs() < 1e-8 * STRENGTH);
            let flow = law.hardening.at(memory.accumulated).stress_mpa;
            assert!((von_mises_across(point.stress, point.across) / flow - 1.0).abs() < 1e-8, "{law:?}");
        }
    }
}

#[test]
fn the_stiffness_is_the_derivative_of_the_stress() {
    for law in laws() {
        for memory in [Memory::default(), bent(&law)] {
            for strain in
                [[2e-4, -1e-4, 3e-4], [0.012, -0.004, 0.006], [-0.003, 0.008, -0.012], [0.05, -0.02, 0.03]]
            {
                let found = law.at(&memory, strain);
                for j in 0..3 {
                    const STEP: f64 = 1e-8;
                    let at = |by: f64| {
                        let mut strain = strain;
                        strain[j] += by;
                        law.at(&memory, strain).stress
                    };
                    let (up, down) = (at(STEP), at(-STEP));
                    for i in 0..3 {
                        let slope = (up[i] - down[i]) / (2.0 * STEP);
                        assert!(
                            (slope - found.stiffness[i][j]).abs() < 1e-5 * E,
                            "{law:?} {strain:?} {i} {j}: {slope} {}",
                            found.stiffness[i][j]
                        );
                        assert!((found.stiffness[i][j] - found.stiffness[j][i]).abs() < 1e-9 * E);
                    }
                }
            }
        }
    }
}

#[test]
fn unloading_is_elastic_and_heat_is_never_given_back() {
    for law in laws() {
        let mut memory = Memory::default();
        // A walk that turns often.
        for step in 0..400 {
            let t = f64::from(step) * 0.05;
            let strain = [0.02 * t.sin(), 0.01 * (1.7 * t).sin(), 0.03 * (0.6 * t).cos() - 0.03];
            let point = law.at(&memory, strain);
            assert!(
                point.dissipated >= 0.0 && point.memory.accumulated >= memory.accumulated,
                "{law:?} {step}"
            );
            // Back along the elastic line nothing more is left behind. (With the strain across held, no way back is that plain.)
            if law.elastic.state == PlaneState::Stress && von_mises(point.stress) > 1.0 {
                let back = law.at(
                    &point.memory,
                    std::array::from_fn(|i| 0.98 * strain[i] + 0.02 * point.memory.plastic[i]),
                );
                assert_eq!(back.memory, point.memory, "{law:?} {step}");
                assert!((back.stiffness[2][2] / law.elastic.moduli().shear - 1.0).abs() < 1e-12);
            }
            memory = point.memory;
        }
    }
}
