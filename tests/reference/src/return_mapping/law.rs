//! Stress and stiffness at one point.
//!
//! In plane strain the elastic guess is scaled back along its deviator. In plane stress the stress across the plane stays nothing,
//! so mean and deviator come back by different parts, with one unknown for both; after Simo and Taylor, a return mapping
//! algorithm for plane stress elastoplasticity, 1986.

use solver::plane::{Elastic, PlaneState};

/// Stress `[xx, yy, xy, zz]`, MPa, tension positive.
pub type Stress = [f64; 4];

/// Elastic, perfectly plastic metal after von Mises.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Law {
    /// What it is while elastic, in plane stress or plane strain.
    pub elastic: Elastic,
    /// Strength in plain tension, MPa.
    pub strength_mpa: f64,
}

/// A point after a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Returned {
    /// Its stress.
    pub stress: Stress,
    /// Derivative of the stress `[xx, yy, xy]` by the strain `[xx, yy, engineering xy]` of the step, MPa; symmetric.
    pub stiffness: [[f64; 3]; 3],
    /// True when the step left the elastic range.
    pub yields: bool,
}

/// Stress less its mean.
fn deviator(stress: &Stress) -> ([f64; 4], f64) {
    let mean = (stress[0] + stress[1] + stress[3]) / 3.0;
    ([stress[0] - mean, stress[1] - mean, stress[2], stress[3] - mean], mean)
}

/// Length of a deviator, shear counted twice.
fn length(s: &[f64; 4]) -> f64 {
    (s[0] * s[0] + s[1] * s[1] + 2.0 * s[2] * s[2] + s[3] * s[3]).sqrt()
}

/// Von Mises stress, MPa.
#[must_use]
pub fn von_mises(stress: &Stress) -> f64 {
    1.5_f64.sqrt() * length(&deviator(stress).0)
}

impl Law {
    /// A step of strain `[xx, yy, engineering xy]` in the plane from a stress within or on the yield surface.
    #[must_use]
    pub fn step(&self, before: &Stress, strain: [f64; 3]) -> Returned {
        match self.elastic.state {
            PlaneState::Strain => self.in_plane_strain(before, strain),
            PlaneState::Stress => self.in_plane_stress(before, strain),
        }
    }

    fn shear_mpa(&self) -> f64 {
        0.5 * self.elastic.youngs_modulus_mpa / (1.0 + self.elastic.poisson_ratio)
    }

    fn in_plane_strain(&self, before: &Stress, strain: [f64; 3]) -> Returned {
        let shear = self.shear_mpa();
        let bulk = self.elastic.youngs_modulus_mpa / (3.0 * (1.0 - 2.0 * self.elastic.poisson_ratio));
        let [xx, yy, xy] = strain;
        let volume = xx + yy;
        let (held, mean) = deviator(before);
        let change = [xx - volume / 3.0, yy - volume / 3.0, 0.5 * xy, -volume / 3.0];
        let guess: [f64; 4] = std::array::from_fn(|i| held[i] + 2.0 * shear * change[i]);
        let (reach, limit) = (length(&guess), (2.0_f64 / 3.0).sqrt() * self.strength_mpa);
        let yields = reach > limit;
        let kept = if yields { limit / reach } else { 1.0 };
        let mean = mean + bulk * volume;
        let s = guess.map(|x| kept * x);
        let stress = [s[0] + mean, s[1] + mean, s[2], s[3] + mean];
        // Turning of the radius keeps its share; growth along it is lost once the point yields.
        let n = guess.map(|x| x / reach.max(f64::MIN_POSITIVE));
        let lost = if yields { 1.0 } else { 0.0 };
        let two = 2.0 * shear * kept;
        let direct = |i: usize, j: usize| {
            let unit = if i == j { 2.0 / 3.0 } else { -1.0 / 3.0 };
            bulk + two * (unit - lost * n[i] * n[j])
        };
        let mixed = |i: usize| -two * lost * n[i] * n[2];
        let stiffness = [
            [direct(0, 0), direct(0, 1), mixed(0)],
            [direct(0, 1), direct(1, 1), mixed(1)],
            [mixed(0), mixed(1), two * (0.5 - lost * n[2] * n[2])],
        ];
        Returned { stress, stiffness, yields }
    }

    fn in_plane_stress(&self, before: &Stress, strain: [f64; 3]) -> Returned {
        let shear = self.shear_mpa();
        // Stiffness against a growth of area: both directions pulled alike.
        let area = self.elastic.youngs_modulus_mpa / (1.0 - self.elastic.poisson_ratio);
        let change = self.elastic.moduli().stress(strain);
        let guess: [f64; 3] = std::array::from_fn(|i| before[i] + change[i]);
        let sum = (guess[0] + guess[1]).powi(2) / 6.0;
        let rest = 0.5 * (guess[0] - guess[1]).powi(2) + 2.0 * guess[2].powi(2);
        let limit = self.strength_mpa.powi(2) * 2.0 / 3.0;
        let yields = sum + rest > limit;
        // Flow at which what is left of sum and rest lies on the surface: convex and falling, so Newton's steps from nothing
        // come to it from one side.
        let mut flow = 0.0;
        if yields {
            for _ in 0..MOST {
                let (p, q) = (1.0 + area / 3.0 * flow, 1.0 + 2.0 * shear * flow);
                let over = sum / (p * p) + rest / (q * q) - limit;
                let slope = -2.0 * (sum * area / (3.0 * p.powi(3)) + rest * 2.0 * shear / q.powi(3));
                flow -= over / slope;
                if over.abs() < 1e-13 * limit {
                    break;
                }
            }
        }
        let (p, q) = (1.0 + area / 3.0 * flow, 1.0 + 2.0 * shear * flow);
        let (mean, half) = (0.5 * (guess[0] + guess[1]) / p, 0.5 * (guess[0] - guess[1]) / q);
        let stress = [mean + half, mean - half, guess[2] / q, 0.0];
        let (a, b) = (0.5 * area / p, shear / q);
        let mut stiffness = [[a + b, a - b, 0.0], [a - b, a + b, 0.0], [0.0, 0.0, b]];
        if yields {
            let [xx, yy, xy, _] = stress;
            let normal = [(2.0 * xx - yy) / 3.0, (2.0 * yy - xx) / 3.0, 2.0 * xy];
            let lost = stiffness.map(|row| row.iter().zip(normal).map(|(d, n)| d * n).sum::<f64>());
            let whole: f64 = lost.iter().zip(normal).map(|(l, n)| l * n).sum();
            for (row, one) in stiffness.iter_mut().zip(lost) {
                for (entry, other) in row.iter_mut().zip(lost) {
                    *entry -= one * other / whole;
                }
            }
        }
        Returned { stress, stiffness, yields }
    }
}

/// Steps of Newton's method at one point.
const MOST: usize = 50;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{plane_strain, plane_stress};

    const E: f64 = 210e3;
    const NU: f64 = 0.3;
    const STRENGTH: f64 = 240.0;

    fn laws() -> [Law; 2] {
        [plane_strain(E, NU), plane_stress(E, NU)].map(|elastic| Law { elastic, strength_mpa: STRENGTH })
    }

    #[test]
    fn below_the_strength_it_is_the_solvers_elasticity() {
        let strain = [3e-4, -1e-4, 2e-4];
        for law in laws() {
            let wanted = law.elastic.moduli().stress(strain);
            let found = law.step(&[0.0; 4], strain);
            assert!(!found.yields);
            for ((stress, row), wanted) in found.stress.iter().zip(&found.stiffness).zip(wanted) {
                assert!((stress - wanted).abs() < 1e-9);
                let by_row: f64 = row.iter().zip(strain).map(|(d, e)| d * e).sum();
                assert!((by_row - wanted).abs() < 1e-9);
            }
            assert!((found.stress[3] - law.elastic.across(wanted)).abs() < 1e-9);
        }
    }

    #[test]
    fn beyond_it_the_point_stays_on_the_yield_surface() {
        for law in laws() {
            let across = law.elastic.across([50.0, -20.0, 30.0]);
            let found = law.step(&[50.0, -20.0, 30.0, across], [4e-3, -1e-3, 2e-3]);
            assert!(found.yields && (von_mises(&found.stress) / STRENGTH - 1.0).abs() < 1e-12, "{found:?}");
            match law.elastic.state {
                // Flow keeps the volume: the mean grows as while elastic.
                PlaneState::Strain => {
                    let mean = (found.stress[0] + found.stress[1] + found.stress[3]) / 3.0;
                    let bulk = E / (3.0 * (1.0 - 2.0 * NU));
                    assert!((mean - (30.0 + across) / 3.0 - bulk * 3e-3).abs() < 1e-9);
                }
                PlaneState::Stress => assert_eq!(found.stress[3], 0.0),
            }
        }
    }

    #[test]
    fn plain_tension_beyond_yield_ends_at_the_strength() {
        // Contraction of 0.3 while elastic, of one half beyond.
        let elastic = STRENGTH / E;
        let found = laws()[1].step(&[0.0; 4], [elastic + 1e-3, -NU * elastic - 0.5e-3, 0.0]);
        let [xx, yy, xy, zz] = found.stress;
        assert!((xx - STRENGTH).abs() < 1e-9 && yy.abs() < 1e-9 && xy == 0.0 && zz == 0.0, "{found:?}");
    }

    #[test]
    fn the_stiffness_is_the_derivative_of_the_stress() {
        for law in laws() {
            let before = [50.0, -20.0, 30.0, law.elastic.across([50.0, -20.0, 30.0])];
            for strain in [[2e-4, -1e-4, 3e-4], [4e-3, -1e-3, 2e-3], [-1e-3, 5e-3, -4e-3]] {
                let found = law.step(&before, strain);
                for j in 0..3 {
                    const STEP: f64 = 1e-7;
                    let at = |by: f64| {
                        let mut strain = strain;
                        strain[j] += by;
                        law.step(&before, strain).stress
                    };
                    let (up, down) = (at(STEP), at(-STEP));
                    for i in 0..3 {
                        let slope = (up[i] - down[i]) / (2.0 * STEP);
                        assert!((slope - found.stiffness[i][j]).abs() < 1e-5 * E, "{strain:?} {i} {j}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_solvers_law_of_a_metal_that_does_not_harden_is_the_same() {
        use solver::plastic::{Hardening, Law as Hardened, Memory};
        for law in laws() {
            let hardened =
                Hardened { elastic: law.elastic, hardening: Hardening::Perfect { yield_mpa: STRENGTH } };
            let (mut memory, mut stress, mut before) = (Memory::default(), [0.0; 4], [0.0; 3]);
            // A walk that turns often: here in steps from the stress before, there from what is left behind.
            for step in 0..200 {
                let t = f64::from(step) * 0.1;
                let strain = [0.01 * t.sin(), 0.006 * (1.7 * t).sin(), 0.012 * (0.6 * t).sin()];
                let here = law.step(&stress, std::array::from_fn(|i| strain[i] - before[i]));
                let there = hardened.at(&memory, strain);
                for (a, b) in here.stress[..3]
                    .iter()
                    .chain([&here.stress[3]])
                    .zip(there.stress.iter().chain([&there.across]))
                {
                    assert!((a - b).abs() < 1e-8 * STRENGTH, "{law:?} {step}: {a} {b}");
                }
                for (a, b) in here.stiffness.iter().flatten().zip(there.stiffness.iter().flatten()) {
                    assert!((a - b).abs() < 1e-7 * E, "{law:?} {step}: {a} {b}");
                }
                (memory, stress, before) = (there.memory, here.stress, strain);
            }
        }
    }
}
