//! A ring under inner pressure.

use crate::check::compare;
use crate::convergence::{Errors, Exact, report};
use crate::model::{Model, ModelError, Solved, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::shapes::{INNER, ON_X, ON_Y, mesh, quarter_ring};
use crate::view::Shown;
use geometry::curve::Point;
use std::f64::consts::FRAC_PI_2;

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "pressed-ring",
    title: "ring under inner pressure",
    source: "closed form, Lame, 1852",
    run: || run().map_err(|fault| fault.stops("pressed-ring")),
};

const RI: f64 = 1.0;
const RO: f64 = 2.0;
const PRESSURE: f64 = 100.0;
const E: f64 = 200e3;
const NU: f64 = 0.3;
/// Stress is MEAN -/+ SWING / r^2, radially and around.
const MEAN: f64 = PRESSURE * RI * RI / (RO * RO - RI * RI);
const SWING: f64 = MEAN * RO * RO;
/// Elements across the wall on each mesh.
const ACROSS: [f64; 4] = [6.0, 9.0, 13.5, 20.0];

fn stress([x, y]: Point) -> [f64; 3] {
    let r2 = x * x + y * y;
    let q = SWING / (r2 * r2);
    [MEAN - q * (x * x - y * y), MEAN + q * (x * x - y * y), -2.0 * q * x * y]
}

fn displacement([x, y]: Point) -> Point {
    let over_r = ((1.0 - NU) * MEAN + (1.0 + NU) * SWING / (x * x + y * y)) / E;
    [x * over_r, y * over_r]
}

fn solve(across: f64) -> Result<Solved, ModelError> {
    let size = (RO - RI) / across;
    let mut model = Model::plate(mesh(&quarter_ring(RI, RO), &|_| size)?, 1.0, plane_stress(E, NU))?;
    model.hold(ON_X, 1, &|_| 0.0);
    model.hold(ON_Y, 0, &|_| 0.0);
    model.load(INNER, &|_, n| n.map(|n| -PRESSURE * n));
    model.solve()
}

fn run() -> Result<Outcome, ModelError> {
    const REASON: &str = "0.5 % (of the pressure, where zero is expected): a smooth field";
    let all = ACROSS.iter().map(|n| solve(*n)).collect::<Result<Vec<_>, _>>()?;
    let finest = &all[all.len() - 1];
    let (inner, outer) = (finest.stress_at([RI, 0.0])?, finest.stress_at([RO, 0.0])?);
    let mut outcome = Outcome {
        checks: vec![
            compare("stress around, inner, MPa", 500.0 / 3.0, inner[1], 0.005, REASON),
            compare("stress around, outer, MPa", 200.0 / 3.0, outer[1], 0.005, REASON),
            compare("radial stress, inner, MPa", -100.0, inner[0], 0.005, REASON),
            compare("radial stress, outer, MPa", 0.0, outer[0], 0.5, REASON),
        ],
        view: Some(
            finest
                .view(Shown::Around, "Pressed outward along its inner edge; a quarter is solved.")
                .mirrored_in_x()
                .mirrored_in_y()
                .reading_at(&[[RI, 0.0], [RO, 0.0]]),
        ),
        ..Outcome::default()
    };
    // The pressure does all the work, on a quarter of the inner circle.
    let energy = 0.5 * PRESSURE * displacement([RI, 0.0])[0] * FRAC_PI_2 * RI;
    let exact = Exact { stress: &stress, displacement: &displacement, energy, thickness_mm: 1.0 };
    let errors: Vec<Errors> = all.iter().map(|solved| Errors::of(solved, &exact)).collect();
    report(&errors, &mut outcome);
    // Nearly every patch of the recovery then touches an edge, where it is least accurate, and the estimate is too high.
    let coarse = Errors::of(&solve(4.0)?, &exact).effectivity;
    outcome.remarks.push(format!("estimated over true energy error with four elements across: {coarse:.3}"));
    Ok(outcome)
}
