//! What must not change a stress: moving, turning, mirroring and renumbering the whole problem.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use geometry::curve::Point;
use geometry::mesh::{Mesh, NamedEdge};
use geometry::region::{Region, Stretch};
use reference::model::{Model, Solved, plane_stress};
use reference::shapes::{INNER, arc, graded, line, mesh};
use solver::plane::grid::{BOTTOM, TOP, grid};
use solver::plane::stress::{at_integration_points, principal};
use std::f64::consts::{PI, TAU};

/// A strip of about 24 by 8 with a hole of radius 2, off its middle so that no symmetry hides a mistake.
///
/// All of it is slightly warped, so that no regularity hides a mistake either.
fn strip() -> Mesh {
    let corners = [[-12.0, -4.0], [12.0, -4.0], [12.0, 4.0], [-12.0, 4.0]];
    let outline =
        (0..4).map(|i| line(corners[i], corners[(i + 1) % 4], Stretch::Side(i as u16))).collect::<Vec<_>>();
    let centre = [1.3, 0.4];
    let region = Region { loops: vec![outline, vec![arc(centre, 2.0, TAU, 0.0, INNER)]], lines: Vec::new() };
    let mut mesh = mesh(&region, &graded(centre, 2.0, 0.3, 0.25, 1.0)).unwrap();
    for [x, y] in &mut mesh.points {
        [*x, *y] = [*x + 0.1 * (0.7 * *x + 1.1 * *y).sin(), *y + 0.1 * (0.9 * *x - 0.8 * *y + 0.5).cos()];
    }
    mesh.check().unwrap();
    mesh
}

/// The strip pulled all around along its normals, which balances whatever its shape; held at the nodes nearest to two points, which carry nothing.
fn pulled(mesh: Mesh, held: [Point; 2]) -> Solved {
    let mut model = Model::plate(mesh, 2.0, plane_stress(70e3, 0.33)).unwrap();
    for side in [0, 1, 2, 3].map(Stretch::Side) {
        model.load(side, &|_, n| n.map(|n| 200.0 * n));
    }
    model.hold_node(held[0], 0, 0.0);
    model.hold_node(held[0], 1, 0.0);
    model.hold_node(held[1], 1, 0.0);
    model.solve().unwrap()
}

const HELD: [Point; 2] = [[-12.0, -4.0], [12.0, -4.0]];

/// Asserts that two lists of stresses agree to a part of the greatest of them.
fn same(one: &[[f64; 3]], two: &[[f64; 3]], part: f64) {
    assert_eq!(one.len(), two.len());
    let greatest = one.iter().flatten().fold(0.0_f64, |a, b| a.max(b.abs()));
    assert!(greatest > 200.0, "the strip must carry something: {greatest}");
    for (i, (a, b)) in one.iter().zip(two).enumerate() {
        for (x, y) in a.iter().zip(b) {
            assert!((x - y).abs() <= part * greatest, "{i}: {a:?} {b:?}");
        }
    }
}

/// Both principal stresses and nothing, so that they compare like stresses.
fn principals(stresses: &[[f64; 3]]) -> Vec<[f64; 3]> {
    stresses
        .iter()
        .map(|s| {
            let p = principal(*s);
            [p.first, p.second, 0.0]
        })
        .collect()
}

#[test]
fn a_rigid_motion_gives_no_stress() {
    let mut model = Model::plate(strip(), 2.0, plane_stress(70e3, 0.33)).unwrap();
    let turn = 1e-3;
    for side in [0, 1, 2, 3, 4].map(Stretch::Side) {
        model.hold(side, 0, &|p| 0.7 - turn * p[1]);
        model.hold(side, 1, &|p| -0.2 + turn * p[0]);
    }
    let solved = model.solve().unwrap();
    // A strain as large as the turn would give 70 MPa.
    for s in solved.stress.iter().chain(&at_integration_points(&solved.body, &solved.displacements)) {
        assert!(s.iter().all(|s| s.abs() < 1e-7), "{s:?}");
    }
    for (u, p) in solved.displacements.chunks_exact(2).zip(&solved.body.mesh().points) {
        assert!((u[0] - 0.7 + turn * p[1]).abs() < 1e-12 && (u[1] + 0.2 - turn * p[0]).abs() < 1e-12);
    }
}

#[test]
fn a_turned_problem_has_the_same_principal_stresses() {
    let (sin, cos) = (37.0 * PI / 180.0).sin_cos();
    let turn = |[x, y]: Point| [cos * x - sin * y, sin * x + cos * y];
    let mesh = strip();
    let mut turned = mesh.clone();
    turned.points.iter_mut().for_each(|p| *p = turn(*p));
    let (one, two) = (pulled(mesh, HELD), pulled(turned, HELD.map(turn)));
    same(&principals(&one.stress), &principals(&two.stress), 1e-8);
    let raw = |s: &Solved| principals(&at_integration_points(&s.body, &s.displacements));
    same(&raw(&one), &raw(&two), 1e-8);
    // And the stress itself has turned with the strip.
    let (s, t) = (one.stress[0], two.stress[0]);
    let expected = cos * cos * s[0] + sin * sin * s[1] - 2.0 * sin * cos * s[2];
    assert!((t[0] - expected).abs() < 1e-8 * 600.0, "{t:?} {expected}");
}

#[test]
fn a_mirrored_problem_has_the_mirrored_stress() {
    let mesh = strip();
    let mut mirrored = mesh.clone();
    mirrored.points.iter_mut().for_each(|p| p[0] = -p[0]);
    // Mirroring turns the sense around; the order of corners restores it.
    for t in &mut mirrored.triangles {
        let [a, b, c, ab, bc, ca] = *t;
        *t = [a, c, b, ca, bc, ab];
    }
    let back = |e: &NamedEdge| NamedEdge { nodes: [e.nodes[1], e.nodes[0], e.nodes[2]], stretch: e.stretch };
    mirrored.boundary = mirrored.boundary.iter().rev().map(back).collect();
    mirrored.check().unwrap();
    let (one, two) = (pulled(mesh, HELD), pulled(mirrored, HELD.map(|[x, y]| [-x, y])));
    let expected: Vec<[f64; 3]> = one.stress.iter().map(|[x, y, xy]| [*x, *y, -xy]).collect();
    same(&expected, &two.stress, 1e-8);
}

/// The same mesh with other numbers, and the new number of each node.
fn renumbered(mesh: &Mesh) -> (Mesh, Vec<u32>) {
    let count = mesh.points.len();
    // Steps of a number prime to the count visit every node once.
    let step = (count / 3..count).find(|s| gcd(*s, count) == 1).unwrap();
    let new: Vec<u32> = (0..count).map(|old| ((old * step + 7) % count) as u32).collect();
    let mut points = vec![[0.0; 2]; count];
    for (at, p) in new.iter().zip(&mesh.points) {
        points[*at as usize] = *p;
    }
    // Triangles in another order, each started at another corner.
    let name = |old: u32| new[old as usize];
    let triangles =
        mesh.triangles.iter().rev().map(|[a, b, c, ab, bc, ca]| [b, c, a, bc, ca, ab].map(|n| name(*n)));
    let edges = |edges: &[NamedEdge]| {
        edges.iter().map(|e| NamedEdge { nodes: e.nodes.map(name), stretch: e.stretch }).collect()
    };
    let (boundary, lines) = (edges(&mesh.boundary), edges(&mesh.lines));
    let other = Mesh { points, triangles: triangles.collect(), boundary, lines, ..mesh.clone() };
    other.check().unwrap();
    (other, new)
}

#[test]
fn renumbering_changes_nothing() {
    let mesh = strip();
    let (other, new) = renumbered(&mesh);
    let (one, two) = (pulled(mesh, HELD), pulled(other, HELD));
    let matched: Vec<[f64; 3]> = new.iter().map(|n| two.stress[*n as usize]).collect();
    same(&one.stress, &matched, 1e-9);
    let turned: Vec<f64> =
        new.iter().flat_map(|n| [0, 1].map(|i| two.displacements[2 * *n as usize + i])).collect();
    let greatest = one.displacements.iter().fold(0.0_f64, |a, b| a.max(b.abs()));
    for (a, b) in one.displacements.iter().zip(&turned) {
        assert!((a - b).abs() < 1e-9 * greatest);
    }
}

#[test]
fn renumbering_a_regular_mesh_changes_nothing() {
    // Each row is half a cell further than the one below: corners on an edge have two inner neighbours equally near.
    let mesh = grid(6, 4, &|p| [12.0 * p[0] + 4.0 * p[1], 8.0 * p[1]]);
    let (other, new) = renumbered(&mesh);
    let bent = |mesh: Mesh| {
        let mut model = Model::plate(mesh, 2.0, plane_stress(70e3, 0.33)).unwrap();
        model.hold(BOTTOM, 0, &|_| 0.0);
        model.hold(BOTTOM, 1, &|_| 0.0);
        model.load(TOP, &|p, _| [300.0 * (0.3 * p[0]).sin(), 100.0 * p[0]]);
        model.solve().unwrap().stress
    };
    let (one, two) = (bent(mesh), bent(other));
    let matched: Vec<[f64; 3]> = new.iter().map(|n| two[*n as usize]).collect();
    same(&one, &matched, 1e-9);
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}
