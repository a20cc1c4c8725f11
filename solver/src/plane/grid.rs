//! A structured mesh on a mapped square, for verification problems, tests and benchmarks that should not depend on the
//! mesher.

use geometry::curve::Point;
use geometry::mesh::{Mesh, NamedEdge};
use geometry::region::Stretch;

/// Name of the side at the bottom of the square.
pub const BOTTOM: Stretch = Stretch::Side(0);
/// Name of the side at the right.
pub const RIGHT: Stretch = Stretch::Side(1);
/// Name of the side at the top.
pub const TOP: Stretch = Stretch::Side(2);
/// Name of the side at the left.
pub const LEFT: Stretch = Stretch::Side(3);
/// Name of the inner line up the middle column of vertices, run from bottom to top.
pub const MIDDLE: Stretch = Stretch::Side(4);

/// A mesh of `2 * columns * rows` six-node triangles on the image of the unit square under `map`.
///
/// `map` takes square to plane (mm), keeping the turning sense. All nodes lie on the true image, so curved sides are
/// followed by their quadratics. The diagonals of the cells alternate, so that no corner is left with a single triangle
/// and the mesh has no preferred direction.
///
/// # Panics
/// If `columns` or `rows` is zero.
#[must_use]
pub fn grid(columns: u32, rows: u32, map: &dyn Fn(Point) -> Point) -> Mesh {
    assert!(columns > 0 && rows > 0, "a grid needs at least one cell");
    let (wide, high) = (2 * columns + 1, 2 * rows + 1);
    let node = |i: u32, j: u32| j * wide + i;
    let mut points = Vec::new();
    for j in 0..high {
        for i in 0..wide {
            points.push(map([f64::from(i) / f64::from(wide - 1), f64::from(j) / f64::from(high - 1)]));
        }
    }
    let triangle = |a: [u32; 2], b: [u32; 2], c: [u32; 2]| {
        let middle = |p: [u32; 2], q: [u32; 2]| node((p[0] + q[0]) / 2, (p[1] + q[1]) / 2);
        [node(a[0], a[1]), node(b[0], b[1]), node(c[0], c[1]), middle(a, b), middle(b, c), middle(c, a)]
    };
    let mut triangles = Vec::new();
    for j in 0..rows {
        for i in 0..columns {
            let [a, b, c, d] = [[0, 0], [2, 0], [2, 2], [0, 2]].map(|[x, y]| [2 * i + x, 2 * j + y]);
            if (i + j) % 2 == 0 {
                triangles.extend([triangle(b, c, a), triangle(c, d, a)]);
            } else {
                triangles.extend([triangle(a, b, d), triangle(b, c, d)]);
            }
        }
    }
    let along = |count: u32, at: &dyn Fn(u32) -> u32, stretch: Stretch| -> Vec<NamedEdge> {
        (0..count).map(|k| NamedEdge { nodes: [at(2 * k), at(2 * k + 2), at(2 * k + 1)], stretch }).collect()
    };
    let mut boundary = along(columns, &|k| node(k, 0), BOTTOM);
    boundary.extend(along(rows, &|k| node(wide - 1, k), RIGHT));
    boundary.extend(along(columns, &|k| node(wide - 1 - k, high - 1), TOP));
    boundary.extend(along(rows, &|k| node(0, high - 1 - k), LEFT));
    let lines = along(rows, &|k| node(2 * (columns / 2), k), MIDDLE);
    let min_angle_deg = triangles
        .iter()
        .map(|t: &[u32; 6]| smallest_angle([t[0], t[1], t[2]].map(|n| points[n as usize])))
        .fold(f64::INFINITY, f64::min)
        .to_degrees();
    Mesh { points, triangles, boundary, lines, min_angle_deg, refinement_complete: true }
}

fn smallest_angle(p: [Point; 3]) -> f64 {
    let angle = |a: Point, b: Point, c: Point| {
        let (u, v) = ([b[0] - a[0], b[1] - a[1]], [c[0] - a[0], c[1] - a[1]]);
        (u[0] * v[1] - u[1] * v[0]).atan2(u[0] * v[0] + u[1] * v[1]).abs()
    };
    angle(p[0], p[1], p[2]).min(angle(p[1], p[2], p[0])).min(angle(p[2], p[0], p[1]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_and_angles() {
        let mesh = grid(4, 3, &|p| [4.0 * p[0], 3.0 * p[1]]);
        assert_eq!((mesh.points.len(), mesh.triangles.len(), mesh.boundary.len()), (63, 24, 14));
        assert!((mesh.min_angle_deg - 45.0).abs() < 1e-9);
        // The outline closes.
        for (edge, next) in mesh.boundary.iter().zip(mesh.boundary.iter().cycle().skip(1)) {
            assert_eq!(edge.nodes[1], next.nodes[0]);
        }
        assert!(mesh.lines.iter().all(|e| (mesh.points[e.nodes[2] as usize][0] - 2.0).abs() < 1e-12));
    }
}
