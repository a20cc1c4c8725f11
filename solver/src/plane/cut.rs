//! Section forces from element nodal forces.
//!
//! Summing what the triangles on one side of a line exert at its nodes gives the section force without integrating a
//! recovered stress: it balances the loads to rounding, whatever the mesh.

use super::body::Body;
use super::element;
use super::loads::Resultant;
use geometry::curve::Point;
use geometry::mesh::NamedEdge;

/// Force and moment that act across a line on the triangles for which `side` is true: what the rest of the body (and any
/// load at the line's own nodes) exerts on that side.
///
/// `line`: edges that cut the body right through. `about`: where the moment is taken, mm. Forces in N, moment in N mm,
/// counter-clockwise positive.
#[must_use]
pub fn cut_forces(
    body: &Body,
    u: &[f64],
    line: &[NamedEdge],
    side: &dyn Fn(usize) -> bool,
    about: Point,
) -> Resultant {
    let mut on_line = vec![false; body.mesh().points.len()];
    for node in line.iter().flat_map(|edge| edge.nodes) {
        on_line[node as usize] = true;
    }
    let mut sum = Resultant::default();
    for (t, nodes) in body.mesh().triangles.iter().enumerate() {
        if !nodes.iter().any(|n| on_line[*n as usize]) || !side(t) {
            continue;
        }
        for (node, force) in nodes.iter().zip(nodal_forces(body, u, t)) {
            if on_line[*node as usize] {
                sum.add(force, body.mesh().points[*node as usize], about);
            }
        }
    }
    sum
}

/// Forces, N, that the six nodes of a triangle exert on it under displacements `u`, mm.
#[must_use]
pub fn nodal_forces(body: &Body, u: &[f64], triangle: usize) -> [[f64; 2]; 6] {
    let moduli = body.elastic().moduli();
    let displacements = body.displacements_of(triangle, u);
    let mut forces = [[0.0; 2]; 6];
    for sample in body.samples(triangle) {
        let [x, y, shear] = moduli.stress(element::strain(&sample.placed.gradient, &displacements));
        let volume = sample.area_mm2 * sample.breadth_mm;
        for (force, g) in forces.iter_mut().zip(sample.placed.gradient) {
            force[0] += volume * (x * g[0] + shear * g[1]);
            force[1] += volume * (shear * g[0] + y * g[1]);
        }
    }
    forces
}
