//! Curved bars of the sections a connector may have, in pure bending, beside Winkler's formula.
//!
//! The breadth varies over the depth, so no closed form exists. The number to meet is the one-dimensional solution of the
//! same equations ([`crate::fibre_model`]), solved to 1e-8.

use crate::check::compare;
use crate::fibre_model::bend;
use crate::model::{Model, ModelError, plane_stress, touching};
use crate::problem::{Outcome, Problem};
use crate::shapes::{INNER, ON_X, ON_Y, OUTER, mesh, polar, quarter_ring};
use crate::view::{Shown, View};
use crate::winkler::CurvedSection;
use geometry::connector::{Section, SectionShape};
use geometry::curve::Point;
use solver::plane::Elastic;
use std::f64::consts::{FRAC_1_SQRT_2, FRAC_2_PI, FRAC_PI_4};

/// Round bars.
pub const ROUND: Problem = Problem {
    name: "curved-round-bars",
    title: "curved bars of round section in pure bending",
    source: SOURCE,
    run: || run(&round()).map_err(|fault| fault.stops("curved-round-bars")),
};

/// Bars with flat sides and round ends.
pub const OVAL: Problem = Problem {
    name: "curved-oval-bars",
    title: "curved bars of oval section in pure bending",
    source: SOURCE,
    run: || run(&oval()).map_err(|fault| fault.stops("curved-oval-bars")),
};

/// Bars of rectangular section.
pub const RECTANGLE: Problem = Problem {
    name: "curved-rectangular-bars",
    title: "curved bars of rectangular section in pure bending",
    source: SOURCE,
    run: || run(&rectangle()).map_err(|fault| fault.stops("curved-rectangular-bars")),
};

/// Bars of I section.
pub const I_SECTION: Problem = Problem {
    name: "curved-i-bars",
    title: "curved bars of I section in pure bending",
    source: SOURCE,
    run: || run(&i_section()).map_err(|fault| fault.stops("curved-i-bars")),
};

const SOURCE: &str =
    "one-dimensional equilibrium of fibres, solved to 1e-8; formula by Winkler, 1858, and Bach, 1889";

const ALLOY: Elastic = plane_stress(71_000.0, 0.33);
const DEPTH: f64 = 10.0;
/// Radius of the centroid over depth.
const RATIOS: [f64; 4] = [0.8, 1.0, 2.0, 5.0];
/// Breadth kept where the chord vanishes, mm, so that no integration point on a bent side is left without any.
const FLOOR_MM: f64 = 1e-6;
/// Elements across the depth at its middle, were they all as large there.
const ACROSS: f64 = 16.0;

/// A section with the places, as parts of half the depth from the middle, where its chord is not smooth.
struct Bar {
    section: Section,
    breaks: Vec<f64>,
}

fn round() -> Bar {
    bar(SectionShape::Round, DEPTH, &[])
}

fn oval() -> Bar {
    // Round ends of 7 mm on flats of 3 mm.
    bar(SectionShape::Oval, 0.7 * DEPTH, &[0.3])
}

fn rectangle() -> Bar {
    bar(SectionShape::Rectangle, 0.6 * DEPTH, &[])
}

fn i_section() -> Bar {
    // Web and flange run into each other over 0.6 of the flange, half of it to either side of where they meet.
    let (flange, run) = (0.2 * DEPTH, 0.12 * DEPTH);
    let meet = 0.5 * DEPTH - flange;
    let shape = SectionShape::I { flange_mm: flange, web_mm: 0.3 * DEPTH };
    bar(shape, 0.9 * DEPTH, &[(meet - 0.5 * run) / (0.5 * DEPTH), (meet + 0.5 * run) / (0.5 * DEPTH)])
}

fn bar(shape: SectionShape, breadth_mm: f64, inner_breaks: &[f64]) -> Bar {
    let mut breaks: Vec<f64> = inner_breaks.iter().flat_map(|b| [*b, -b]).chain([-1.0, 1.0]).collect();
    breaks.sort_by(f64::total_cmp);
    Bar { section: Section { shape, depth_mm: DEPTH, breadth_mm }, breaks }
}

/// Stress at inner and outer fibre and moment, for a unit of turn per angle.
fn by_elements(section: &Section, radius: f64) -> Result<([f64; 2], f64, View), ModelError> {
    let (inner, outer) = (radius - 0.5 * DEPTH, radius + 0.5 * DEPTH);
    // Smaller where the bar is more sharply bent.
    let size = |p: Point| {
        let r = p[0].hypot(p[1]);
        (DEPTH / ACROSS).min(0.1 * r)
    };
    let mesh = mesh(&quarter_ring(inner, outer), &size)?;
    let edge = touching(&mesh, &[INNER, OUTER]);
    let breadth = |p: Point| section.chord_mm((p[0].hypot(p[1]) - radius) / (0.5 * DEPTH)).max(FLOOR_MM);
    let mut model = Model::bar(mesh, &breadth, &|t| edge[t], ALLOY)?;
    // One end turns about the centre of curvature by a quarter turn's worth.
    model.hold(ON_X, 1, &|_| 0.0);
    model.hold(ON_Y, 0, &|p| -p[1]);
    let solved = model.solve()?;
    let moment = -solved.reaction(ON_X, [0.0, 0.0]).moment;
    let along = [-FRAC_1_SQRT_2, FRAC_1_SQRT_2];
    let at = |r: f64| solved.stress_along(polar(r, FRAC_PI_4), along);
    // The turn above is one radius per quarter turn.
    let scale = 1.0 / FRAC_2_PI;
    let view = solved
        .view(
            Shown::Around,
            "Radius of the middle line equal to the depth: one end held, the other turned shut.",
        )
        .reading_at(&[polar(inner, FRAC_PI_4), polar(outer, FRAC_PI_4)])
        .in_unit("in MPa for a right angle of turn");
    Ok(([at(inner)? * scale, at(outer)? * scale], moment * scale, view))
}

fn run(bar: &Bar) -> Result<Outcome, ModelError> {
    let section = &bar.section;
    let mut outcome = Outcome::default();
    for ratio in RATIOS {
        let radius = ratio * DEPTH;
        let radii: Vec<f64> = bar.breaks.iter().map(|b| radius + 0.5 * DEPTH * b).collect();
        let breadth = |r: f64| section.chord_mm((r - radius) / (0.5 * DEPTH));
        let exact = bend(&radii, &breadth, ALLOY, 36)?;
        let coarser = bend(&radii, &breadth, ALLOY, 30)?;
        let (stress, moment, view) = by_elements(section, radius)?;
        if ratio == 1.0 {
            outcome.view = Some(view);
        }
        let formula = winkler(section, radius, &breadth).bending(-exact.moment);
        for (i, fibre) in ["inner", "outer"].into_iter().enumerate() {
            let case = format!("radius/depth {ratio}, {fibre} fibre");
            outcome.checks.push(compare(
                format!("{case}, one-dimensional solution by lower degree"),
                exact.stress[i],
                coarser.stress[i],
                1e-8,
                "what the one-dimensional solution may be off",
            ));
            outcome.checks.push(compare(
                format!("{case}, stress over moment"),
                exact.stress[i] / exact.moment,
                stress[i] / moment,
                0.005,
                "0.5 %: what sharp bends of a connector are to be trusted to",
            ));
            let off = 100.0 * (formula[i] / exact.stress[i] - 1.0);
            outcome.remarks.push(format!("{case}: Winkler and Bach {off:+.2} % off"));
        }
        outcome.checks.push(compare(
            format!("radius/depth {ratio}, moment"),
            exact.moment,
            moment,
            0.001,
            "0.1 %: an energy, so twice as accurate as stress",
        ));
    }
    Ok(outcome)
}

/// The section by the formula's own integrals, over an angle that takes the square root out.
fn winkler(section: &Section, radius: f64, breadth: &dyn Fn(f64) -> f64) -> CurvedSection {
    let n = 20_000;
    let step = std::f64::consts::PI / f64::from(n);
    let by_radius: f64 = (0..n)
        .map(|i| {
            let angle = (f64::from(i) + 0.5) * step;
            let r = radius - 0.5 * DEPTH * angle.cos();
            breadth(r) / r * 0.5 * DEPTH * angle.sin() * step
        })
        .sum();
    let area = section.area_mm2();
    CurvedSection {
        inner: radius - 0.5 * DEPTH,
        outer: radius + 0.5 * DEPTH,
        area,
        centroid: radius,
        neutral: area / by_radius,
    }
}
