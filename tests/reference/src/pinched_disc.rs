//! A disc pressed between two opposite points.

use crate::check::compare;
use crate::model::{Model, ModelError, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::shapes::{ON_X, ON_Y, OUTER, arc, line, mesh, within};
use crate::view::Shown;
use std::f64::consts::{FRAC_PI_2, PI};

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "pinched-disc",
    title: "disc between opposed point loads: stress at its centre",
    source: "Hertz, 1883, as in Timoshenko and Goodier, Theory of Elasticity, article 41",
    run: || run().map_err(|fault| fault.stops("pinched-disc")),
};

const RADIUS: f64 = 10.0;
const THICKNESS: f64 = 2.0;
const PUSH: f64 = 1000.0;

fn run() -> Result<Outcome, ModelError> {
    const REASON: &str = "2 %: the loads are points, but the centre is far from them";
    let quarter = within(vec![
        line([0.0, 0.0], [RADIUS, 0.0], ON_X),
        arc([0.0, 0.0], RADIUS, 0.0, FRAC_PI_2, OUTER),
        line([0.0, RADIUS], [0.0, 0.0], ON_Y),
    ]);
    let mut model = Model::plate(mesh(&quarter, &|_| 0.05 * RADIUS)?, THICKNESS, plane_stress(70e3, 0.33))?;
    model.hold(ON_X, 1, &|_| 0.0);
    model.hold(ON_Y, 0, &|_| 0.0);
    model.load_node([0.0, RADIUS], [0.0, -0.5 * PUSH]);
    let solved = model.solve()?;
    let [across, along, _] = solved.stress_at([0.0, 0.0])?;
    let unit = 2.0 * PUSH / (PI * 2.0 * RADIUS * THICKNESS);
    Ok(Outcome {
        checks: vec![
            compare("tension across the loads, MPa", unit, across, 0.02, REASON),
            compare("compression along them, MPa", -3.0 * unit, along, 0.02, REASON),
        ],
        view: Some(
            solved
                .view(Shown::AlongX, "Pressed between two points along y; a quarter is solved.")
                .mirrored_in_x()
                .mirrored_in_y()
                .reading_at(&[[0.0, 0.0]]),
        ),
        ..Outcome::default()
    })
}
