//! Consistent nodal forces of distributed and single loads.
//!
//! "Consistent" means: the same work as the distributed load on every displacement the elements can take, so resultant and
//! moment are exact up to the integration. Every function adds to `forces` (one value per unknown, N), so loads can be
//! combined.

use super::body::Body;
use super::edge;
use super::locate::PointRow;
use super::quadrature::LINE_POINTS;
use geometry::curve::Point;
use geometry::mesh::{Mesh, NamedEdge};
use geometry::region::Stretch;

/// A load along edges. The function gets the point (mm) and the unit normal out of the material, and returns x and y parts.
#[derive(Clone, Copy)]
pub enum Traction<'a> {
    /// Force per length of edge, N/mm.
    PerLength(&'a dyn Fn(Point, Point) -> [f64; 2]),
    /// Force per area, MPa, over a breadth in mm.
    PerArea {
        /// The force per area.
        stress: &'a dyn Fn(Point, Point) -> [f64; 2],
        /// The breadth it acts on.
        breadth: &'a dyn Fn(Point) -> f64,
    },
}

/// The outline edges on a stretch.
pub fn edges_on(mesh: &Mesh, stretch: Stretch) -> impl Iterator<Item = &NamedEdge> {
    mesh.boundary.iter().filter(move |edge| edge.stretch == stretch)
}

/// Adds a load along edges, integrated on the true quadratic edges with four points each.
pub fn add_traction<'m>(
    mesh: &Mesh,
    edges: impl IntoIterator<Item = &'m NamedEdge>,
    traction: Traction<'_>,
    forces: &mut [f64],
) {
    for edge in edges {
        for (t, weight) in LINE_POINTS {
            let p = edge::at(mesh, edge, t);
            let ([x, y], breadth) = match traction {
                Traction::PerLength(load) => (load(p.point, p.normal), 1.0),
                Traction::PerArea { stress, breadth } => (stress(p.point, p.normal), breadth(p.point)),
            };
            let length = weight * p.speed_mm * breadth;
            for (node, n) in edge.nodes.iter().zip(p.shape) {
                forces[2 * *node as usize] += n * length * x;
                forces[2 * *node as usize + 1] += n * length * y;
            }
        }
    }
}

/// Adds a load over the plane: `load` gives force per area of the plane, N/mm^2 (breadth already in it), at a point.
pub fn add_area_load(body: &Body, load: &dyn Fn(Point) -> [f64; 2], forces: &mut [f64]) {
    for t in 0..body.triangles() {
        let nodes = body.nodes_of(t);
        for sample in body.samples(t) {
            let [x, y] = load(super::element::point(&nodes, &sample.station.shape));
            for (node, n) in body.mesh().triangles[t].iter().zip(sample.station.shape) {
                forces[2 * *node as usize] += n * sample.area_mm2 * x;
                forces[2 * *node as usize + 1] += n * sample.area_mm2 * y;
            }
        }
    }
}

/// Adds a single force, N, at a point inside the body ([`super::Locator::row`]).
pub fn add_point_load(row: &PointRow, force: [f64; 2], forces: &mut [f64]) {
    for (node, weight) in row.nodes.iter().zip(row.weights) {
        forces[2 * *node as usize] += weight * force[0];
        forces[2 * *node as usize + 1] += weight * force[1];
    }
}

/// A force and a moment that together stand for many forces.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Resultant {
    /// Sum of the forces, N.
    pub force: [f64; 2],
    /// Moment about the point asked for, N mm, counter-clockwise positive.
    pub moment: f64,
}

impl Resultant {
    /// Adds a force, N, that acts at `at`, to a resultant about `about` (mm).
    pub fn add(&mut self, force: [f64; 2], at: Point, about: Point) {
        self.force[0] += force[0];
        self.force[1] += force[1];
        self.moment += (at[0] - about[0]) * force[1] - (at[1] - about[1]) * force[0];
    }
}

/// Resultant about a point (mm) of nodal forces (one value per unknown, N).
#[must_use]
pub fn resultant(mesh: &Mesh, forces: &[f64], about: Point) -> Resultant {
    let mut sum = Resultant::default();
    for (p, f) in mesh.points.iter().zip(forces.chunks_exact(2)) {
        sum.add([f[0], f[1]], *p, about);
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::super::elastic::{Elastic, PlaneState};
    use super::super::grid::{RIGHT, TOP, grid};
    use super::*;

    const STEEL: Elastic =
        Elastic { youngs_modulus_mpa: 210e3, poisson_ratio: 0.3, state: PlaneState::Stress };

    #[test]
    fn pressure_on_a_bent_edge_pushes_on_its_chord() {
        // Top side bent up: constant pressure gives the force on the chord, whatever the bend.
        let mesh = grid(4, 2, &|p| [8.0 * p[0], p[1] * (3.0 + p[0] * (1.0 - p[0]))]);
        let mut f = vec![0.0; 2 * mesh.points.len()];
        let push = |_: Point, n: Point| [-5.0 * n[0], -5.0 * n[1]];
        add_traction(&mesh, edges_on(&mesh, TOP), Traction::PerLength(&push), &mut f);
        let sum = resultant(&mesh, &f, [4.0, 0.0]);
        assert!(sum.force[0].abs() < 1e-12 && (sum.force[1] + 40.0).abs() < 1e-12, "{sum:?}");
        assert!(sum.moment.abs() < 1e-11);
    }

    #[test]
    fn stress_times_breadth_by_hand() {
        // Right side 6 long, breadth 2 + y, stress 10: force 10 * (12 + 18) = 300, moment -10 * (2 * 18 + 72) about y = 0.
        let mesh = grid(1, 3, &|p| [2.0 * p[0], 6.0 * p[1]]);
        let mut f = vec![0.0; 2 * mesh.points.len()];
        let load = Traction::PerArea { stress: &|_, n| [10.0 * n[0], 0.0], breadth: &|p| 2.0 + p[1] };
        add_traction(&mesh, edges_on(&mesh, RIGHT), load, &mut f);
        let sum = resultant(&mesh, &f, [0.0, 0.0]);
        assert!((sum.force[0] - 300.0).abs() < 1e-10 && (sum.moment + 1080.0).abs() < 1e-9, "{sum:?}");
    }

    #[test]
    fn area_load_by_hand() {
        // 0.5 * x per area on 4 x 2: force 0.5 * 8 * 2 = 8 along y, at x = 8/3.
        let body = Body::new(grid(2, 2, &|p| [4.0 * p[0], 2.0 * p[1]]), &|_| 3.0, &|_| false, STEEL).unwrap();
        let mut f = vec![0.0; body.unknowns()];
        add_area_load(&body, &|p| [0.0, 0.5 * p[0]], &mut f);
        let sum = resultant(body.mesh(), &f, [0.0, 0.0]);
        assert!((sum.force[1] - 8.0).abs() < 1e-12 && (sum.moment - 64.0 / 3.0).abs() < 1e-12);
    }
}
