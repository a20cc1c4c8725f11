//! A strict bound from the other side, for tests: stresses that are linear in each triangle, in equilibrium in it and
//! across its edges, and within the yield surface at its corners, hence everywhere.

use crate::plane::grid::grid;
use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver, SolverStatus, SupportedConeT::SecondOrderConeT,
    SupportedConeT::ZeroConeT,
};
use geometry::curve::Point;
use geometry::mesh::Mesh;
use std::collections::BTreeMap;

/// What is known of the traction on an edge of the outline.
#[derive(Clone, Copy, PartialEq)]
enum Edge {
    Free,
    /// A line of symmetry or a smooth rigid end.
    Smooth,
}

/// Largest force along y through the edges for which `loaded` is true, at strength and thickness of one.
fn largest_force(mesh: &Mesh, edge: &dyn Fn(Point) -> Edge, loaded: &dyn Fn(Point) -> bool) -> f64 {
    let count = 9 * mesh.triangles.len();
    let (mut rows, mut columns, mut values) = (Vec::new(), Vec::new(), Vec::new());
    let mut b: Vec<f64> = Vec::new();
    let mut q = vec![0.0; count];
    let mut put = |row: usize, column: usize, value: f64| {
        rows.push(row);
        columns.push(column);
        values.push(value);
    };
    let at = |n: u32| mesh.points[n as usize];
    let mut edges: BTreeMap<[u32; 2], Vec<(usize, [usize; 2])>> = BTreeMap::new();
    for (t, nodes) in mesh.triangles.iter().enumerate() {
        let p = [at(nodes[0]), at(nodes[1]), at(nodes[2])];
        let twice = (p[1][0] - p[0][0]) * (p[2][1] - p[0][1]) - (p[2][0] - p[0][0]) * (p[1][1] - p[0][1]);
        for k in 0..3 {
            let (m, n) = ((k + 1) % 3, (k + 2) % 3);
            let g = [(p[m][1] - p[n][1]) / twice, (p[n][0] - p[m][0]) / twice];
            let v = 9 * t + 3 * k;
            put(b.len(), v, g[0]);
            put(b.len(), v + 2, g[1]);
            put(b.len() + 1, v + 2, g[0]);
            put(b.len() + 1, v + 1, g[1]);
            let (a, c) = (nodes[k], nodes[m]);
            let local = if a < c { [k, m] } else { [m, k] };
            edges.entry([a.min(c), a.max(c)]).or_default().push((t, local));
        }
        b.extend([0.0; 2]);
    }
    for ([a, c], sides) in &edges {
        let (p, r) = (at(*a), at(*c));
        let length = (r[0] - p[0]).hypot(r[1] - p[1]);
        let n = [(r[1] - p[1]) / length, (p[0] - r[0]) / length];
        let middle = [0.5 * (p[0] + r[0]), 0.5 * (p[1] + r[1])];
        for end in 0..2 {
            // Coefficients of the traction's two components.
            let traction = [[n[0], 0.0, n[1]], [0.0, n[1], n[0]]];
            let wanted: Vec<[f64; 3]> = match (sides.len(), edge(middle)) {
                (1, Edge::Smooth) => {
                    let along = [-n[1], n[0]];
                    vec![std::array::from_fn(|i| along[0] * traction[0][i] + along[1] * traction[1][i])]
                }
                _ => traction.to_vec(),
            };
            for coefficients in wanted {
                for ((t, local), sign) in sides.iter().zip([1.0, -1.0]) {
                    for (i, c) in coefficients.iter().enumerate() {
                        put(b.len(), 9 * t + 3 * local[end] + i, sign * c);
                    }
                }
                b.push(0.0);
            }
            if sides.len() == 1 && loaded(middle) {
                let (t, local) = sides[0];
                q[9 * t + 3 * local[end] + 1] -= 0.5 * length;
            }
        }
    }
    let mut cones = vec![ZeroConeT(b.len())];
    for corner in 0..3 * mesh.triangles.len() {
        // xx^2 + yy^2 - xx yy + 3 xy^2 <= 1.
        let v = 3 * corner;
        let r = b.len();
        put(r + 1, v, -1.0);
        put(r + 1, v + 1, 0.5);
        put(r + 2, v + 1, -0.75_f64.sqrt());
        put(r + 3, v + 2, -3.0_f64.sqrt());
        b.extend([1.0, 0.0, 0.0, 0.0]);
        cones.push(SecondOrderConeT(4));
    }
    let a = CscMatrix::new_from_triplets(b.len(), count, rows, columns, values);
    let none = CscMatrix::zeros((count, count));
    // Four digits are enough; continuity around a corner is told once too often, which the regularisation bears.
    let settings = DefaultSettings {
        verbose: false,
        tol_gap_abs: 1e-6,
        tol_gap_rel: 1e-6,
        tol_feas: 1e-7,
        static_regularization_constant: 1e-7,
        ..Default::default()
    };
    let mut solver = DefaultSolver::new(&none, &q, &a, &b, &cones, settings).unwrap();
    solver.solve();
    assert_eq!(solver.solution.status, SolverStatus::Solved);
    -solver.solution.obj_val
}

#[test]
fn a_strip_with_a_hole_is_bounded_from_below() {
    let (hole, columns, rows) = (0.4, 28, 56);
    let inside = |scale: f64| {
        move |p: Point| {
            let (sin, cos) = (0.5 * std::f64::consts::PI * p[1]).sin_cos();
            let r = hole * scale;
            let radius = r + (1.0 / sin.max(cos) - r) * p[0];
            [radius * cos, radius * sin]
        }
    };
    // The outermost chords touch the hole: no metal is added.
    let touch = 1.0 / (0.25 * std::f64::consts::PI / f64::from(rows)).cos();
    let mesh = grid(columns, rows, &inside(touch));
    let lower = largest_force(
        &mesh,
        &|p| {
            let smooth = p[0] < 1e-6 || p[1] < 1e-6 || p[1] > 1.0 - 1e-6;
            if smooth { Edge::Smooth } else { Edge::Free }
        },
        &|p| p[1] > 1.0 - 1e-6,
    );
    let mut metal = super::Metal::new(grid(columns, rows, &inside(1.0)), &|_| 1.0, 1.0);
    metal.drive(&|p| p[0] < 1e-9, 0, 0.0);
    metal.drive(&|p| p[1] < 1e-9, 1, 0.0);
    metal.drive(&|p| p[1] > 1.0 - 1e-9, 1, 1.0);
    let mut linear = super::Linear::new(&metal.mesh, &metal.held).unwrap();
    let upper = super::least_dissipation(&metal, &[], &mut linear).unwrap().dissipation;
    assert!(lower <= 0.6 + 1e-6 && 0.6 <= upper, "{lower} {upper}");
    assert!(lower > 0.98 * upper, "{lower} {upper}");
}
