//! A strict bound from the other side, for tests: stresses that are linear in each triangle, in equilibrium in it and
//! across its edges, and within the yield surface at its corners, hence everywhere.

use super::nose_part::{Fineness, Flowing, NosePart, Patch, patch_ends};
use crate::plane::grid::grid;
use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver, SolverStatus, SupportedConeT::NonnegativeConeT,
    SupportedConeT::SecondOrderConeT, SupportedConeT::ZeroConeT,
};
use geometry::connector::{Connector, GatePlace};
use geometry::curve::Point;
use geometry::mesh::Mesh;
use geometry::outline::Outline;
use geometry::region::Stretch;
use std::collections::BTreeMap;

/// What is known of the traction on an edge of the outline.
#[derive(Clone, Copy, PartialEq)]
enum Edge {
    Free,
    /// A line of symmetry or a smooth rigid end.
    Smooth,
    /// Whatever holds the part may give any traction.
    Held,
    /// A smooth pin, which can only press.
    Pressed,
}

/// What is asked for.
struct Request<'a> {
    /// Thickness of each triangle, mm.
    thickness: &'a dyn Fn(usize) -> f64,
    /// Traction on an edge of the outline, by its two nodes.
    edge: &'a dyn Fn([u32; 2]) -> Edge,
    /// Edges whose force counts.
    loaded: &'a dyn Fn([u32; 2]) -> bool,
    /// Direction in which it counts; across it, it must come to nothing where `across` is true.
    along: Point,
    across: bool,
}

/// Largest force along a direction through the loaded edges, at a strength of 1 MPa, N. Unknowns are stresses times thickness
/// at the three corners of each triangle.
fn largest_force(mesh: &Mesh, asked: &Request<'_>) -> f64 {
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
    // Coefficients of the traction along `d` on an edge with normal `n`.
    let traction = |n: Point, d: Point| [n[0] * d[0], n[1] * d[1], n[0] * d[1] + n[1] * d[0]];
    let mut pressed: Vec<[(usize, f64); 3]> = Vec::new();
    let mut sideways: Vec<(usize, f64)> = Vec::new();
    for (nodes, sides) in &edges {
        let (p, r) = (at(nodes[0]), at(nodes[1]));
        let length = (r[0] - p[0]).hypot(r[1] - p[1]);
        let mut n = [(r[1] - p[1]) / length, (p[0] - r[0]) / length];
        let (t, local) = sides[0];
        let third = at(mesh.triangles[t][3 - local[0] - local[1]]);
        if (third[0] - p[0]) * n[0] + (third[1] - p[1]) * n[1] > 0.0 {
            n = [-n[0], -n[1]];
        }
        let tangent = [-n[1], n[0]];
        let kind = if sides.len() == 1 { (asked.edge)(*nodes) } else { Edge::Free };
        let zero: Vec<Point> = match kind {
            Edge::Free => vec![[1.0, 0.0], [0.0, 1.0]],
            Edge::Smooth | Edge::Pressed => vec![tangent],
            Edge::Held => Vec::new(),
        };
        for (end, corner) in local.into_iter().enumerate() {
            for d in &zero {
                for ((t, local), sign) in sides.iter().zip([1.0, -1.0]) {
                    for (i, c) in traction(n, *d).into_iter().enumerate() {
                        put(b.len(), 9 * t + 3 * local[end] + i, sign * c);
                    }
                }
                b.push(0.0);
            }
            let v = 9 * t + 3 * corner;
            if kind == Edge::Pressed {
                pressed.push(traction(n, n).map(|c| (0, c)));
                for (i, entry) in pressed.last_mut().unwrap().iter_mut().enumerate() {
                    entry.0 = v + i;
                }
            }
            if sides.len() == 1 && (asked.loaded)(*nodes) {
                let across = [-asked.along[1], asked.along[0]];
                for i in 0..3 {
                    q[v + i] -= 0.5 * length * traction(n, asked.along)[i];
                    sideways.push((v + i, 0.5 * length * traction(n, across)[i]));
                }
            }
        }
    }
    if asked.across {
        for (column, value) in sideways {
            put(b.len(), column, value);
        }
        b.push(0.0);
    }
    let mut cones = vec![ZeroConeT(b.len())];
    for row in &pressed {
        for (column, value) in row {
            put(b.len(), *column, *value);
        }
        b.push(0.0);
    }
    cones.push(NonnegativeConeT(pressed.len()));
    for corner in 0..3 * mesh.triangles.len() {
        // xx^2 + yy^2 - xx yy + 3 xy^2 <= 1.
        let v = 3 * corner;
        let r = b.len();
        put(r + 1, v, -1.0);
        put(r + 1, v + 1, 0.5);
        put(r + 2, v + 1, -0.75_f64.sqrt());
        put(r + 3, v + 2, -3.0_f64.sqrt());
        b.extend([(asked.thickness)(corner / 3), 0.0, 0.0, 0.0]);
        cones.push(SecondOrderConeT(4));
    }
    let a = CscMatrix::new_from_triplets(b.len(), count, rows, columns, values);
    let none = CscMatrix::zeros((count, count));
    // Four digits are enough; continuity around a corner is told once too often, which the regularisation holds.
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
    let middle = |nodes: [u32; 2]| {
        let [p, r] = nodes.map(|n| mesh.points[n as usize]);
        [0.5 * (p[0] + r[0]), 0.5 * (p[1] + r[1])]
    };
    let edge = |nodes| {
        let p = middle(nodes);
        let smooth = p[0] < 1e-6 || p[1] < 1e-6 || p[1] > 1.0 - 1e-6;
        if smooth { Edge::Smooth } else { Edge::Free }
    };
    let top = |nodes| middle(nodes)[1] > 1.0 - 1e-6;
    let asked = Request { thickness: &|_| 1.0, edge: &edge, loaded: &top, along: [0.0, 1.0], across: false };
    let lower = largest_force(&mesh, &asked);
    let mut metal = super::Metal::new(grid(columns, rows, &inside(1.0)), &|_| 1.0, 1.0);
    metal.drive(&|p| p[0] < 1e-9, 0, 0.0);
    metal.drive(&|p| p[1] < 1e-9, 1, 0.0);
    metal.drive(&|p| p[1] > 1.0 - 1e-9, 1, 1.0);
    let mut linear = super::Linear::new(&metal.mesh, &metal.held).unwrap();
    let upper = super::least_dissipation(&metal, &[], &mut linear).unwrap().dissipation;
    assert!(lower <= 0.6 + 1e-6 && 0.6 <= upper, "{lower} {upper}");
    assert!(lower > 0.98 * upper, "{lower} {upper}");
}

/// A bound from below closes in slowly.
const FINE: Fineness = Fineness { at_notch: 0.05, at_ends: 0.05 };

/// Bounds of a lip from below and above under a pin that is seated, at a strength of 1 MPa, N. The part's breadth is taken
/// as the least of each triangle's integration points, its curved edges as their chords, which add metal in the round end: strict
/// but for 3e-4 of the pin's radius there (the sagitta of the finest edges).
fn lip_between(connector: &Connector, patch: Patch) -> [f64; 2] {
    let outline = Outline::try_new(connector, GatePlace::Shut).unwrap();
    let notch = &outline.seats.notch;
    let marks = patch_ends(patch, 0.0, notch.end.radius);
    let mut part = NosePart::new(connector, &outline, &marks, Flowing::All, FINE).unwrap();
    let upper = part.flow(outline.seats.nose_pin, patch).unwrap().dissipation;
    let mesh = &part.metal.mesh;
    let under: Vec<u32> = part
        .surface
        .iter()
        .filter(|s| (marks[0] - 1e-6..=marks[1] + 1e-6).contains(&s.place))
        .map(|s| s.node)
        .collect();
    let named = |nodes: [u32; 2], wanted: &[Stretch]| {
        mesh.boundary.iter().any(|e| {
            let ends = [e.nodes[0].min(e.nodes[1]), e.nodes[0].max(e.nodes[1])];
            ends == nodes && wanted.contains(&e.stretch)
        })
    };
    let pressed = |nodes: [u32; 2]| {
        nodes.iter().all(|n| under.contains(n)) && named(nodes, &[Stretch::LipFlank, Stretch::NotchEnd])
    };
    let edge = |nodes: [u32; 2]| match () {
        () if pressed(nodes) => Edge::Pressed,
        () if named(nodes, &[Stretch::NoseRoot]) => Edge::Held,
        () => Edge::Free,
    };
    let mut thickness = vec![f64::INFINITY; mesh.triangles.len()];
    for sample in &part.metal.samples {
        let corners = [0, 1, 2].map(|i| mesh.points[mesh.triangles[sample.triangle as usize][i] as usize]);
        let [a, b, c] = corners;
        let area = 0.5 * ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]));
        let least = &mut thickness[sample.triangle as usize];
        *least = least.min(3.0 * sample.volume / area);
    }
    let along = part.pressing(0.0).0;
    let asked = Request { thickness: &|t| thickness[t], edge: &edge, loaded: &pressed, along, across: true };
    [largest_force(mesh, &asked), upper]
}

#[test]
fn lips_of_frame_and_gate_are_bounded_from_below() {
    let frame = Connector::example();
    let mut narrow_gate = frame.clone();
    narrow_gate.nose.lip_on = geometry::connector::LipOn::Gate;
    let mut wide_gate = narrow_gate.clone();
    wide_gate.gate.width_mm = 18.0;
    for connector in [frame, narrow_gate, wide_gate] {
        let [lower, upper] = lip_between(&connector, Patch { flank_mm: 1.2, arc_deg: 40.0 });
        assert!(lower <= upper && lower > 0.9 * upper, "{lower} {upper}");
    }
}
