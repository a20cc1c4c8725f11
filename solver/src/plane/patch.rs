//! A polynomial fitted to stress samples around a corner.

use geometry::curve::Point;
use nalgebra::{Matrix6, Vector6};

/// Samples in each triangle.
pub(super) const SAMPLES: usize = 3;

/// Terms of a full quadratic.
pub(super) const TERMS: usize = 6;

/// A fit is refused when a pivot of its normal matrix, scaled to ones on the diagonal, falls below this: the samples then
/// hardly tell the terms apart. Patches around inner corners are above 1e-2.
const LEAST_PIVOT: f64 = 1e-4;

/// A least-squares polynomial over the samples of some triangles, as the map from samples to coefficients.
pub(super) struct Patch {
    centre: Point,
    /// 1/mm: brings the samples within the unit circle, so that all terms are of one size.
    scale: f64,
    terms: usize,
    triangles: Vec<u32>,
    inverse: Matrix6<f64>,
}

impl Patch {
    /// None when the samples are too few or too alike for the number of terms (6, 3 or 1).
    pub(super) fn fit(triangles: &[u32], samples: &[Point], terms: usize) -> Option<Self> {
        let all = || sample_indices(triangles).map(|s| samples[s as usize]);
        let count = SAMPLES * triangles.len();
        if count < terms {
            return None;
        }
        let centre = [0, 1].map(|axis| all().map(|p| p[axis]).sum::<f64>() / count as f64);
        let reach = all()
            .map(|p| (p[0] - centre[0]).hypot(p[1] - centre[1]))
            .fold(0.0, |a: f64, b| if b > a { b } else { a });
        let mut patch = Self {
            centre,
            scale: 1.0 / reach,
            terms,
            triangles: triangles.to_vec(),
            inverse: Matrix6::zeros(),
        };
        let mut normal = Matrix6::zeros();
        for p in all() {
            let basis = patch.basis(p);
            normal += basis * basis.transpose();
        }
        for unused in terms..TERMS {
            normal[(unused, unused)] = 1.0;
        }
        let scales = Vector6::from_fn(|i, _| 1.0 / normal[(i, i)].sqrt());
        let scaled = Matrix6::from_fn(|i, j| normal[(i, j)] * scales[i] * scales[j]);
        let cholesky = scaled.cholesky()?;
        let pivots = cholesky.l_dirty().diagonal();
        if pivots.iter().any(|l| l * l < LEAST_PIVOT) {
            return None;
        }
        let inverse = cholesky.inverse();
        patch.inverse = Matrix6::from_fn(|i, j| inverse[(i, j)] * scales[i] * scales[j]);
        Some(patch)
    }

    fn basis(&self, p: Point) -> Vector6<f64> {
        let (x, y) = ((p[0] - self.centre[0]) * self.scale, (p[1] - self.centre[1]) * self.scale);
        match self.terms {
            1 => Vector6::new(1.0, 0.0, 0.0, 0.0, 0.0, 0.0),
            3 => Vector6::new(1.0, x, y, 0.0, 0.0, 0.0),
            _ => Vector6::new(1.0, x, y, x * x, x * y, y * y),
        }
    }

    /// The weights of the samples that give the polynomial's value at `place`, samples ascending if the triangles were.
    pub(super) fn weights<'a>(
        &'a self,
        place: Point,
        samples: &'a [Point],
    ) -> impl Iterator<Item = (u32, f64)> + 'a {
        let at = self.inverse * self.basis(place);
        sample_indices(&self.triangles).map(move |s| (s, at.dot(&self.basis(samples[s as usize]))))
    }
}

fn sample_indices(triangles: &[u32]) -> impl Iterator<Item = u32> + '_ {
    triangles.iter().flat_map(|t| (0..SAMPLES as u32).map(move |k| SAMPLES as u32 * t + k))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn samples_on_a_line_allow_no_plane() {
        let line: Vec<Point> = (0..6).map(|i| [f64::from(i), 2.0 * f64::from(i)]).collect();
        assert!(Patch::fit(&[0, 1], &line, 6).is_none());
        assert!(Patch::fit(&[0, 1], &line, 3).is_none());
        assert!(Patch::fit(&[0, 1], &line, 1).is_some());
    }

    #[test]
    fn weights_of_a_plane_by_hand() {
        // Three samples, three terms: the plane through them. At the point opposite the first one: b + c - a.
        let samples = [[0.0, 0.0], [2.0, 0.0], [0.0, 2.0]];
        let patch = Patch::fit(&[0], &samples, 3).unwrap();
        let weights = patch.weights([2.0, 2.0], &samples);
        for ((_, weight), exact) in weights.zip([-1.0, 1.0, 1.0]) {
            assert!((weight - exact).abs() < 1e-12);
        }
    }
}
