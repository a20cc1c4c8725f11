//! A round hole in a plate so wide that its edges do not matter.

use crate::check::compare;
use crate::convergence::{Errors, Exact, report};
use crate::model::{Model, ModelError, Solved, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::shapes::{ON_X, ON_Y, RIGHT, TOP, graded, mesh, quarter_with_hole};
use crate::view::Shown;
use geometry::curve::Point;

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "hole-in-plate",
    title: "round hole in a wide plate: tension, equal tension both ways, shear",
    source: "Kirsch, die Theorie der Elastizitaet und die Beduerfnisse der Festigkeitslehre, 1898",
    run: || run().map_err(|fault| fault.stops("hole-in-plate")),
};

const RADIUS: f64 = 1.0;
const E: f64 = 1000.0;
const NU: f64 = 0.3;
/// Half length and half width of the plate that stands for an endless one.
const WIDE: f64 = 20.0;
/// Half length and half width of the plate that carries the exact traction of the endless one.
const SMALL: f64 = 4.0;

/// Stress around the hole under unit tension along x.
fn stress(p: Point) -> [f64; 3] {
    let r = p[0].hypot(p[1]);
    let (angle, q) = (p[1].atan2(p[0]), (RADIUS / r).powi(2));
    let (c2, s2, c4, s4) =
        ((2.0 * angle).cos(), (2.0 * angle).sin(), (4.0 * angle).cos(), (4.0 * angle).sin());
    [
        1.0 - q * (1.5 * c2 + c4) + 1.5 * q * q * c4,
        -q * (0.5 * c2 - c4) - 1.5 * q * q * c4,
        -q * (0.5 * s2 + s4) + 1.5 * q * q * s4,
    ]
}

fn displacement(p: Point) -> Point {
    let r = p[0].hypot(p[1]) / RADIUS;
    let angle = p[1].atan2(p[0]);
    let (shear_modulus, kappa) = (E / (2.0 * (1.0 + NU)), (3.0 - NU) / (1.0 + NU));
    let scale = RADIUS / (8.0 * shear_modulus);
    let (c, s, c3, s3) = (angle.cos(), angle.sin(), (3.0 * angle).cos(), (3.0 * angle).sin());
    [
        scale * (r * (kappa + 1.0) * c + 2.0 / r * ((1.0 + kappa) * c + c3) - 2.0 / r.powi(3) * c3),
        scale * (r * (kappa - 3.0) * s + 2.0 / r * ((1.0 - kappa) * s + s3) - 2.0 / r.powi(3) * s3),
    ]
}

/// Strain energy of the small quarter: half the work of the tractions on its two outer edges, which alone do any.
fn energy() -> f64 {
    let n = 20_000;
    let step = SMALL / f64::from(n);
    let work = |at: Point, normal: Point| {
        let ([xx, yy, xy], [u, v]) = (stress(at), displacement(at));
        (xx * normal[0] + xy * normal[1]) * u + (xy * normal[0] + yy * normal[1]) * v
    };
    let sum: f64 = (0..n)
        .map(|i| {
            let s = (f64::from(i) + 0.5) * step;
            work([SMALL, s], [1.0, 0.0]) + work([s, SMALL], [0.0, 1.0])
        })
        .sum();
    0.5 * sum * step
}

/// The wide plate under remote tension along x and y.
fn wide(along_x: f64, along_y: f64) -> Result<Solved, ModelError> {
    let size = graded([0.0, 0.0], RADIUS, 0.08, 0.25, 3.0);
    let mut model =
        Model::plate(mesh(&quarter_with_hole(RADIUS, WIDE, WIDE), &size)?, 1.0, plane_stress(E, NU))?;
    model.hold(ON_X, 1, &|_| 0.0);
    model.hold(ON_Y, 0, &|_| 0.0);
    model.load(RIGHT, &|_, _| [along_x, 0.0]);
    model.load(TOP, &|_, _| [0.0, along_y]);
    model.solve()
}

/// The small plate under the exact traction; `fine` scales all sizes.
fn small(fine: f64) -> Result<Solved, ModelError> {
    let size = graded([0.0, 0.0], RADIUS, 0.3 * fine, 0.25 * fine, 10.0);
    let mut model =
        Model::plate(mesh(&quarter_with_hole(RADIUS, SMALL, SMALL), &size)?, 1.0, plane_stress(E, NU))?;
    model.hold(ON_X, 1, &|_| 0.0);
    model.hold(ON_Y, 0, &|_| 0.0);
    for stretch in [RIGHT, TOP] {
        model.load(stretch, &|p, n| {
            let [xx, yy, xy] = stress(p);
            [xx * n[0] + xy * n[1], xy * n[0] + yy * n[1]]
        });
    }
    model.solve()
}

fn run() -> Result<Outcome, ModelError> {
    const REASON: &str = "2 %: half the width is 20 radii, which leaves about 0.3 % of the edges' influence";
    let mut outcome = Outcome::default();
    let mut check = |quantity: String, expected: f64, got: f64| {
        outcome.checks.push(compare(quantity, expected, got, 0.02, REASON));
    };
    let pulled = wide(1.0, 0.0)?;
    for (ratio, expected) in [(1.0, 3.0), (1.5, 1.5185), (2.0, 1.21875), (3.0, 1.0741)] {
        let got = pulled.stress_at([0.0, ratio * RADIUS])?[0];
        check(format!("tension: stress on the ligament at {ratio} radii"), expected, got);
    }
    let view = pulled
        .view(Shown::AlongX, "The wide plate under tension along x, around its hole; a quarter is solved.")
        .mirrored_in_x()
        .mirrored_in_y()
        .within([-4.5 * RADIUS, -3.0 * RADIUS], [4.5 * RADIUS, 3.0 * RADIUS])
        .reading_at(&[1.0, 1.5, 2.0, 3.0].map(|ratio| [0.0, ratio * RADIUS]))
        .in_unit("over the remote stress");
    check("tension: hole edge in line".into(), -1.0, pulled.stress_at([RADIUS, 0.0])?[1]);
    check("equal tension: hole edge".into(), 2.0, wide(1.0, 1.0)?.stress_at([0.0, RADIUS])?[0]);
    // Tension one way and compression the other is shear at 45 degrees.
    check("shear: hole edge".into(), 4.0, wide(1.0, -1.0)?.stress_at([0.0, RADIUS])?[0]);

    let exact = Exact { stress: &stress, displacement: &displacement, energy: energy(), thickness_mm: 1.0 };
    let errors = [0.35, 0.25, 0.175, 0.125]
        .iter()
        .map(|fine| Ok(Errors::of(&small(*fine)?, &exact)))
        .collect::<Result<Vec<_>, ModelError>>()?;
    report(&errors, &mut outcome);
    outcome.view = Some(view);
    Ok(outcome)
}
