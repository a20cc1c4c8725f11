//! A short deep cantilever whose whole field is known, when its ends are treated as the field asks.

use crate::check::compare;
use crate::convergence::{Errors, Exact, report};
use crate::model::{Model, ModelError, Solved, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::shapes::{ON_X, ON_Y, RIGHT, TOP, line, mesh, within};
use crate::view::Shown;
use geometry::curve::Point;

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "deep-cantilever",
    title: "deep cantilever with exact end displacements and parabolic shear",
    source: "Timoshenko and Goodier, Theory of Elasticity, article 21",
    run: || run().map_err(|fault| fault.stops("deep-cantilever")),
};

const LENGTH: f64 = 48.0;
const DEPTH: f64 = 12.0;
const THICKNESS: f64 = 1.0;
const PULL: f64 = 40_000.0;
const E: f64 = 30e6;
const NU: f64 = 0.25;
const SECOND_MOMENT: f64 = THICKNESS * DEPTH * DEPTH * DEPTH / 12.0;
/// Elements across the depth on each mesh.
const ACROSS: [f64; 4] = [6.0, 9.0, 13.5, 20.0];

/// Stress of a pull upward (+y) at the far end; y is measured from the middle of the depth.
fn stress([x, y]: Point) -> [f64; 3] {
    let bending = -PULL * (LENGTH - x) * y / SECOND_MOMENT;
    [bending, 0.0, PULL / (2.0 * SECOND_MOMENT) * (0.25 * DEPTH * DEPTH - y * y)]
}

fn displacement([x, y]: Point) -> Point {
    let scale = PULL / (6.0 * E * SECOND_MOMENT);
    let u = -scale * y * ((6.0 * LENGTH - 3.0 * x) * x + (2.0 + NU) * (y * y - 0.25 * DEPTH * DEPTH));
    let v = scale
        * (3.0 * NU * y * y * (LENGTH - x)
            + (4.0 + 5.0 * NU) * 0.25 * DEPTH * DEPTH * x
            + (3.0 * LENGTH - x) * x * x);
    [u, v]
}

/// Bending and shear energy of the exact field; six fifths come from the parabola.
fn energy() -> f64 {
    let shear_modulus = E / (2.0 * (1.0 + NU));
    PULL * PULL * LENGTH.powi(3) / (6.0 * E * SECOND_MOMENT)
        + 0.6 * PULL * PULL * LENGTH / (shear_modulus * THICKNESS * DEPTH)
}

fn solve(across: f64) -> Result<Solved, ModelError> {
    let (low, high) = (-0.5 * DEPTH, 0.5 * DEPTH);
    let outline = within(vec![
        line([0.0, low], [LENGTH, low], ON_X),
        line([LENGTH, low], [LENGTH, high], RIGHT),
        line([LENGTH, high], [0.0, high], TOP),
        line([0.0, high], [0.0, low], ON_Y),
    ]);
    let mut model = Model::plate(mesh(&outline, &|_| DEPTH / across)?, THICKNESS, plane_stress(E, NU))?;
    model.hold(ON_Y, 0, &|p| displacement(p)[0]);
    model.hold(ON_Y, 1, &|p| displacement(p)[1]);
    model.load(RIGHT, &|p, _| [THICKNESS * stress(p)[0], THICKNESS * stress(p)[2]]);
    model.solve()
}

fn run() -> Result<Outcome, ModelError> {
    const REASON: &str = "0.5 %: the field is exact and smooth, the mesh is the only error";
    let all = ACROSS.iter().map(|n| solve(*n)).collect::<Result<Vec<_>, _>>()?;
    let finest = &all[all.len() - 1];
    let mut outcome = Outcome {
        checks: vec![
            compare("tip rise, mm", 0.35533, finest.displacement_at([LENGTH, 0.0])?[1], 0.005, REASON),
            compare(
                "root fibre stress, MPa",
                80_000.0,
                finest.stress_at([0.0, -0.5 * DEPTH])?[0],
                0.005,
                REASON,
            ),
        ],
        view: Some(
            finest
                .view(
                    Shown::AlongX,
                    "Held at the left end as the exact field asks, sheared upward at the right one.",
                )
                .reading_at(&[[LENGTH, 0.0], [0.0, -0.5 * DEPTH]])
                .in_unit("in psi"),
        ),
        ..Outcome::default()
    };
    let exact =
        Exact { stress: &stress, displacement: &displacement, energy: energy(), thickness_mm: THICKNESS };
    let errors: Vec<Errors> = all.iter().map(|solved| Errors::of(solved, &exact)).collect();
    report(&errors, &mut outcome);
    Ok(outcome)
}
