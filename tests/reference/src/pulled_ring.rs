//! A closed thin ring pulled apart by two pins and by two straps, its section forces taken from element nodal forces.
//!
//! The numbers of a thin ring hold for a load at a point. A load of finite size takes less: let q be the angle from the line
//! of the pull P and M the moment at the ring's radius R. A quarter carries P / 2 and turns at neither end, so M integrates
//! to zero over it; with the load spread over angles q by parts F that sum up to P / 2 along the pull:
//!
//! - Radial parts (a pin without friction): M beside (at 90 degrees) is P R (1/2 - s / pi) and under the load
//!   P R (s / pi - t / 2), where s is the sum of F over P / 2 and t that of F sin q. At a point s = 1, t = 0.
//! - Parts along the pull at the inner radius r (a strap): the same with s the mean of r/R q sin q + cos q and t that of
//!   r/R sin q. Evenly spread over a half width r sin a, these means are integrals over x = r sin q.
//!
//! A rigid pin much smaller than the ring touches at a point as long as P R / pi bends the ring less than to the pin's
//! curvature. Beyond, the ring lies on the pin over an angle a to each side, where its moment is E I times the difference of
//! curvature and does not change: no shear, and a hoop force P / 2 sin a that presses evenly. The shear P / 2 cos a comes in
//! as a line force at each end. Hence s = cos a + a sin a and t = sin a.

use crate::check::{Check, compare};
use crate::model::{ModelError, plane_stress};
use crate::pressing::{Balance, Row, grip, node_row};
use crate::problem::{Outcome, Problem};
use crate::shapes::{INNER, OUTER, arc, line, mesh};
use crate::view::{Part, Shown, View};
use geometry::curve::Point;
use geometry::mesh::NamedEdge;
use geometry::region::{Region, Stretch};
use solver::plane::cut::cut_forces;
use solver::plane::loads::edges_on;
use solver::plane::{Body, Elastic, Factor, Locator, edge, three_supports};
use std::f64::consts::{FRAC_1_PI, FRAC_2_PI, FRAC_PI_2, FRAC_PI_4, PI};

/// Pins.
pub const PINS: Problem = Problem {
    name: "ring-over-pins",
    title: "closed thin ring pulled apart by two rigid pins, small and nearly of its own radius",
    source: SOURCE,
    run: || pins().map_err(|fault| fault.stops("ring-over-pins")),
};

/// Straps.
pub const STRAPS: Problem = Problem {
    name: "ring-in-straps",
    title: "closed thin ring pulled apart by two straps, narrow, wide, and so stiff that fibres go slack",
    source: SOURCE,
    run: || straps().map_err(|fault| fault.stops("ring-in-straps")),
};

const SOURCE: &str =
    "Timoshenko, Strength of Materials; the same by Castigliano's theorem, also for a load of finite size";

const RADIUS: f64 = 40.0;
const DEPTH: f64 = 1.6;
const BREADTH: f64 = 10.0;
const STEEL: Elastic = plane_stress(200e3, 0.3);
const INNER_RADIUS: f64 = RADIUS - 0.5 * DEPTH;
const BENDING: f64 = 200e3 * BREADTH * DEPTH * DEPTH * DEPTH / 12.0;

/// Cut under the upper load, and beside it.
const UNDER: Stretch = Stretch::Side(6);
const BESIDE: Stretch = Stretch::Side(7);

/// Upward and downward.
const ENDS: [f64; 2] = [1.0, -1.0];
const SHOWN: Shown = Shown::Around;

struct Ring {
    body: Body,
    factor: Factor,
}

fn ring() -> Result<Ring, ModelError> {
    let outer_radius = RADIUS + 0.5 * DEPTH;
    let quarters = |radius: f64, way: f64, stretch| {
        (0..4)
            .map(|i| {
                arc(
                    [0.0; 2],
                    radius,
                    way * f64::from(i) * FRAC_PI_2,
                    way * f64::from(i + 1) * FRAC_PI_2,
                    stretch,
                )
            })
            .collect()
    };
    let region = Region {
        loops: vec![quarters(outer_radius, 1.0, OUTER), quarters(INNER_RADIUS, -1.0, INNER)],
        lines: vec![
            line([0.0, INNER_RADIUS], [0.0, outer_radius], UNDER),
            line([INNER_RADIUS, 0.0], [outer_radius, 0.0], BESIDE),
        ],
    };
    let mesh = mesh(&region, &|_| 0.35 * DEPTH)?;
    let held = three_supports(&mesh, &|_| false).ok_or(ModelError::Singular { what: "ring" })?;
    let body = Body::new(mesh, &|_| BREADTH, &|_| false, STEEL)?;
    Ok(Ring { factor: Factor::new(&body, &held)?, body })
}

/// What the ring does, in parts of pull times radius and of pull times radius cubed over bending stiffness.
struct Pulled {
    under: f64,
    beside: f64,
    /// Force across the section beside, over half the pull.
    across_beside: f64,
    longer: f64,
    narrower: f64,
    picture: Part,
}

impl Ring {
    fn pulled(&self, rows: &[Row], forces: &[f64], pull: f64) -> Result<Pulled, ModelError> {
        let mut load = vec![0.0; self.body.unknowns()];
        for (row, force) in rows.iter().zip(forces) {
            for (unknown, weight) in &row.body {
                load[*unknown as usize] += force * weight;
            }
        }
        let u = self.factor.solve(&load);
        let mesh = self.body.mesh();
        let locator = Locator::new(mesh);
        let moved = |at: Point, axis: u32| -> Result<f64, ModelError> {
            let row = locator.row(mesh, at).ok_or(ModelError::Outside { at })?;
            Ok(row.nodes.iter().zip(row.weights).map(|(n, w)| w * u[(2 * n + axis) as usize]).sum())
        };
        // What the rest exerts on the quarter with x and y positive.
        let cut = |stretch: Stretch, axis: usize, about: Point| {
            let edges: Vec<NamedEdge> = mesh.lines.iter().filter(|e| e.stretch == stretch).copied().collect();
            let side = |t: usize| {
                mesh.triangles[t][..3].iter().map(|n| mesh.points[*n as usize][axis]).sum::<f64>() > 0.0
            };
            cut_forces(&self.body, &u, &edges, &side, about)
        };
        let beside = cut(BESIDE, 1, [RADIUS, 0.0]);
        let stiffness = BENDING / (pull * RADIUS.powi(3));
        Ok(Pulled {
            picture: Part::pressed(&self.body, &self.factor, rows, forces, SHOWN),
            under: cut(UNDER, 0, [0.0, RADIUS]).moment / (pull * RADIUS),
            beside: beside.moment / (pull * RADIUS),
            across_beside: -beside.force[1] / (0.5 * pull),
            longer: (moved([0.0, RADIUS], 1)? - moved([0.0, -RADIUS], 1)?) * stiffness,
            narrower: (moved([-RADIUS, 0.0], 0)? - moved([RADIUS, 0.0], 0)?) * stiffness,
        })
    }
}

/// Moments under the load and beside it over pull times radius; `s` and `t` as above.
fn moments(s: f64, t: f64) -> [f64; 2] {
    [s / PI - 0.5 * t, 0.5 - s / PI]
}

const THIN: &str =
    "1 %: the closed form leaves out stretch and shear, a few parts in a thousand at this thickness";

fn compared(case: &str, got: &Pulled, [under, beside]: [f64; 2]) -> Vec<Check> {
    vec![
        compare(format!("{case}: moment under the load over pull and radius"), under, got.under, 0.005, THIN),
        compare(format!("{case}: moment at 90 degrees from it"), beside, got.beside, 0.005, THIN),
        compare(
            format!("{case}: force across the section there over half the pull"),
            1.0,
            got.across_beside,
            1e-6,
            "equilibrium to rounding, which counts for more in a ring far softer than its elements",
        ),
    ]
}

fn diameters(case: &str, got: &Pulled) -> [Check; 2] {
    // A page prints 4/pi - pi/4 for the diameter across; the integral gives 2/pi - 1/2.
    [
        compare(
            format!("{case}: growth along the pull over P R^3 / E I"),
            FRAC_PI_4 - FRAC_2_PI,
            got.longer,
            0.005,
            THIN,
        ),
        compare(format!("{case}: shrinkage across it"), FRAC_2_PI - 0.5, got.narrower, 0.005, THIN),
    ]
}

/// Presses two rigid pins outward.
fn over_pins(ring: &Ring, radius: f64, reach: f64, pull: f64) -> Result<Pulled, ModelError> {
    let mesh = ring.body.mesh();
    let mut nodes: Vec<u32> = edges_on(mesh, INNER).flat_map(|e| e.nodes).collect();
    nodes.sort_unstable();
    nodes.dedup();
    let off = INNER_RADIUS - radius;
    let rows: Vec<Row> = nodes
        .into_iter()
        .filter(|n| mesh.points[*n as usize][0].abs() < reach)
        .map(|node| {
            let at = mesh.points[node as usize];
            let normal = at.map(|c| c / INNER_RADIUS);
            // Along the ray from the ring's centre, the pin's centre being `off` from it.
            let (along, beside) = (off * normal[1].abs(), off * normal[0]);
            node_row(node, at, normal, INNER_RADIUS - along - (radius * radius - beside * beside).sqrt())
        })
        .collect();
    let mut balance = Balance::default();
    for end in ENDS {
        for (axis, right) in [(0, 0.0), (1, end * pull)] {
            let of = |r: &Row| if r.at[1] * end > 0.0 { r.normal[axis] } else { 0.0 };
            balance.add(rows.iter().map(of), right);
        }
    }
    let forces = grip(&ring.factor, &rows, &balance)?;
    ring.pulled(&rows, &forces, pull)
}

fn pins() -> Result<Outcome, ModelError> {
    const SMALL: f64 = 10.0;
    const LARGE: f64 = 38.9;
    let ring = ring()?;
    let mut outcome = Outcome::default();

    // A tenth of the pull that would bend the ring to the pin.
    let curvature = |pin: f64| 1.0 / (pin + 0.5 * DEPTH) - 1.0 / RADIUS;
    let pull = 0.1 * BENDING * curvature(SMALL) / (FRAC_1_PI * RADIUS);
    let small = over_pins(&ring, SMALL, 0.05 * RADIUS, pull)?;
    outcome.checks.extend(compared("small pins", &small, moments(1.0, 0.0)));
    outcome.checks.extend(diameters("small pins", &small));
    let hertz =
        (4.0 * pull / BREADTH / (1.0 / SMALL - 1.0 / INNER_RADIUS) / (PI * STEEL.youngs_modulus_mpa)).sqrt();
    outcome.remarks.push(format!(
        "small pins touch over {:.2} mm after Hertz, which takes {:.2} % off the moment under them",
        2.0 * hertz,
        // Mean distance of a half-ellipse from its middle: 4 / (3 pi) of its half width.
        100.0 * 0.5 * 4.0 * hertz / (3.0 * PI * RADIUS) * PI
    ));

    for degrees in [10.0_f64, 20.0] {
        let lies = degrees.to_radians();
        let expected = moments(lies.cos() + lies * lies.sin(), lies.sin());
        let pull = BENDING * curvature(LARGE) / (expected[0] * RADIUS);
        let large = over_pins(&ring, LARGE, 0.45 * RADIUS, pull)?;
        outcome.checks.extend(compared(&format!("ring on the pin over {degrees} degrees"), &large, expected));
        let off = INNER_RADIUS - LARGE;
        let caption = "The upper end of a ring on two pins nearly as large: it presses where it leaves the pin, 20 degrees to either side.";
        outcome.view = Some(
            View::of(vec![large.picture], SHOWN, caption)
                .with_pin([0.0, off], LARGE)
                .within([-0.6 * RADIUS, 0.72 * RADIUS], [0.6 * RADIUS, 1.06 * RADIUS]),
        );
    }
    Ok(outcome)
}

/// The fibres of two straps of a width, mm, and a stiffness per mm of width and of stretch, N/mm^2.
fn fibres(ring: &Ring, width: f64, stiffness: f64) -> Vec<Row> {
    /// Gauss points of a piece of edge.
    const POINTS: [(f64, f64); 3] =
        [(-0.774_596_669_241_483_4, 5.0 / 9.0), (0.0, 8.0 / 9.0), (0.774_596_669_241_483_4, 5.0 / 9.0)];
    let mesh = ring.body.mesh();
    let half = 0.5 * width;
    let mut rows = Vec::new();
    for piece in edges_on(mesh, INNER) {
        let ends = [-1.0, 1.0].map(|t| edge::at(mesh, piece, t).point);
        let end = ends[0][1].signum();
        // Material is on the left of the hole's edge, so x rises along the upper half and falls along the lower.
        let across = |t: f64| end * edge::at(mesh, piece, t).point[0];
        let (low, high) = (across(-1.0), across(1.0));
        if ends[0][1] * ends[1][1] <= 0.0 || high <= -half || low >= half {
            continue;
        }
        let find = |target: f64| {
            let (mut from, mut to) = (-1.0, 1.0);
            for _ in 0..60 {
                let middle = 0.5 * (from + to);
                if across(middle) < target { from = middle } else { to = middle }
            }
            from
        };
        let start = if low < -half { find(-half) } else { -1.0 };
        let stop = if high > half { find(half) } else { 1.0 };
        for (g, weight) in POINTS {
            let here = edge::at(mesh, piece, 0.5 * (start + stop) + 0.5 * g * (stop - start));
            // The edge's slope against the pull takes width off its length.
            let covers = 0.5 * (stop - start) * weight * here.speed_mm * here.normal[1].abs();
            rows.push(Row {
                at: here.point,
                normal: [0.0, end],
                gap: 0.0,
                body: piece.nodes.iter().zip(here.shape).map(|(n, w)| (2 * n + 1, end * w)).collect(),
                circle: Vec::new(),
                soft: 1.0 / (stiffness * covers),
            });
        }
    }
    rows
}

struct Strapped {
    pulled: Pulled,
    /// Moments by the closed form from the forces of the fibres.
    by_fibres: [f64; 2],
    fibres: usize,
    slack: usize,
}

fn in_straps(ring: &Ring, width: f64, stiffness: f64) -> Result<Strapped, ModelError> {
    const PULL: f64 = 100.0;
    let rows = fibres(ring, width, stiffness);
    let mut balance = Balance::default();
    for end in ENDS {
        balance.add(rows.iter().map(|r| if r.normal[1] == end { end } else { 0.0 }), end * PULL);
    }
    balance.add(rows.iter().map(|r| r.at[0] * r.normal[1]), 0.0);
    let forces = grip(&ring.factor, &rows, &balance)?;
    let (mut s, mut t) = (0.0, 0.0);
    for (row, force) in rows.iter().zip(&forces).filter(|(r, _)| r.normal[1] > 0.0) {
        let sin = row.at[0].abs() / INNER_RADIUS;
        let angle = sin.asin();
        s += force / PULL * (INNER_RADIUS / RADIUS * angle * sin + angle.cos());
        t += force / PULL * INNER_RADIUS / RADIUS * sin;
    }
    Ok(Strapped {
        pulled: ring.pulled(&rows, &forces, PULL)?,
        by_fibres: moments(s, t),
        fibres: forces.len(),
        slack: forces.iter().filter(|f| **f == 0.0).count(),
    })
}

/// Moments when the load is spread evenly over the width.
fn evenly(width: f64) -> [f64; 2] {
    let ratio = INNER_RADIUS / RADIUS;
    let sin = 0.5 * width / INNER_RADIUS;
    let a = sin.asin();
    let with_sine = (0.125 * (2.0 * a).sin() - 0.25 * a * (2.0 * a).cos()) / sin;
    let cosine = (0.5 * a + 0.25 * (2.0 * a).sin()) / sin;
    moments(ratio * with_sine + cosine, ratio * 0.5 * sin)
}

fn straps() -> Result<Outcome, ModelError> {
    /// So soft that the ring's own bending does not change how the load is spread.
    const SOFT: f64 = 1.0;
    /// So stiff that the ring bends away from the middle of the straps.
    const STIFF: f64 = 1000.0;
    let ring = ring()?;
    let mut outcome = Outcome::default();
    let narrow = in_straps(&ring, 2.0, SOFT)?;
    outcome.checks.extend(compared("narrow straps", &narrow.pulled, evenly(2.0)));
    outcome.checks.extend(diameters("narrow straps", &narrow.pulled));
    let wide = in_straps(&ring, 16.0, SOFT)?;
    outcome.checks.extend(compared("wide straps", &wide.pulled, evenly(16.0)));
    let caption =
        "The upper end of the ring under a strap of 16 mm, which spreads the pull evenly over its width.";
    outcome.view = Some(
        View::of(vec![wide.pulled.picture.clone()], SHOWN, caption)
            .within([-0.6 * RADIUS, 0.72 * RADIUS], [0.6 * RADIUS, 1.06 * RADIUS]),
    );
    let stiff = in_straps(&ring, 16.0, STIFF)?;
    outcome.checks.extend(compared("wide stiff straps", &stiff.pulled, stiff.by_fibres));
    outcome.remarks.push(format!(
        "moment under the load over pull and radius: {FRAC_1_PI:.4} at a point, {:.4} under 16 mm spread evenly, {:.4} where \
         the straps are so stiff that the ring bends away from {} of their {} fibres",
        wide.pulled.under, stiff.pulled.under, stiff.slack, stiff.fibres
    ));
    Ok(outcome)
}
