//! Pressure of a pin on half its hole, by the cosine of the angle.

use crate::check::compare;
use crate::model::{Model, ModelError, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::shapes::{INNER, OUTER, arc, mesh};
use crate::view::Shown;
use geometry::curve::Point;
use geometry::region::Region;
use solver::plane::loads::resultant;
use std::f64::consts::{PI, TAU};

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "cosine-bearing",
    title: "cosine pressure of a pin on half its hole: peak and resultant",
    source: "closed form, texts on machine design",
    run: || run().map_err(|fault| fault.stops("cosine-bearing")),
};

const DIAMETER: f64 = 12.0;
const THICKNESS: f64 = 10.0;
const FORCE: f64 = 20_000.0;

fn run() -> Result<Outcome, ModelError> {
    let radius = 0.5 * DIAMETER;
    let peak = 4.0 * FORCE / (PI * DIAMETER * THICKNESS);
    // A lug with the hole; starting at the bottom, so that the half that is pressed begins at a node.
    let lug = Region {
        loops: vec![
            vec![arc([0.0, 0.0], 2.0 * radius, 0.0, TAU, OUTER)],
            vec![
                arc([0.0, 0.0], radius, 0.0, -0.5 * TAU, ON_LOWER),
                arc([0.0, 0.0], radius, 0.5 * TAU, 0.0, INNER),
            ],
        ],
        lines: Vec::new(),
    };
    let mut model = Model::plate(mesh(&lug, &|_| 0.1 * radius)?, THICKNESS, plane_stress(70e3, 0.33))?;
    // The pin pushes up: on the upper half of the hole, against the normal out of the material.
    model.load(INNER, &|p: Point, n| {
        let pressure = peak * p[1].max(0.0) / radius;
        n.map(|n| -pressure * THICKNESS * n)
    });
    let sum = resultant(model.mesh(), model.forces(), [0.0, 0.0]);
    // The outer circle is held for the picture alone; nothing is compared there.
    model.hold(OUTER, 0, &|_| 0.0);
    model.hold(OUTER, 1, &|_| 0.0);
    let view = model.solve()?.view(
        Shown::VonMises,
        "A pin pushes up on the upper half of its hole; held around for this picture only.",
    );
    const REASON: &str = "1e-5: arcs are parabolas in the mesh, all else is exact";
    Ok(Outcome {
        checks: vec![
            compare("peak pressure, MPa", 212.21, peak, 3e-5, "the number is rounded to five figures"),
            compare("mean pressure, MPa", 166.67, FORCE / (DIAMETER * THICKNESS), 3e-5, "rounded likewise"),
            compare("resultant of the nodal forces along the load, N", FORCE, sum.force[1], 1e-5, REASON),
            compare("across the load, N", 0.0, sum.force[0], 1e-5 * FORCE, REASON),
            compare("moment about the pin, N mm", 0.0, sum.moment, 1e-5 * FORCE * radius, REASON),
        ],
        view: Some(view),
        ..Outcome::default()
    })
}

/// The half of the hole that is not pressed.
const ON_LOWER: geometry::region::Stretch = geometry::region::Stretch::Side(6);
