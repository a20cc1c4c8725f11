//! How far the stress is from the recovered one: an estimate of the error in the energy norm.
//!
//! The recovered stress is smoother and more accurate than the elements' own, so their difference stands for the error
//! (Zienkiewicz and Zhu, 1987). Weighted with breadth: thin regions store little energy and matter little. It says how good
//! the mesh is as a whole; it does not bound the error of a peak.

use super::body::Body;
use super::element;
use super::recovery::Recovery;
use rayon::prelude::*;

/// Estimated error of a displacement field.
#[derive(Clone, Debug)]
pub struct ErrorEstimate {
    /// Of each triangle: square root of the energy of the difference, sqrt(N mm).
    pub per_triangle: Vec<f64>,
    /// Of each triangle: its own energy norm, same unit.
    pub energy_per_triangle: Vec<f64>,
    /// Of the body, same unit.
    pub total: f64,
    /// Energy norm of the field itself, same unit.
    pub energy_norm: f64,
}

impl ErrorEstimate {
    /// Estimated error relative to the energy norm, percent: 0 to 100; 0 for a body at rest.
    #[must_use]
    pub fn percent(&self) -> f64 {
        let whole = self.total.hypot(self.energy_norm);
        if whole == 0.0 { 0.0 } else { 100.0 * self.total / whole }
    }
}

/// Estimates the error of the displacements `u`, mm, whose recovered stress is `rows` ([`Recovery::row_stress`]).
///
/// # Panics
/// If `rows` belongs to another recovery.
#[must_use]
pub fn estimate(body: &Body, recovery: &Recovery, u: &[f64], rows: &[[f64; 3]]) -> ErrorEstimate {
    let moduli = body.elastic().moduli();
    let squares: Vec<[f64; 2]> = (0..body.triangles())
        .into_par_iter()
        .with_min_len(256)
        .map(|t| {
            let displacements = body.displacements_of(t, u);
            let smooth = recovery.rows_of(t).map(|row| rows[row as usize]);
            let mut sums = [0.0; 2];
            for sample in body.samples(t) {
                let stress = moduli.stress(element::strain(&sample.placed.gradient, &displacements));
                let mut difference = stress.map(|s| -s);
                for (n, node) in sample.station.shape.iter().zip(&smooth) {
                    for (d, s) in difference.iter_mut().zip(node) {
                        *d += n * s;
                    }
                }
                let volume = sample.area_mm2 * sample.breadth_mm;
                sums[0] += volume * moduli.work(difference);
                sums[1] += volume * moduli.work(stress);
            }
            sums
        })
        .collect();
    // One after the other, so that the sum does not depend on threads.
    let [error, energy] = squares.iter().fold([0.0; 2], |[a, b], [c, d]| [a + c, b + d]);
    ErrorEstimate {
        per_triangle: squares.iter().map(|[e, _]| e.sqrt()).collect(),
        energy_per_triangle: squares.iter().map(|[_, e]| e.sqrt()).collect(),
        total: error.sqrt(),
        energy_norm: energy.sqrt(),
    }
}
