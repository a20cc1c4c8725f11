//! Curved bars whose breadth varies over the depth, in pure bending and pulled like a hook, as problems in one dimension.
//!
//! Bending: turning one end about the centre of curvature stretches a fibre at radius r by e_t = u / r + 1 for each unit of turn per
//! angle, with u its radial displacement and e_r = u'. Equilibrium is d(t r s_r)/dr = t s_t with plane-stress moduli and the
//! breadth t.
//!
//! Pulling by a force through the centre of curvature: all stress goes with the sine (shear: cosine) of the angle q from the
//! line of the force, and so do the displacements u = U(r) sin q and v = V(r) cos q, but for a translation along that line
//! which grows with the angle, c q. Then e_r = U' sin q, e_t = (U - V - c) / r sin q and the shear strain is
//! (V' + (U - V + c) / r) cos q: the least energy over U and V for a given c leaves r alone.
//!
//! Both are solved by polynomials of high degree on each piece of the depth where the breadth is smooth; the integrals run
//! over an angle, which takes the square root of a round edge out.

use crate::model::ModelError;
use nalgebra::{DMatrix, DVector};
use solver::plane::Elastic;
use std::f64::consts::FRAC_PI_2;

/// What the bar does under a unit of turn per angle.
#[derive(Clone, Copy, Debug)]
pub struct Bent {
    /// Stress around at the inner and outer fibre, MPa.
    pub stress: [f64; 2],
    /// Moment that closes the bar, N mm.
    pub moment: f64,
}

/// Points of the integration over each piece; the integrand is smooth in the angle, so this is far beyond 1e-12.
const POINTS: u32 = 80;

/// Solves the bar. `breaks`: radii where the breadth is not smooth, both ends included, ascending, mm. `breadth`: mm at a
/// radius. `degree`: of the polynomials.
///
/// # Errors
/// [`ModelError::Singular`] when the breadth carries nothing.
pub fn bend(
    breaks: &[f64],
    breadth: &dyn Fn(f64) -> f64,
    elastic: Elastic,
    degree: usize,
) -> Result<Bent, ModelError> {
    let moduli = elastic.moduli();
    let size = (breaks.len() - 1) * degree + 1;
    let (mut matrix, mut force) = (DMatrix::<f64>::zeros(size, size), DVector::<f64>::zeros(size));
    let stations = stations(breaks, degree);
    for s in &stations {
        // Energy t r (e_r s_r + e_t s_t) / 2 with e_t = u / r + 1.
        let t = s.weight * breadth(s.radius);
        for (i, (f, df)) in s.values.iter().zip(&s.slopes).enumerate() {
            force[s.first + i] -= t * (moduli.direct * f + moduli.cross * s.radius * df);
            for (j, (g, dg)) in s.values.iter().zip(&s.slopes).enumerate() {
                let around = f * g / s.radius;
                let across = s.radius * df * dg;
                matrix[(s.first + i, s.first + j)] +=
                    t * (moduli.direct * (around + across) + moduli.cross * (f * dg + df * g));
            }
        }
    }
    let u = matrix.cholesky().ok_or(ModelError::Singular { what: "bar of varying breadth" })?.solve(&force);
    let around = |s: &Station| {
        let (mut value, mut slope) = (0.0, 0.0);
        for (i, (f, df)) in s.values.iter().zip(&s.slopes).enumerate() {
            value += f * u[s.first + i];
            slope += df * u[s.first + i];
        }
        moduli.direct * (value / s.radius + 1.0) + moduli.cross * slope
    };
    let moment: f64 = stations.iter().map(|s| s.weight * breadth(s.radius) * s.radius * around(s)).sum();
    let pieces = breaks.len() - 1;
    let ends = [
        station([breaks[0], breaks[1]], -1.0, 0.0, 0, degree),
        station([breaks[pieces - 1], breaks[pieces]], 1.0, 0.0, (pieces - 1) * degree, degree),
    ];
    // Tension outside closes the bar.
    Ok(Bent { stress: ends.map(|end| around(&end)), moment })
}

/// What a hook does under a pull through its centre of curvature, for a translation of 1 mm per radian.
#[derive(Clone, Debug)]
pub struct Pulled {
    /// Stress around at the inner and outer fibre of the section square to the pull, MPa.
    pub stress: [f64; 2],
    /// The pull, N.
    pub pull: f64,
    breaks: Vec<f64>,
    degree: usize,
    shear_modulus_mpa: f64,
    /// U, then V.
    fields: Vec<f64>,
}

impl Pulled {
    /// What acts on the end along the line of the pull, outward, MPa, at a radius; it sums up to the pull.
    #[must_use]
    pub fn end_shear(&self, radius: f64) -> f64 {
        let last = self.breaks.len() - 2;
        let piece = self.breaks[1..=last].partition_point(|b| *b < radius);
        let ends = [self.breaks[piece], self.breaks[piece + 1]];
        let x = (2.0 * radius - ends[0] - ends[1]) / (ends[1] - ends[0]);
        let here = station(ends, x, 0.0, piece * self.degree, self.degree);
        // The angle grows away from the end, into the bar.
        -self.shear_modulus_mpa * here.pulled(&self.fields)[2]
    }
}

/// Solves a hook; arguments as for [`bend`].
///
/// # Errors
/// [`ModelError::Singular`] when the breadth carries nothing.
pub fn pull(
    breaks: &[f64],
    breadth: &dyn Fn(f64) -> f64,
    elastic: Elastic,
    degree: usize,
) -> Result<Pulled, ModelError> {
    let moduli = elastic.moduli();
    let pieces = breaks.len() - 1;
    let size = pieces * degree + 1;
    let (mut matrix, mut force) =
        (DMatrix::<f64>::zeros(2 * size, 2 * size), DVector::<f64>::zeros(2 * size));
    let stations = stations(breaks, degree);
    for s in &stations {
        let volume = s.weight * breadth(s.radius) * s.radius;
        // What each unknown strains: across, around, shear.
        let strains: Vec<(usize, [f64; 3])> = s
            .values
            .iter()
            .zip(&s.slopes)
            .enumerate()
            .flat_map(|(i, (f, df))| {
                let over_r = f / s.radius;
                [(s.first + i, [*df, over_r, over_r]), (size + s.first + i, [0.0, -over_r, df - over_r])]
            })
            .collect();
        let given = moduli.stress([0.0, -1.0 / s.radius, 1.0 / s.radius]);
        for (i, strain) in &strains {
            let stress = moduli.stress(*strain);
            force[*i] -= volume * (0..3).map(|k| strain[k] * given[k]).sum::<f64>();
            for (j, other) in &strains {
                matrix[(*i, *j)] += volume * (0..3).map(|k| stress[k] * other[k]).sum::<f64>();
            }
        }
    }
    // A translation of the whole bar, U = V, strains nothing: V is held at the inner fibre.
    matrix.row_mut(size).fill(0.0);
    matrix.column_mut(size).fill(0.0);
    (matrix[(size, size)], force[size]) = (1.0, 0.0);
    let fields = matrix.cholesky().ok_or(ModelError::Singular { what: "hook of varying breadth" })?;
    let fields: Vec<f64> = fields.solve(&force).iter().copied().collect();
    let around = |s: &Station| moduli.stress(s.pulled(&fields))[1];
    let pull = stations.iter().map(|s| s.weight * breadth(s.radius) * around(s)).sum();
    let ends = [
        station([breaks[0], breaks[1]], -1.0, 0.0, 0, degree),
        station([breaks[pieces - 1], breaks[pieces]], 1.0, 0.0, (pieces - 1) * degree, degree),
    ];
    Ok(Pulled {
        stress: ends.map(|end| around(&end)),
        pull,
        breaks: breaks.to_vec(),
        degree,
        shear_modulus_mpa: moduli.shear,
        fields,
    })
}

/// One point of the integration.
struct Station {
    radius: f64,
    /// Length of depth it stands for, mm.
    weight: f64,
    /// First unknown of its piece.
    first: usize,
    values: Vec<f64>,
    /// By the radius, 1/mm.
    slopes: Vec<f64>,
}

impl Station {
    /// Strain of a hook for a unit of translation per angle: across and around at the section square to the pull, and
    /// shear at the section along it. `fields`: U, then V.
    fn pulled(&self, fields: &[f64]) -> [f64; 3] {
        let (u, v) = fields.split_at(fields.len() / 2);
        let sum = |field: &[f64], weights: &[f64]| -> f64 {
            weights.iter().zip(&field[self.first..]).map(|(w, c)| w * c).sum()
        };
        let off = sum(u, &self.values) - sum(v, &self.values);
        [sum(u, &self.slopes), (off - 1.0) / self.radius, sum(v, &self.slopes) + (off + 1.0) / self.radius]
    }
}

fn stations(breaks: &[f64], degree: usize) -> Vec<Station> {
    let rule = gauss(POINTS);
    let mut all = Vec::new();
    for (k, ends) in breaks.windows(2).enumerate() {
        for (x, w) in &rule {
            let (sin, cos) = (FRAC_PI_2 * x).sin_cos();
            all.push(station([ends[0], ends[1]], sin, w * FRAC_PI_2 * cos, k * degree, degree));
        }
    }
    all
}

/// The point at `x` (-1 to 1) of a piece; `weight` in the same measure.
fn station([from, to]: [f64; 2], x: f64, weight: f64, first: usize, degree: usize) -> Station {
    let half = 0.5 * (to - from);
    let (p, dp) = legendre(x, degree);
    // Hat functions at the two ends, which neighbours share, and integrated Legendre polynomials that vanish at both ends.
    let (mut values, mut slopes) = (vec![0.5 * (1.0 - x)], vec![-0.5 / half]);
    for n in 2..=degree {
        let scale = (4.0 * n as f64 - 2.0).sqrt();
        values.push((p[n] - p[n - 2]) / scale);
        slopes.push((dp[n] - dp[n - 2]) / scale / half);
    }
    values.push(0.5 * (1.0 + x));
    slopes.push(0.5 / half);
    Station { radius: from + half * (1.0 + x), weight: weight * half, first, values, slopes }
}

/// Legendre polynomials up to `degree` and their derivatives.
fn legendre(x: f64, degree: usize) -> (Vec<f64>, Vec<f64>) {
    let (mut p, mut dp) = (vec![1.0, x], vec![0.0, 1.0]);
    for n in 2..=degree {
        let k = n as f64;
        p.push(((2.0 * k - 1.0) * x * p[n - 1] - (k - 1.0) * p[n - 2]) / k);
        dp.push(dp[n - 2] + (2.0 * k - 1.0) * p[n - 1]);
    }
    (p, dp)
}

/// Gauss-Legendre rule on -1..=1, by Newton's method on the polynomial.
fn gauss(points: u32) -> Vec<(f64, f64)> {
    let n = points as usize;
    (0..points)
        .map(|i| {
            let mut x = (std::f64::consts::PI * (f64::from(i) + 0.75) / (f64::from(points) + 0.5)).cos();
            for _ in 0..20 {
                let (p, dp) = legendre(x, n);
                x -= p[n] / dp[n];
            }
            let slope = legendre(x, n).1[n];
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curved_bar::exact;
    use crate::model::plane_stress;

    #[test]
    fn constant_breadth_gives_golovins_field() {
        for outer in [1.3, 2.0, 4.3] {
            let bent = bend(&[1.0, outer], &|_| 1.0, plane_stress(1000.0, 0.3), 24).unwrap();
            for (got, opening) in bent.stress.iter().zip(exact(outer)) {
                let error = got / bent.moment + opening;
                assert!(error.abs() < 1e-9 * opening.abs(), "{outer}: {error}");
            }
        }
    }

    #[test]
    fn constant_breadth_gives_the_closed_form_of_a_hook() {
        // Timoshenko and Goodier, article 33: radii 1 and b, thickness 1, pull P.
        for b in [1.5_f64, 3.0] {
            let hook = pull(&[1.0, b], &|_| 1.0, plane_stress(1000.0, 0.3), 24).unwrap();
            let n = 1.0 - b * b + (1.0 + b * b) * b.ln();
            let around = |r: f64| -(3.0 * r - b * b / r.powi(3) - (1.0 + b * b) / r) / n;
            for (got, r) in hook.stress.iter().zip([1.0, b]) {
                assert!((got / hook.pull / around(r) - 1.0).abs() < 1e-9, "{b}: {got}");
            }
            let r = 0.3 + 0.7 * b;
            let shear = -(r + b * b / r.powi(3) - (1.0 + b * b) / r) / n;
            assert!((hook.end_shear(r) / hook.pull / shear - 1.0).abs() < 1e-8);
        }
    }

    #[test]
    fn the_shear_of_a_hook_sums_up_to_the_pull() {
        // A kink in the breadth at 1.4, where a piece ends.
        let breadth = |r: f64| if r < 1.4 { 3.0 } else { 3.0 - (r - 1.4) };
        let hook = pull(&[1.0, 1.4, 3.0], &breadth, plane_stress(1000.0, 0.3), 20).unwrap();
        let sum: f64 = (0..20_000)
            .map(|i| 1.0 + 1e-4 * (f64::from(i) + 0.5))
            .map(|r| 1e-4 * breadth(r) * hook.end_shear(r))
            .sum();
        assert!((sum / hook.pull - 1.0).abs() < 1e-6, "{sum} {}", hook.pull);
    }

    #[test]
    fn more_pieces_change_nothing() {
        let breadth = |r: f64| 2.0 * (1.0 - (r - 2.0) * (r - 2.0)).max(0.0).sqrt();
        let steel = plane_stress(1000.0, 0.3);
        let one = bend(&[1.0, 3.0], &breadth, steel, 30).unwrap();
        let three = bend(&[1.0, 1.5, 2.2, 3.0], &breadth, steel, 20).unwrap();
        for (a, b) in one.stress.iter().zip(three.stress) {
            assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
        }
        assert!((one.moment / three.moment - 1.0).abs() < 1e-11);
    }
}
