//! Sections of bars that are bent until they have yielded through.

use super::driven::{Driven, E, NU, STRENGTH, along, still};
use crate::check::compare;
use crate::model::{ModelError, nodes_on, plane_stress, touching};
use crate::problem::{Outcome, Problem};
use crate::view::View;
use solver::plane::Body;
use solver::plane::grid::{BOTTOM, LEFT, RIGHT, TOP, grid};
use std::f64::consts::{FRAC_PI_2, PI};

/// A bar bent beyond yield.
pub const BENDING: Problem = Problem {
    name: "partly-plastic-bending",
    title: "moment of a rectangular bar whose outer fibres yield",
    source: "closed form, texts on plasticity: three halves of the yield moment, less half the square of yield curvature over curvature",
    run: || bending().map_err(|fault| fault.stops("partly-plastic-bending")),
};

/// Sections that hold more or less beyond first yield.
pub const SHAPE_FACTORS: Problem = Problem {
    name: "shape-factors-stepped",
    title: "plastic over elastic moment of a round bar, a thin tube and a diamond, bent until they have yielded through",
    source: "closed form, texts on plasticity: the plastic modulus of the section over the elastic one",
    run: || shape_factors().map_err(|fault| fault.stops("shape-factors-stepped")),
};

/// Moment and axial force at once.
pub const BENDING_AND_PULL: Problem = Problem {
    name: "plastic-bending-and-pull",
    title: "plastic moment of a rectangular bar that is pulled as well",
    source: "closed form, texts on plasticity: one less the square of the axial force, each over its own limit",
    run: || bending_and_pull().map_err(|fault| fault.stops("plastic-bending-and-pull")),
};

/// A section from -1 to 1 in depth.
struct Section {
    /// Its breadth at a depth.
    breadth: fn(f64) -> f64,
    /// The depth at a part of the rows.
    depth: fn(f64) -> f64,
}

const RECTANGLE: Section = Section { breadth: |_| 1.0, depth: |part| 2.0 * part - 1.0 };

/// A bar that has been bent.
struct Bent {
    moment: f64,
    pull: f64,
    view: View,
}

/// A bar whose ends are turned against each other as planes and drawn apart until the outer fibre is strained by so many times the strain
/// of first yield, and the middle by a part of that.
fn bent(section: &Section, times: f64, middle: f64) -> Result<Bent, ModelError> {
    const LENGTH: f64 = 4.0;
    let mesh = grid(4, 24, &|p| [LENGTH * p[0], (section.depth)(p[1])]);
    let edges = touching(&mesh, &[BOTTOM, TOP]);
    let body = Body::new(mesh, &|p| (section.breadth)(p[1]), &|t| edges[t], plane_stress(E, NU))?;
    let mesh = body.mesh();
    let end = nodes_on(mesh, RIGHT);
    let ways: Vec<(u32, f64)> = still(nodes_on(mesh, LEFT).iter().map(|n| 2 * n).collect())
        .chain(end.iter().map(|n| (2 * n, LENGTH * (middle - mesh.points[*n as usize][1]))))
        .chain(still(along(mesh, 1, |p| p[0] < 1e-9 && p[1].abs() < 1e-9)))
        .collect();
    let mut driven = Driven::new(&body, ways)?;
    driven.settling.close = 1e-6;
    let last = times * STRENGTH / E;
    for step in 1..=10 {
        driven.go(last * f64::from(step) / 10.0)?;
    }
    let forces = driven.body.forces();
    let pull: f64 = end.iter().map(|n| forces[2 * *n as usize]).sum();
    let moment: f64 = end.iter().map(|n| -mesh.points[*n as usize][1] * forces[2 * *n as usize]).sum();
    const CAPTION: &str = "Its right end is turned against the left one";
    let further = if middle == 0.0 { "" } else { " and drawn away" };
    let view =
        driven.view(format!("{CAPTION}{further}: outer fibre at {times} times the strain of first yield."));
    Ok(Bent { moment, pull, view })
}

fn bending() -> Result<Outcome, ModelError> {
    const REASON: &str = "1 %: twenty-four triangles share the depth, and each yields at its own points";
    let mut outcome = Outcome::default();
    // Yield moment of the unit section of half depth one.
    let first = STRENGTH * 2.0 / 3.0;
    for (quantity, times) in [
        ("twice the yield curvature: moment over the yield moment", 2.0),
        ("core of 0.7746 of the depth: moment over the yield moment", 0.774_6_f64.recip()),
        ("core of 0.4472 of the depth: moment over the yield moment", 0.447_2_f64.recip()),
        ("fifty times the yield curvature: moment over the yield moment", 50.0),
    ] {
        let Bent { moment, view, .. } = bent(&RECTANGLE, times, 0.0)?;
        let expected = 1.5 - 0.5 / (times * times);
        outcome.checks.push(compare(quantity, expected, moment / first, 0.01, REASON));
        outcome.view.get_or_insert(view);
    }
    Ok(outcome)
}

fn shape_factors() -> Result<Outcome, ModelError> {
    const REASON: &str =
        "1 %: twenty-four triangles share the depth, and the core of the elastic metal is a fiftieth of it";
    /// Rows at equal angles about the middle, where the breadth follows a circle.
    const AROUND: fn(f64) -> f64 = |part| (FRAC_PI_2 * (2.0 * part - 1.0)).sin();
    let sections = [
        ("round bar", Section { breadth: |y| 2.0 * (1.0 - y * y).sqrt(), depth: AROUND }, 16.0 / (3.0 * PI)),
        ("thin tube", Section { breadth: |y| 2.0 / (1.0 - y * y).sqrt(), depth: AROUND }, 4.0 / PI),
        ("diamond", Section { breadth: |y| 2.0 * (1.0 - y.abs()), depth: RECTANGLE.depth }, 2.0),
    ];
    let mut outcome = Outcome::default();
    for (name, section, expected) in sections {
        // At half the curvature of first yield, and far beyond it.
        let elastic = 2.0 * bent(&section, 0.5, 0.0)?.moment;
        let Bent { moment, view, .. } = bent(&section, 50.0, 0.0)?;
        let quantity = format!("{name}: plastic moment over the moment of first yield");
        outcome.checks.push(compare(quantity, expected, moment / elastic, 0.01, REASON));
        let caption = format!("A {name} from its side. {}", view.caption);
        outcome.view.get_or_insert(View { caption, ..view });
    }
    Ok(outcome)
}

fn bending_and_pull() -> Result<Outcome, ModelError> {
    const REASON: &str =
        "1 %: twenty-four triangles share the depth, and the core of the elastic metal is a fiftieth of it";
    let mut outcome = Outcome::default();
    for part in [0.25, 0.5, 0.75] {
        let Bent { moment, pull, view } = bent(&RECTANGLE, 50.0, part)?;
        outcome.checks.push(compare(
            format!("axis at {part} of the half depth: axial force over its limit"),
            part,
            pull / (2.0 * STRENGTH),
            0.01,
            REASON,
        ));
        let quantity = format!("axis at {part} of the half depth: moment over its limit");
        outcome.checks.push(compare(quantity, 1.0 - part * part, moment / STRENGTH, 0.01, REASON));
        outcome.view.get_or_insert(view);
    }
    Ok(outcome)
}
