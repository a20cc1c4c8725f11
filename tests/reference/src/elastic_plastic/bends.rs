//! Slender cantilevers bent far: the elastica.

use super::driven::{Driven, E, NU, still};
use crate::check::compare;
use crate::model::{ModelError, nodes_on, plane_stress};
use crate::problem::{Outcome, Problem};
use solver::plane::Body;
use solver::plane::grid::{LEFT, RIGHT, grid};
use solver::plastic::{Dead, Hardening, Law, Motion};
use std::f64::consts::PI;

/// An end force.
pub const ELASTICA: Problem = Problem {
    name: "elastica-under-a-force",
    title: "a slender cantilever bent far by a force on its end that keeps its direction",
    source: "Bisshopp and Drucker, Large deflection of cantilever beams, 1945; their elliptic integrals, evaluated anew",
    run: || elastica().map_err(|fault| fault.stops("elastica-under-a-force")),
};

/// An end moment.
pub const CIRCLE: Problem = Problem {
    name: "cantilever-into-a-circle",
    title: "a slender cantilever bent by a moment on its end until it is a full circle",
    source: "closed form, Euler 1744: curvature is the moment over the bending stiffness",
    run: || circle().map_err(|fault| fault.stops("cantilever-into-a-circle")),
};

const LENGTH: f64 = 100.0;

/// A bar, 1 mm broad, with its bending stiffness, N mm^2.
fn bar(depth: f64, columns: u32, poisson_ratio: f64) -> Result<(Body, f64), ModelError> {
    let mesh = grid(columns, 1, &|p| [LENGTH * p[0], depth * (p[1] - 0.5)]);
    let body = Body::new(mesh, &|_| 1.0, &|_| false, plane_stress(E, poisson_ratio))?;
    Ok((body, E * depth.powi(3) / 12.0))
}

/// So strong that it stays elastic.
fn strong(body: &Body) -> Law {
    Law { elastic: body.elastic(), hardening: Hardening::Perfect { yield_mpa: 1e9 } }
}

fn elastica() -> Result<Outcome, ModelError> {
    const REASON: &str =
        "0.5 %: a hundred times as long as deep, the bar still gives by shear, and its clamp holds the root";
    /// Force times length squared over bending stiffness; deflection and shortening of the end over the length.
    const PUBLISHED: [(u32, f64, f64); 4] =
        [(1, 0.301_72, 0.056_43), (2, 0.493_46, 0.160_64), (5, 0.713_79, 0.387_63), (10, 0.810_61, 0.555_00)];
    /// Steps for each one of that force.
    const STEPS: u32 = 2;
    let (body, stiffness) = bar(1.0, 100, NU)?;
    let mesh = body.mesh();
    let held = still(nodes_on(mesh, LEFT).iter().flat_map(|n| [2 * n, 2 * n + 1]).collect()).collect();
    let end = nodes_on(mesh, RIGHT);
    let mut driven = Driven::of(&body, strong(&body), Motion::Large, held)?;
    let mut outcome = Outcome::default();
    for step in 1..=10 * STEPS {
        let force = f64::from(step) / f64::from(STEPS);
        let mut dead = vec![0.0; body.unknowns()];
        // Shear over the depth like a parabola: a sixth, two thirds, a sixth on one edge's nodes.
        for (node, part) in end.iter().zip([1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0]) {
            dead[2 * *node as usize + 1] = part * force * stiffness / (LENGTH * LENGTH);
        }
        driven.under(&Dead(dead))?;
        let Some((of, deflection, shortening)) = PUBLISHED.iter().find(|p| p.0 * STEPS == step) else {
            continue;
        };
        let middle = 2 * end[1] as usize;
        let [u, v] = [0, 1].map(|axis| driven.body.displacements()[middle + axis] / LENGTH);
        let quantity = |of_what: &str| {
            format!("force {of} times stiffness over length squared: {of_what} over the length")
        };
        outcome.checks.push(compare(quantity("deflection of the end"), *deflection, v, 5e-3, REASON));
        outcome.checks.push(compare(quantity("shortening"), *shortening, -u, 5e-3, REASON));
        outcome.view = Some(driven.view(format!(
            "Held at the left; force on the end of {of} times stiffness over length squared."
        )));
    }
    Ok(outcome)
}

fn circle() -> Result<Outcome, ModelError> {
    const REASON: &str =
        "0.5 %: two hundred times as long as deep, the bar still stretches by the square of its curvature";
    /// Of a longer one the straight way of the end would press the bar out of its arc.
    const STEPS: u32 = 60;
    // Without contraction across: the ends hold none up.
    let (body, stiffness) = bar(0.5, 120, 0.0)?;
    let mesh = body.mesh();
    let end = nodes_on(mesh, RIGHT);
    let ends = nodes_on(mesh, LEFT).into_iter().map(|n| (n, 0.0)).chain(end.iter().map(|n| (*n, 1.0)));
    let ways = ends.flat_map(|(n, way)| [(2 * n, way), (2 * n + 1, way)]).collect();
    let mut driven = Driven::of(&body, strong(&body), Motion::Large, ways)?;
    let mut outcome = Outcome::default();
    for step in 1..=STEPS {
        let angle = 2.0 * PI * f64::from(step) / f64::from(STEPS);
        let radius = LENGTH / angle;
        // The end's section stays plane and goes where the circle's arc of that angle ends.
        driven.go_to(|unknown, way| {
            let [x, y] = mesh.points[unknown as usize / 2];
            let from_centre = radius - y;
            let gone = [from_centre * angle.sin() - x, radius - from_centre * angle.cos() - y];
            way * gone[unknown as usize % 2]
        })?;
        if step % (STEPS / 4) != 0 {
            continue;
        }
        let centre = [radius * angle.sin(), radius * (1.0 - angle.cos())];
        let (u, f) = (driven.body.displacements(), driven.body.forces());
        let (mut moment, mut force) = (0.0, [0.0; 2]);
        for n in end.iter().map(|n| *n as usize) {
            let at = [0, 1].map(|k| mesh.points[n][k] + u[2 * n + k] - centre[k]);
            moment += at[0] * f[2 * n + 1] - at[1] * f[2 * n];
            force = [force[0] + f[2 * n], force[1] + f[2 * n + 1]];
        }
        let part = format!("{} of a full circle", f64::from(step) / f64::from(STEPS));
        let over = moment * LENGTH / (stiffness * angle);
        outcome.checks.push(compare(
            format!("{part}: moment over stiffness times curvature"),
            1.0,
            over,
            5e-3,
            REASON,
        ));
        let beside = force[0].hypot(force[1]) * LENGTH / moment;
        outcome.checks.push(compare(
            format!("{part}: force beside it, times length over moment"),
            0.0,
            beside,
            5e-3,
            REASON,
        ));
        if step == STEPS * 3 / 4 {
            let mut view = driven.view("Held at one end, the other turned by three quarters of a full turn.");
            // Arrows cannot show a moment alone.
            view.parts.iter_mut().for_each(|part| part.edge_loads.clear());
            outcome.view = Some(view);
        }
    }
    Ok(outcome)
}
