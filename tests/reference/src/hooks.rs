//! Hooks and a link by the curved-beam formula, and both hooks by finite elements.

use crate::check::compare;
use crate::fibre_model;
use crate::model::{Model, ModelError, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::shapes::{ON_X, ON_Y, mesh, quarter_ring};
use crate::view::Shown;
use crate::winkler::CurvedSection;
use geometry::curve::Point;

/// A crane hook of trapezoidal section.
pub const TRAPEZOID: Problem = Problem {
    name: "trapezoid-hook",
    title: "crane hook of trapezoidal section: load for an allowable stress, exact field and finite elements",
    source: "Bhandari, Design of Machine Elements, example 4.19; one-dimensional equilibrium of fibres, solved to 1e-8",
    run: || trapezoid().map_err(|fault| fault.stops("trapezoid-hook")),
};

/// A hook of rectangular section.
pub const RECTANGLE: Problem = Problem {
    name: "rectangle-hook",
    title: "hook of rectangular section: formula, exact field and finite elements",
    source: "Shigley, Mechanical Engineering Design, curved-beam example; Timoshenko and Goodier, Theory of Elasticity, \
             article 33",
    run: || rectangle().map_err(|fault| fault.stops("rectangle-hook")),
};

/// A split link of round bar.
pub const ROUND_LINK: Problem = Problem {
    name: "round-link",
    title: "split link of round bar: diameter for an allowable stress",
    source: "Bhandari, Design of Machine Elements, example 4.20",
    run: || Ok(round_link()),
};

const EXACT: &str = "a formula against the same formula: rounding of the printed number";

/// Inner and outer radius of the trapezoidal hook, and its breadth there, mm.
const RADII: [f64; 2] = [50.0, 170.0];
const BREADTHS: [f64; 2] = [90.0, 30.0];

fn trapezoid() -> Result<Outcome, ModelError> {
    const FIELD: &str = "0.5 %: a smooth field, seventeen elements deep";
    let [inner, outer] = RADII;
    let section = CurvedSection::trapezoid(inner, outer, BREADTHS[0], BREADTHS[1]);
    let pull = 380.0 / 3.5 / section.hook(1.0)[0];
    let formula = section.hook(pull);
    let mut outcome = Outcome {
        checks: vec![
            compare("radius of the centroid, mm", 100.0, section.centroid, 1e-9, EXACT),
            compare("radius of the neutral fibre, mm", 89.1816, section.neutral, 1e-6, EXACT),
            compare("load, N", 94_828.18, pull, 1e-6, EXACT),
            compare("formula, outer fibre, MPa", -44.71, formula[1], 2e-4, EXACT),
        ],
        ..Outcome::default()
    };

    let steel = plane_stress(206e3, 0.3);
    let breadth = |r: f64| BREADTHS[0] + (BREADTHS[1] - BREADTHS[0]) * (r - inner) / (outer - inner);
    let exact = fibre_model::pull(&RADII, &breadth, steel, 30)?;
    let coarser = fibre_model::pull(&RADII, &breadth, steel, 24)?;
    // A quarter, pulled at its end by the shear of the exact field, so that the end disturbs nothing.
    let size = |p: Point| 0.07 * p[0].hypot(p[1]);
    let breadth_at = |p: Point| breadth(p[0].hypot(p[1]));
    let mut model = Model::bar(mesh(&quarter_ring(inner, outer), &size)?, &breadth_at, &|_| false, steel)?;
    model.hold(ON_X, 1, &|_| 0.0);
    model.hold_node([inner, 0.0], 0, 0.0);
    model.load(ON_Y, &|p: Point, _| [0.0, pull / exact.pull * breadth(p[1]) * exact.end_shear(p[1])]);
    let solved = model.solve()?;
    outcome.checks.push(compare(
        "finite elements, resultant of the end shear, N",
        pull,
        solved.forces.iter().sum(),
        1e-6,
        EXACT,
    ));
    for (i, fibre) in ["inner", "outer"].into_iter().enumerate() {
        let of = |field: &fibre_model::Pulled| field.stress[i] / field.pull * pull;
        let got = solved.stress_at([RADII[i], 0.0])?[1];
        outcome.checks.push(compare(
            format!("{fibre} fibre, one-dimensional solution by lower degree, MPa"),
            of(&exact),
            of(&coarser),
            1e-8,
            "what the one-dimensional solution may be off",
        ));
        outcome.checks.push(compare(
            format!("finite elements, {fibre} fibre, MPa"),
            of(&exact),
            got,
            0.005,
            FIELD,
        ));
        outcome.remarks.push(format!(
            "{fibre} fibre: the formula gives {:.2} MPa, finite elements {got:.2}, the exact field {:.2}; the formula is \
             {:+.1} % off",
            formula[i],
            of(&exact),
            100.0 * (formula[i] / of(&exact) - 1.0)
        ));
    }
    outcome.view = Some(
        solved
            .view(
                Shown::Around,
                "The quarter from the load line (left, sheared upward) to the section square to it (bottom).",
            )
            .reading_at(&RADII.map(|r| [r, 0.0])),
    );
    Ok(outcome)
}

fn round_link() -> Outcome {
    // Stress falls with the square of the diameter when the shape stays the same.
    let unit = CurvedSection::round(4.0, 1.0);
    let diameter = (1000.0 * unit.hook(1.0)[0] / (400.0 / 3.5)).sqrt();
    Outcome {
        checks: vec![
            compare("neutral radius over diameter", 3.98431, unit.neutral, 1e-6, EXACT),
            compare("diameter, mm", 20.1059, diameter, 3e-6, EXACT),
        ],
        ..Outcome::default()
    }
}

/// Inner and outer radius, in; thickness, in; pull, lbf. Stress in psi.
const RI: f64 = 2.0;
const RO: f64 = 6.0;
const THICKNESS: f64 = 0.75;
const PULL: f64 = 5000.0;

/// Exact stress around at the section square to the pull, when the end carries the shear of the exact field.
fn exact(r: f64) -> f64 {
    let (a2, b2) = (RI * RI, RO * RO);
    let n = a2 - b2 + (a2 + b2) * (RO / RI).ln();
    -PULL / (THICKNESS * n) * (3.0 * r - a2 * b2 / r.powi(3) - (a2 + b2) / r)
}

/// Shear of the exact field on the section along the load line, psi.
fn end_shear(r: f64) -> f64 {
    let (a2, b2) = (RI * RI, RO * RO);
    let n = a2 - b2 + (a2 + b2) * (RO / RI).ln();
    PULL / (THICKNESS * n) * -(r + a2 * b2 / r.powi(3) - (a2 + b2) / r)
}

fn rectangle() -> Result<Outcome, ModelError> {
    const FIELD: &str = "1 %: an exact field, read at the edge of the mesh";
    let section = CurvedSection::rectangle(RI, RO, THICKNESS);
    let formula = section.hook(PULL);
    let size = |p: Point| 0.1 * p[0].hypot(p[1]);
    let mut model = Model::plate(mesh(&quarter_ring(RI, RO), &size)?, THICKNESS, plane_stress(30e6, 0.3))?;
    model.hold(ON_X, 1, &|_| 0.0);
    model.hold_node([RI, 0.0], 0, 0.0);
    model.load(ON_Y, &|p: Point, _| [0.0, THICKNESS * end_shear(p[1])]);
    let solved = model.solve()?;
    let (inner, outer) = (solved.stress_at([RI, 0.0])?[1], solved.stress_at([RO, 0.0])?[1]);
    let view = solved
        .view(
            Shown::Around,
            "The quarter from the load line (left, sheared upward) to the section square to it (bottom).",
        )
        .reading_at(&[[RI, 0.0], [RO, 0.0]])
        .in_unit("in psi");
    let off = |i: usize, exact: f64| 100.0 * (formula[i] / exact - 1.0);
    Ok(Outcome {
        checks: vec![
            compare("radius of the neutral fibre, in", 3.641, section.neutral, 1e-3, EXACT),
            compare("formula, inner fibre, ksi", 16.90, formula[0] / 1000.0, 1e-3, EXACT),
            compare("formula, outer fibre, ksi", -5.63, formula[1] / 1000.0, 1e-3, EXACT),
            compare(
                "finite elements, resultant of the end shear, lbf",
                PULL,
                solved.forces.iter().sum(),
                1e-6,
                EXACT,
            ),
            compare("finite elements, inner fibre, psi", exact(RI), inner, 0.01, FIELD),
            compare("finite elements, outer fibre, psi", exact(RO), outer, 0.01, FIELD),
        ],
        view: Some(view),
        // So sharp a bend is where the formula ends: three times the inner radius outside.
        remarks: vec![format!(
            "the formula is {:+.1} % off the exact field at the inner fibre, {:+.1} % at the outer one",
            off(0, exact(RI)),
            off(1, exact(RO))
        )],
        ..Outcome::default()
    })
}
