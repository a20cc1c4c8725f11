//! A straight beam thirty times as long as deep: axial pull and in-plane shear at its end.

use crate::check::compare;
use crate::model::{Model, ModelError, Solved, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::view::Shown;
use solver::plane::grid::{LEFT, RIGHT, grid};

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "slender-cantilever",
    title: "straight slender cantilever under unit end loads",
    source: "MacNeal and Harder, a proposed standard set of problems to test finite element accuracy, 1985",
    run: || run().map_err(|fault| fault.stops("slender-cantilever")),
};

const LENGTH: f64 = 6.0;
const DEPTH: f64 = 0.2;
const THICKNESS: f64 = 0.1;

fn solve(per_depth: [f64; 2]) -> Result<Solved, ModelError> {
    let mesh = grid(60, 2, &|[s, t]| [LENGTH * s, DEPTH * t]);
    let mut model = Model::plate(mesh, THICKNESS, plane_stress(1e7, 0.3))?;
    model.hold(LEFT, 0, &|_| 0.0);
    model.hold(LEFT, 1, &|_| 0.0);
    model.load(RIGHT, &|_, _| per_depth);
    model.solve()
}

fn run() -> Result<Outcome, ModelError> {
    const REASON: &str = "1 %: beam theory against a plate clamped at its end";
    let tip = [LENGTH, 0.5 * DEPTH];
    let pulled = solve([1.0 / DEPTH, 0.0])?.displacement_at(tip)?[0];
    let bent = solve([0.0, 1.0 / DEPTH])?;
    let sheared = bent.displacement_at(tip)?[1];
    Ok(Outcome {
        checks: vec![
            compare("tip displacement along the pull", 3.0e-5, pulled, 0.01, REASON),
            compare("tip displacement along the shear", 0.1081, sheared, 0.01, REASON),
        ],
        view: Some(
            bent.view(Shown::AlongX, "Clamped at the left end, sheared upward at the right one.")
                .reading_at(&[tip])
                .in_unit("for a unit load"),
        ),
        ..Outcome::default()
    })
}
