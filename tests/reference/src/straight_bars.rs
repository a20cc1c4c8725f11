//! Straight bars of round and oval section as cantilevers, where the breadth vanishes at both edges.

use crate::check::compare;
use crate::model::{Model, ModelError, plane_stress, touching};
use crate::problem::{Outcome, Problem};
use crate::shapes::{ON_X, ON_Y, RIGHT, TOP, line, mesh, within};
use crate::view::Shown;
use geometry::connector::{Section, SectionShape};
use geometry::curve::Point;
use std::f64::consts::PI;

/// A round bar.
pub const ROUND: Problem = Problem {
    name: "straight-round-bar",
    title: "cantilever of round section under end shear",
    source: SOURCE,
    run: || {
        let section = Section { shape: SectionShape::Round, depth_mm: 10.0, breadth_mm: 10.0 };
        let published = Published { area: 25.0 * PI, second_moment: 156.25 * PI, shear: Some(10.0 / 9.0) };
        run(&section, &published).map_err(|fault| fault.stops("straight-round-bar"))
    },
};

/// A bar with flat sides and round ends.
pub const OVAL: Problem = Problem {
    name: "straight-oval-bar",
    title: "cantilever of oval section under end shear",
    source: SOURCE,
    run: || {
        let section = Section { shape: SectionShape::Oval, depth_mm: 12.0, breadth_mm: 8.0 };
        // A rectangle of 4 by 8 mm and two half circles of 4 mm; these with their own centroids 4 r / 3 pi off the flat.
        let half_circle = 8.0 * PI;
        let own = (PI / 8.0 - 8.0 / (9.0 * PI)) * 256.0;
        let off = 2.0 + 16.0 / (3.0 * PI);
        let published = Published {
            area: 32.0 + 2.0 * half_circle,
            second_moment: 8.0 * 64.0 / 12.0 + 2.0 * (own + half_circle * off * off),
            shear: None,
        };
        run(&section, &published).map_err(|fault| fault.stops("straight-oval-bar"))
    },
};

const SOURCE: &str = "closed form, beam theory with shear after Jourawski";

const E: f64 = 71_000.0;
const NU: f64 = 0.33;
const PULL: f64 = 500.0;
/// Length over depth.
const SLENDERNESS: f64 = 8.0;
/// Elements across the depth.
const ACROSS: f64 = 10.0;

/// What beam theory asks of a section.
struct Published {
    area: f64,
    second_moment: f64,
    /// Energy of the true shear over that of an even one, where texts give it.
    shear: Option<f64>,
}

/// First moment of the area beyond `y`, mm^3, by Simpson's rule over an angle, which takes the square root out.
fn first_moment(section: &Section, y: f64) -> f64 {
    let half = 0.5 * section.depth_mm;
    let (n, end) = (200, (y.abs() / half).min(1.0).acos());
    let step = end / f64::from(n);
    let f = |angle: f64| section.chord_mm(angle.cos()) * half * half * angle.cos() * angle.sin();
    let inner: f64 = (1..n).map(|i| f64::from(2 + 2 * (i % 2)) * f(f64::from(i) * step)).sum();
    (f(0.0) + inner + f(end)) * step / 3.0
}

fn shear_coefficient(section: &Section) -> f64 {
    let (n, half) = (1000, 0.5 * section.depth_mm);
    let step = 0.5 * PI / f64::from(n);
    let sum: f64 = (0..n)
        .map(|i| {
            let angle = (f64::from(i) + 0.5) * step;
            let moment = first_moment(section, half * angle.cos());
            2.0 * moment * moment / section.chord_mm(angle.cos()) * half * angle.sin() * step
        })
        .sum();
    sum * section.area_mm2() / section.second_moment_mm4().powi(2)
}

fn run(section: &Section, published: &Published) -> Result<Outcome, ModelError> {
    const REASON: &str = "1 %: beam theory, away from the ends";
    let (depth, length) = (section.depth_mm, SLENDERNESS * section.depth_mm);
    let (low, high) = (-0.5 * depth, 0.5 * depth);
    let outline = within(vec![
        line([0.0, low], [length, low], ON_X),
        line([length, low], [length, high], RIGHT),
        line([length, high], [0.0, high], TOP),
        line([0.0, high], [0.0, low], ON_Y),
    ]);
    let mesh = mesh(&outline, &|_| depth / ACROSS)?;
    let edge = touching(&mesh, &[ON_X, TOP]);
    let chord = |p: Point| section.chord_mm(2.0 * p[1] / depth);
    let mut model = Model::bar(mesh, &chord, &|t| edge[t], plane_stress(E, NU))?;
    // The root stays plane and carries the shear of beam theory, so that it is no clamp: a clamp would be singular.
    model.hold(ON_Y, 0, &|_| 0.0);
    model.hold_node([0.0, 0.0], 1, 0.0);
    let shear = |p: Point| PULL * first_moment(section, p[1]) / published.second_moment;
    model.load(RIGHT, &|p, _| [0.0, shear(p)]);
    model.load(ON_Y, &|p, _| [0.0, -shear(p)]);
    let solved = model.solve()?;

    // The work over the pull is the rise of the tip over the root, each as its load sees it.

    let coefficient = shear_coefficient(section);
    let shear_modulus = E / (2.0 * (1.0 + NU));
    let rise = PULL * length.powi(3) / (3.0 * E * published.second_moment)
        + coefficient * PULL * length / (shear_modulus * published.area);
    let fibre = PULL * 0.5 * length * 0.5 * depth / published.second_moment;
    let mut outcome = Outcome {
        checks: vec![
            compare("area, mm^2", published.area, section.area_mm2(), 1e-5, "quadrature of the chord"),
            compare(
                "second moment, mm^4",
                published.second_moment,
                section.second_moment_mm4(),
                1e-5,
                "quadrature of the chord",
            ),
            compare(
                "volume in the mesh, mm^3",
                published.area * length,
                solved.body.volume_mm3(),
                2e-3,
                "0.2 %: one rule per element across the root of a vanishing breadth",
            ),
            compare("rise of the tip over the root, mm", rise, solved.work() / PULL, 0.01, REASON),
            compare(
                "lower fibre at mid length, MPa",
                fibre,
                solved.stress_at([0.5 * length, low])?[0],
                0.01,
                REASON,
            ),
            compare(
                "upper fibre at mid length, MPa",
                -fibre,
                solved.stress_at([0.5 * length, high])?[0],
                0.01,
                REASON,
            ),
        ],
        view: Some(
            solved
                .view(
                    Shown::AlongX,
                    "Root on the left, kept plane; sheared at both ends as beam theory has it.",
                )
                .reading_at(&[[0.5 * length, low], [0.5 * length, high]]),
        ),
        ..Outcome::default()
    };
    if let Some(expected) = published.shear {
        let reason = "quadrature of the chord";
        outcome.checks.push(compare("shear coefficient", expected, coefficient, 1e-5, reason));
    }
    Ok(outcome)
}
