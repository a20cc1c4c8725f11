//! A thick cylinder in plane strain whose bore is widened until all of it yields.

use super::driven::{Driven, along, at_the_limit, limit, still};
use crate::check::compare;
use crate::model::{ModelError, nodes_on, plane_strain};
use crate::problem::{Outcome, Problem};
use crate::return_mapping::law::Stress;
use crate::shapes::on_quarter_ring;
use crate::yielding_cylinder::{COLLAPSE, E, INNER, NU, OUTER, PUBLISHED, STRENGTH, front};
use solver::plane::Body;
use solver::plane::element;
use solver::plane::grid::{LEFT, grid};
use solver::plastic::{Hardening, Law, Motion};
use std::f64::consts::FRAC_PI_2;

/// The problem.
pub const CYLINDER: Problem = Problem {
    name: "cylinder-driven",
    title: "thick cylinder in plane strain whose bore is widened from first yield to collapse",
    source: "Hill, The Mathematical Theory of Plasticity, 1950; as posed by de Souza Neto, Peric and Owen, Computational \
             Methods for Plasticity, section 7.5",
    run: || cylinder().map_err(|fault| fault.stops("cylinder-driven")),
};

/// How far the bore is widened in equal steps while the front moves out, mm, and then until all of it flows.
const FRONT_MM: f64 = 0.44;
const STEPS: u32 = 44;
const COLLAPSED_MM: [f64; 4] = [0.6, 0.9, 1.08, 1.2];

/// The cylinder at one pressure, MPa: front and displacement of the outer edge, mm.
#[derive(Clone, Copy)]
struct Reached {
    pressure: f64,
    front: f64,
    outer_mm: f64,
}

/// Where one measure of two states that follow each other passes a value, another there.
fn between(reached: &[Reached], of: fn(&Reached) -> f64, value: f64, wanted: fn(&Reached) -> f64) -> f64 {
    let pair = reached.windows(2).find(|w| of(&w[0]) <= value && value <= of(&w[1]));
    pair.map_or(f64::NAN, |w| {
        let part = (value - of(&w[0])) / (of(&w[1]) - of(&w[0]));
        wanted(&w[0]) + part * (wanted(&w[1]) - wanted(&w[0]))
    })
}

fn cylinder() -> Result<Outcome, ModelError> {
    const PRESSURE: &str = "1 %: the closed form takes the metal for incompressible, Poisson's ratio is 0.3";
    const WIDER: &str = "2 %: the same, and near collapse 1 % of pressure is much displacement";
    let elastic = plane_strain(E, NU);
    let body = Body::new(grid(20, 10, &|p| on_quarter_ring(INNER, OUTER, p)), &|_| 1.0, &|_| false, elastic)?;
    let mesh = body.mesh();
    let bore = nodes_on(mesh, LEFT);
    // Along its radius: the circle stays one.
    let ways = bore
        .iter()
        .flat_map(|n| [0, 1].map(|k| (2 * n + k, mesh.points[*n as usize][k as usize] / INNER)))
        .chain(still(along(mesh, 0, |p| p[0] < 1e-9)))
        .chain(still(along(mesh, 1, |p| p[1] < 1e-9)))
        .collect();
    let radii: Vec<f64> = (0..body.triangles())
        .flat_map(|t| {
            let nodes = body.nodes_of(t);
            body.samples(t).map(move |s| element::point(&nodes, &s.station.shape)).map(|p| p[0].hypot(p[1]))
        })
        .collect();
    let outer: Vec<u32> = along(mesh, 0, |p| p[1] < 1e-9 && p[0] > OUTER - 1e-9);
    let law = Law { elastic, hardening: Hardening::Perfect { yield_mpa: STRENGTH } };
    let mut driven = Driven::of(&body, law, Motion::Small, ways)?;
    let pressure = |driven: &Driven<'_>| driven.force() / (FRAC_PI_2 * INNER);
    let mut reached = Vec::new();
    let mut outcome = Outcome::default();
    for step in 1..=STEPS {
        driven.go(FRONT_MM * f64::from(step) / f64::from(STEPS))?;
        let stress: Vec<Stress> = driven.stress().iter().map(|([x, y, xy], z)| [*x, *y, *xy, *z]).collect();
        let outer_mm = driven.body.displacements()[outer[0] as usize];
        let at = Reached { pressure: pressure(&driven), front: front(&radii, &stress), outer_mm };
        if at.front > PUBLISHED[2].0 && outcome.view.is_none() {
            let caption = format!("Metal yields out to {:.0} mm; a quarter is solved.", at.front);
            outcome.view = Some(driven.view(caption).mirrored_in_x().mirrored_in_y());
        }
        reached.push(at);
    }
    for (radius, pressure, _) in PUBLISHED {
        let found = between(&reached, |r| r.front, radius, |r| r.pressure);
        let quantity = format!("pressure when metal yields out to {radius} mm, MPa");
        outcome.checks.push(compare(quantity, pressure, found, 0.01, PRESSURE));
    }
    for (_, pressure, outer_mm) in PUBLISHED {
        let found = between(&reached, |r| r.pressure, pressure, |r| r.outer_mm);
        let quantity = format!("displacement of the outer edge at {pressure} MPa, mm");
        outcome.checks.push(compare(quantity, outer_mm, found, 0.02, WIDER));
    }
    let [force, grown] = limit(&mut driven, COLLAPSED_MM.into_iter())?;
    let found = [force / (FRAC_PI_2 * INNER), grown];
    outcome.checks.extend(at_the_limit("pressure at collapse, MPa", COLLAPSE, found, 0.01, PRESSURE));
    Ok(outcome)
}
