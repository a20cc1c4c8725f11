//! Stress and stiffness at one point.

/// Stress `[xx, yy, xy, zz]`, MPa, tension positive.
pub type Stress = [f64; 4];

/// Elastic, perfectly plastic metal after von Mises.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Law {
    /// Modulus of compression, MPa.
    pub bulk_mpa: f64,
    /// Modulus of shear, MPa.
    pub shear_mpa: f64,
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
    /// From Young's modulus (MPa), Poisson's ratio (above -1 and below 0.5) and strength (MPa).
    #[must_use]
    pub fn new(youngs_modulus_mpa: f64, poisson_ratio: f64, strength_mpa: f64) -> Self {
        Self {
            bulk_mpa: youngs_modulus_mpa / (3.0 * (1.0 - 2.0 * poisson_ratio)),
            shear_mpa: youngs_modulus_mpa / (2.0 * (1.0 + poisson_ratio)),
            strength_mpa,
        }
    }

    /// A step of plane strain `[xx, yy, engineering xy]` from a stress within or on the yield surface.
    #[must_use]
    pub fn step(&self, before: &Stress, strain: [f64; 3]) -> Returned {
        let (bulk, shear) = (self.bulk_mpa, self.shear_mpa);
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
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::plane_strain;

    const E: f64 = 210e3;
    const NU: f64 = 0.3;
    const STRENGTH: f64 = 240.0;

    fn law() -> Law {
        Law::new(E, NU, STRENGTH)
    }

    #[test]
    fn below_the_strength_it_is_the_solvers_elasticity() {
        let strain = [3e-4, -1e-4, 2e-4];
        let elastic = plane_strain(E, NU);
        let wanted = elastic.moduli().stress(strain);
        let found = law().step(&[0.0; 4], strain);
        assert!(!found.yields);
        for ((stress, row), wanted) in found.stress.iter().zip(&found.stiffness).zip(wanted) {
            assert!((stress - wanted).abs() < 1e-9);
            let by_row: f64 = row.iter().zip(strain).map(|(d, e)| d * e).sum();
            assert!((by_row - wanted).abs() < 1e-9);
        }
        assert!((found.stress[3] - elastic.across(wanted)).abs() < 1e-9);
    }

    #[test]
    fn beyond_it_the_point_stays_on_the_yield_surface_and_keeps_its_pressure() {
        let strain = [4e-3, -1e-3, 2e-3];
        let found = law().step(&[50.0, -20.0, 30.0, 10.0], strain);
        assert!(found.yields && (von_mises(&found.stress) / STRENGTH - 1.0).abs() < 1e-12);
        let mean = (found.stress[0] + found.stress[1] + found.stress[3]) / 3.0;
        assert!((mean - 40.0 / 3.0 - law().bulk_mpa * 3e-3).abs() < 1e-9);
    }

    #[test]
    fn the_stiffness_is_the_derivative_of_the_stress() {
        let before = [50.0, -20.0, 30.0, 10.0];
        for strain in [[2e-4, -1e-4, 3e-4], [4e-3, -1e-3, 2e-3], [-1e-3, 5e-3, -4e-3]] {
            let found = law().step(&before, strain);
            for j in 0..3 {
                const STEP: f64 = 1e-7;
                let at = |by: f64| {
                    let mut strain = strain;
                    strain[j] += by;
                    law().step(&before, strain).stress
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
