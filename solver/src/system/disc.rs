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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plane::{Elastic, PlaneState};
    use geometry::curve::Curve;
    use geometry::mesh::{MeshSettings, triangulate};
    use geometry::region::{Piece, Region, Stretch};
    use std::f64::consts::TAU;

    #[test]
    fn a_disc_follows_rigid_motions_exactly() {
        // A coarse circle of uneven edges: its own mean misses the centre.
        let circle = Circle { centre: [1.1, 0.3], radius: 2.0 };
        let corners = [[-6.0, -4.0], [5.0, -3.0], [7.0, 4.5], [-5.0, 3.5]];
        let outline = (0..4)
            .map(|i| Piece {
                curve: Curve::Line { from: corners[i], to: corners[(i + 1) % 4] },
                stretch: Stretch::GateEdge,
            })
            .collect();
        let Circle { centre, radius } = circle;
        let ring = |from: f64, to: f64| Piece {
            curve: Curve::Arc { centre, radius, from, to },
            stretch: Stretch::NoseDisc,
        };
        let lines = vec![ring(0.0, 0.3), ring(0.3, 0.9), ring(0.9, 2.0), ring(2.0, TAU)];
        let region = Region { loops: vec![outline], lines };
        let mesh = triangulate(&region, &|_| 1.2, &MeshSettings::default()).unwrap();
        let elastic = Elastic { youngs_modulus_mpa: 70e3, poisson_ratio: 0.33, state: PlaneState::Stress };
        let body = Body::new(mesh, &|_| 1.0, &|_| false, elastic).unwrap();
        let [along_x, along_y, turn] = Disc::new(&body, circle).unwrap().ports();
        let moved = |f: &dyn Fn([f64; 2]) -> [f64; 2]| -> [f64; 3] {
            let u: Vec<f64> = body.mesh().points.iter().flat_map(|p| f(*p)).collect();
            [&along_x, &along_y, &turn].map(|port| port.displacement(&u))
        };
        let same = |got: [f64; 3], expected: [f64; 3]| {
            for (g, e) in got.iter().zip(expected) {
                assert!((g - e).abs() < 1e-13, "{got:?} against {expected:?}");
            }
        };
        same(moved(&|_| [0.7, -0.2]), [0.7, -0.2, 0.0]);
        // A turn about the origin carries the centre along, and turns by itself.
        let t = 1e-2;
        same(moved(&|p| [-t * p[1], t * p[0]]), [-t * centre[1], t * centre[0], t]);
    }
}
