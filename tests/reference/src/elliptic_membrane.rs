//! A quarter of an elliptic plate pulled along its outer edge.

use crate::check::compare;
use crate::model::{Model, ModelError, Solved, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::view::Shown;
use geometry::curve::Point;
use solver::plane::grid::{BOTTOM, RIGHT, TOP, grid};
use std::f64::consts::FRAC_PI_2;

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "elliptic-membrane",
    title: "elliptic membrane under outward pressure on its outer edge",
    source: "National Agency for Finite Element Methods and Standards, Standard Benchmarks, test LE1, 1990",
    run: || run().map_err(|fault| fault.stops("elliptic-membrane")),
};

const THICKNESS_MM: f64 = 100.0;
const PRESSURE_MPA: f64 = 10.0;
/// The end of the short inner axis, mm, where the edge stress is wanted.
const D: Point = [2000.0, 0.0];
/// Cells across the width on each mesh; three times as many around.
const MESHES: [u32; 4] = [3, 6, 12, 24];
/// What a series of biquadratic meshes tends to; 92.7 is the published rounding.
const LIMIT_MPA: f64 = 92.66;

/// From the inner to the outer ellipse along the first coordinate, from the x to the y axis along the second.
fn place([across, around]: Point) -> Point {
    let (sin, cos) = (FRAC_PI_2 * around).sin_cos();
    let x = (2000.0 + 1250.0 * across) * cos;
    let y = (1000.0 + 1750.0 * across) * sin;
    // The last cosine is not quite zero.
    [if around == 1.0 { 0.0 } else { x }, y]
}

fn solve(across: u32) -> Result<Solved, ModelError> {
    let mut model = Model::plate(grid(across, 3 * across, &place), THICKNESS_MM, plane_stress(210e3, 0.3))?;
    model.load(RIGHT, &|_, n| n.map(|n| PRESSURE_MPA * THICKNESS_MM * n));
    model.hold(BOTTOM, 1, &|_| 0.0);
    model.hold(TOP, 0, &|_| 0.0);
    model.solve()
}

fn run() -> Result<Outcome, ModelError> {
    let all = MESHES.iter().map(|n| solve(*n)).collect::<Result<Vec<_>, _>>()?;
    let stresses = all.iter().map(|s| Ok(s.stress_at(D)?[1])).collect::<Result<Vec<_>, ModelError>>()?;
    let away = stresses.iter().map(|s| (s - LIMIT_MPA).abs()).collect::<Vec<_>>();
    let steps_back = away.windows(2).filter(|pair| pair[1] >= pair[0]).count();
    let finest = stresses[stresses.len() - 1];
    Ok(Outcome {
        checks: vec![
            compare("stress yy at D, MPa", 92.7, finest, 0.01, "1 % on a fine quadratic mesh, as published"),
            compare(
                "refinements that do not come nearer to 92.66 MPa",
                0.0,
                steps_back as f64,
                0.0,
                "a count: convergence must be monotone",
            ),
        ],
        view: Some(
            all[all.len() - 1]
                .view(
                    Shown::AlongY,
                    "The solved quarter; the straight edges are held by symmetry, the outer ellipse is pulled outward.",
                )
                .reading_at(&[D]),
        ),
        remarks: vec![format!("stress yy at D from coarse to fine, MPa: {stresses:.3?}")],
        ..Outcome::default()
    })
}
