//! Constant strain on five distorted quadrilaterals, each cut into two triangles.

use crate::check::{Check, compare};
use crate::model::{ModelError, plane_strain, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::view::{Part, Shown, View};
use geometry::curve::Point;
use geometry::mesh::Mesh;
use solver::plane::{Body, Elastic, Recovery, prescribed, stress};

/// In plane stress.
pub const PLANE_STRESS: Problem = Problem {
    name: "patch-plane-stress",
    title: "constant strain on a distorted patch, plane stress",
    source: SOURCE,
    run: || {
        run(plane_stress(1e6, 0.25), [4000.0 / 3.0, 4000.0 / 3.0, 400.0, 0.0])
            .map_err(|fault| fault.stops("patch-plane-stress"))
    },
};

/// In plane strain.
pub const PLANE_STRAIN: Problem = Problem {
    name: "patch-plane-strain",
    title: "constant strain on a distorted patch, plane strain",
    source: SOURCE,
    run: || {
        run(plane_strain(1e6, 0.25), [1600.0, 1600.0, 400.0, 800.0])
            .map_err(|fault| fault.stops("patch-plane-strain"))
    },
};

const SOURCE: &str =
    "MacNeal and Harder, a proposed standard set of problems to test finite element accuracy, 1985";

/// Outer corners counter-clockwise, then the published inner nodes.
const CORNERS: [Point; 8] = [
    [0.0, 0.0],
    [0.24, 0.0],
    [0.24, 0.12],
    [0.0, 0.12],
    [0.04, 0.02],
    [0.18, 0.03],
    [0.16, 0.08],
    [0.08, 0.08],
];
const QUADRILATERALS: [[u32; 4]; 5] = [[0, 1, 5, 4], [1, 2, 6, 5], [2, 3, 7, 6], [3, 0, 4, 7], [4, 5, 6, 7]];

fn mesh() -> Mesh {
    let mut points = CORNERS.to_vec();
    let mut sides: Vec<([u32; 2], u32)> = Vec::new();
    let mut middle = |a: u32, b: u32| {
        let side = [a.min(b), a.max(b)];
        if let Some((_, node)) = sides.iter().find(|(s, _)| *s == side) {
            return *node;
        }
        let [p, q] = side.map(|n| CORNERS[n as usize]);
        points.push([0.5 * (p[0] + q[0]), 0.5 * (p[1] + q[1])]);
        let node = points.len() as u32 - 1;
        sides.push((side, node));
        node
    };
    let triangles = QUADRILATERALS
        .iter()
        .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]])
        .map(|[a, b, c]| [a, b, c, middle(a, b), middle(b, c), middle(c, a)])
        .collect();
    // Nothing here asks for named edges or angles.
    Mesh {
        points,
        triangles,
        boundary: Vec::new(),
        lines: Vec::new(),
        min_angle_deg: 0.0,
        refinement_complete: true,
    }
}

fn on_outline([x, y]: Point) -> bool {
    x == 0.0 || x == 0.24 || y == 0.0 || y == 0.12
}

/// `expected`: stress xx, yy, xy in the plane and the one across it.
fn run(elastic: Elastic, expected: [f64; 4]) -> Result<Outcome, ModelError> {
    let body = Body::new(mesh(), &|_| 0.001, &|_| false, elastic)?;
    let given: Vec<(u32, f64)> = (0_u32..)
        .zip(&body.mesh().points)
        .filter(|(_, p)| on_outline(**p))
        .flat_map(|(n, [x, y])| [(2 * n, 1e-3 * (x + 0.5 * y)), (2 * n + 1, 1e-3 * (y + 0.5 * x))])
        .collect();
    let solution = prescribed::solve(&body, &vec![0.0; body.unknowns()], &given)?;
    let shown = Shown::VonMises;
    let nodal = Recovery::new(&body, &|_| 0).nodal_stress(&body, &solution.displacements);
    let part = Part::new(body.mesh(), &nodal, &vec![0.0; body.unknowns()], shown);
    let view = View::of(
        vec![part],
        shown,
        "Stretched and sheared by displacements given along the outline; the stress is the same everywhere.",
    )
    .in_unit("in psi");
    let all = stress::at_integration_points(&body, &solution.displacements);
    let names = ["stress xx", "stress yy", "stress xy", "stress across the plane"];
    let check = |(i, name): (usize, &str)| -> Check {
        let values = all.iter().map(|s| if i < 3 { s[i] } else { elastic.across(*s) });
        let worst = values
            .max_by(|a, b| (a - expected[i]).abs().total_cmp(&(b - expected[i]).abs()))
            .unwrap_or(f64::NAN);
        compare(format!("{name}, worst point"), expected[i], worst, 1e-9, "exact but for rounding")
    };
    Ok(Outcome {
        checks: names.into_iter().enumerate().map(check).collect(),
        view: Some(view),
        ..Outcome::default()
    })
}
