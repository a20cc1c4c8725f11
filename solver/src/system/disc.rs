//! A pin's motion as a weighted mean of its body's motion over the pin's disc.
//!
//! The weights sum to one and their centroid is the pin's centre exactly; otherwise the forces of two pins on a gate would
//! not lie on one line.

use super::ports::Port;
use crate::plane::Body;
use geometry::outline::Circle;

/// Weights of the nodes of a disc.
#[derive(Clone, Debug)]
pub struct Disc {
    weights: Vec<(u32, f64)>,
    circle: Circle,
    second_moment: f64,
    points: Vec<[f64; 2]>,
}

impl Disc {
    /// The disc of `circle` in a body whose mesh follows that circle. `None` when no triangle lies inside.
    #[must_use]
    pub fn new(body: &Body, circle: Circle) -> Option<Self> {
        let mesh = body.mesh();
        let inside =
            |p: [f64; 2]| (p[0] - circle.centre[0]).hypot(p[1] - circle.centre[1]) < circle.radius * 0.9999;
        let mut sums = std::collections::BTreeMap::<u32, f64>::new();
        for (index, triangle) in mesh.triangles.iter().enumerate() {
            let [a, b, c] = [0, 1, 2].map(|i| mesh.points[triangle[i] as usize]);
            if !inside([(a[0] + b[0] + c[0]) / 3.0, (a[1] + b[1] + c[1]) / 3.0]) {
                continue;
            }
            for sample in body.samples(index) {
                for (node, shape) in triangle.iter().zip(sample.station.shape) {
                    *sums.entry(*node).or_insert(0.0) += shape * sample.area_mm2;
                }
            }
        }
        if sums.is_empty() {
            return None;
        }
        let nodes: Vec<u32> = sums.keys().copied().collect();
        let offsets: Vec<[f64; 2]> = nodes
            .iter()
            .map(|n| {
                let p = mesh.points[*n as usize];
                [p[0] - circle.centre[0], p[1] - circle.centre[1]]
            })
            .collect();
        let raw: Vec<f64> = sums.values().copied().collect();
        let area: f64 = raw.iter().sum();
        let raw: Vec<f64> = raw.iter().map(|w| w / area).collect();
        // Correct by (alpha + beta . offset), weighted evenly, so that sum and centroid are exact.
        let even = 1.0 / nodes.len() as f64;
        let mut normal = nalgebra::Matrix3::<f64>::zeros();
        let mut miss = nalgebra::Vector3::new(1.0, 0.0, 0.0);
        for (w, o) in raw.iter().zip(&offsets) {
            let base = nalgebra::Vector3::new(1.0, o[0], o[1]);
            normal += even * base * base.transpose();
            miss -= *w * base;
        }
        let correction = normal.lu().solve(&miss)?;
        let weights: Vec<(u32, f64)> = nodes
            .iter()
            .zip(&raw)
            .zip(&offsets)
            .map(|((n, w), o)| {
                let base = nalgebra::Vector3::new(1.0, o[0], o[1]);
                (*n, w + even * correction.dot(&base))
            })
            .collect();
        let second_moment =
            weights.iter().zip(&offsets).map(|((_, w), o)| w * (o[0] * o[0] + o[1] * o[1])).sum();
        Some(Self { weights, circle, second_moment, points: offsets })
    }

    /// Centre and radius.
    #[must_use]
    pub fn circle(&self) -> Circle {
        self.circle
    }

    /// Unit force on the disc along x, along y, and unit moment: the ports whose displacements are the mean translation
    /// (mm) and the mean rotation (rad).
    #[must_use]
    pub fn ports(&self) -> [Port; 3] {
        let along = |axis: u32| Port::new(self.weights.iter().map(|(n, w)| (2 * n + axis, *w)).collect());
        let turn = self
            .weights
            .iter()
            .zip(&self.points)
            .flat_map(|((n, w), o)| {
                let scale = w / self.second_moment;
                [(2 * n, -scale * o[1]), (2 * n + 1, scale * o[0])]
            })
            .collect();
        [along(0), along(1), Port::new(turn)]
    }
}
