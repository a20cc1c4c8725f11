//! A skewed panel, clamped at one end, sheared at the other: bending and shear on slanted elements.

use crate::check::compare;
use crate::model::{Model, ModelError, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::view::Shown;
use geometry::curve::Point;
use solver::plane::grid::{LEFT, RIGHT, grid};
use solver::plane::stress::principal;

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "skewed-panel",
    title: "skewed panel under end shear",
    source: "Cook, improved two-dimensional finite element, 1974; Bergan and Felippa, 1985",
    run: || run().map_err(|fault| fault.stops("skewed-panel")),
};

fn place([s, t]: Point) -> Point {
    let (bottom, top) = (44.0 * s, 44.0 + 16.0 * s);
    [48.0 * s, bottom + t * (top - bottom)]
}

fn run() -> Result<Outcome, ModelError> {
    const REASON: &str = "0.3 %: the clamped upper corner is singular and slows every quantity down";
    let mut model = Model::plate(grid(32, 32, &place), 1.0, plane_stress(1.0, 1.0 / 3.0))?;
    model.hold(LEFT, 0, &|_| 0.0);
    model.hold(LEFT, 1, &|_| 0.0);
    model.load(RIGHT, &|_, _| [0.0, 1.0 / 16.0]);
    let solved = model.solve()?;
    // The corner (48, 60) itself is not compared: the published value there has not converged.
    Ok(Outcome {
        checks: vec![
            compare("rise at (48, 52)", 23.96, solved.displacement_at([48.0, 52.0])?[1], 0.003, REASON),
            compare("rise of the loaded edge, mean over the load", 24.04, solved.work(), 0.003, REASON),
            compare(
                "greater principal stress at (24, 22)",
                0.2369,
                principal(solved.stress_at([24.0, 22.0])?).first,
                0.003,
                REASON,
            ),
            compare(
                "smaller principal stress at (24, 52)",
                -0.2035,
                principal(solved.stress_at([24.0, 52.0])?).second,
                0.003,
                REASON,
            ),
        ],
        view: Some(
            solved
                .view(Shown::Principal, "Held along the left edge, sheared upward along the right one.")
                .reading_at(&[[48.0, 52.0], [24.0, 22.0], [24.0, 52.0]])
                .in_unit("for a unit load"),
        ),
        ..Outcome::default()
    })
}
