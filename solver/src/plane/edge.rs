//! Points along a quadratic edge: the side of a six-node triangle, parameter -1 at its start and 1 at its end.

use geometry::curve::Point;
use geometry::mesh::{Mesh, NamedEdge};

/// Shape functions of start, end and middle.
#[must_use]
pub fn shape(t: f64) -> [f64; 3] {
    [0.5 * t * (t - 1.0), 0.5 * t * (t + 1.0), 1.0 - t * t]
}

/// Their derivatives by the parameter.
#[must_use]
pub fn gradient(t: f64) -> [f64; 3] {
    [t - 0.5, t + 0.5, -2.0 * t]
}

/// A point of an edge.
#[derive(Clone, Copy, Debug)]
pub struct EdgePoint {
    /// Where it is, mm.
    pub point: Point,
    /// Weights of start, end and middle; they sum to one.
    pub shape: [f64; 3],
    /// Unit normal to the right of the edge: out of the material for an outline edge.
    pub normal: Point,
    /// Length of edge per unit of parameter, mm.
    pub speed_mm: f64,
}

/// The point of `edge` at parameter `t`.
#[must_use]
pub fn at(mesh: &Mesh, edge: &NamedEdge, t: f64) -> EdgePoint {
    let (shape, gradient) = (shape(t), gradient(t));
    let (mut point, mut tangent) = ([0.0; 2], [0.0; 2]);
    for ((node, n), g) in edge.nodes.iter().zip(shape).zip(gradient) {
        let p = mesh.points[*node as usize];
        for axis in 0..2 {
            point[axis] += n * p[axis];
            tangent[axis] += g * p[axis];
        }
    }
    let speed_mm = tangent[0].hypot(tangent[1]);
    EdgePoint { point, shape, normal: [tangent[1] / speed_mm, -tangent[0] / speed_mm], speed_mm }
}

#[cfg(test)]
mod tests {
    use super::super::conformance;
    use super::super::grid::{RIGHT, grid};
    use super::*;

    #[test]
    fn three_node_edge_conforms() {
        conformance::shape_functions(
            &[[-1.0, 0.0], [1.0, 0.0], [0.0, 0.0]],
            |p| shape(p[0]).to_vec(),
            |p| gradient(p[0]).iter().map(|g| [*g, 0.0]).collect(),
        );
    }

    #[test]
    fn normal_of_the_right_side_points_right() {
        let mesh = grid(1, 1, &|p| [2.0 * p[0], 3.0 * p[1]]);
        let edge = mesh.boundary.iter().find(|e| e.stretch == RIGHT).unwrap();
        let p = at(&mesh, edge, 0.5);
        assert!((p.normal[0] - 1.0).abs() < 1e-15 && p.normal[1].abs() < 1e-15);
        assert!((p.point[1] - 2.25).abs() < 1e-15 && (p.speed_mm - 1.5).abs() < 1e-15);
    }
}
