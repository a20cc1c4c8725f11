//! A curved bar of rectangular section in pure bending: the exact field beside Winkler's formula.

use crate::check::compare;
use crate::model::{Model, ModelError, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::shapes::polar;
use crate::view::{Shown, View};
use crate::winkler::CurvedSection;
use geometry::curve::Point;
use solver::plane::grid::{BOTTOM, TOP, grid};
use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_2, FRAC_PI_4};

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "curved-bar",
    title: "curved bar of rectangular section in pure bending",
    source: "Golovin, 1881, as in Timoshenko and Goodier, Theory of Elasticity, article 29",
    run: || run().map_err(|fault| fault.stops("curved-bar")),
};

/// Outer radius for an inner radius of one, and stress at inner and outer fibre for a unit moment and thickness: exact,
/// and by the formula.
const TABLE: [(f64, [f64; 2], [f64; 2]); 3] = [
    (1.3, [73.052, -61.352], [72.984, -61.270]),
    (2.0, [7.7552, -4.9170], [7.7253, -4.8626]),
    (3.0, [2.2920, -1.1295], [2.2852, -1.0951]),
];

/// Exact stress at inner and outer fibre under a unit moment that straightens, for inner radius and thickness one.
#[must_use]
pub fn exact(outer: f64) -> [f64; 2] {
    let (b2, log) = (outer * outer, outer.ln());
    let n = (b2 - 1.0).powi(2) - 4.0 * b2 * log * log;
    let at = |r: f64| 4.0 / n * (-b2 * log / (r * r) + b2 * (r / outer).ln() - r.ln() + b2 - 1.0);
    [-at(1.0), -at(outer)]
}

/// Stress at the fibres over the moment, from a quarter bent by turning one end about the centre of curvature: sections of
/// a bar in pure bending stay plane, so this is the exact condition, whatever the section.
fn bent(outer: f64) -> Result<([f64; 2], View), ModelError> {
    // Cells grow with the radius and stay square.
    let across = 12_u32;
    let around = (f64::from(across) * FRAC_PI_2 / outer.ln()).ceil() as u32;
    let place = |[s, t]: Point| {
        let p = polar(outer.powf(s), FRAC_PI_2 * t);
        [if t == 1.0 { 0.0 } else { p[0] }, p[1]]
    };
    let mut model = Model::plate(grid(across, around, &place), 1.0, plane_stress(1.0, 0.3))?;
    model.hold(BOTTOM, 1, &|_| 0.0);
    model.hold(TOP, 0, &|p| p[1]);
    let solved = model.solve()?;
    // What the support exerts on the lower end when the bar is straightened: counter-clockwise.
    let moment = solved.reaction(BOTTOM, [0.0, 0.0]).moment;
    let direction = [-FRAC_1_SQRT_2, FRAC_1_SQRT_2];
    let places = [polar(1.0, FRAC_PI_4), polar(outer, FRAC_PI_4)];
    let view = solved
        .view(Shown::Around, "Radii 1 and 3: one end held, the other turned about the centre of curvature.")
        .reading_at(&places)
        .in_unit("over the modulus, for a turn of one radian");
    let [inner, outer] = places.map(|p| solved.stress_along(p, direction));
    Ok(([inner? / moment, outer? / moment], view))
}

fn run() -> Result<Outcome, ModelError> {
    let mut outcome = Outcome::default();
    for (outer, published, by_formula) in TABLE {
        let (closed, (computed, view)) = (exact(outer), bent(outer)?);
        outcome.view = Some(view);
        let winkler = CurvedSection::rectangle(1.0, outer, 1.0).bending(1.0);
        for (i, fibre) in ["inner", "outer"].into_iter().enumerate() {
            let mut check = |what: &str, expected, got, tolerance, reason| {
                let quantity = format!("radii 1 and {outer}, {fibre} fibre, {what}");
                outcome.checks.push(compare(quantity, expected, got, tolerance, reason));
            };
            const ROUNDED: &str = "the number is rounded to five figures";
            check("closed form", published[i], closed[i], 5e-5, ROUNDED);
            check("Winkler's formula", by_formula[i], winkler[i], 5e-5, ROUNDED);
            check(
                "finite elements",
                published[i],
                computed[i],
                0.005,
                "0.5 %: a smooth field, twelve elements deep",
            );
            let off = 100.0 * (winkler[i] / closed[i] - 1.0);
            outcome
                .remarks
                .push(format!("radii 1 and {outer}, {fibre} fibre: Winkler's formula {off:+.2} % off"));
        }
    }
    Ok(outcome)
}
