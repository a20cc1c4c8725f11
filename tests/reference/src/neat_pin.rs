//! A pin in a hole of a wide plate: how far round it presses, and how hard.
//!
//! The plate is a disc held all around at 40 hole radii: what it lacks to an infinite one falls with the square of that.

use crate::check::compare;
use crate::model::{ModelError, nodes_on, plane_stress};
use crate::pressing::{Circle, Motions, Row, node_row, press};
use crate::problem::{Outcome, Problem};
use crate::shapes::{INNER, OUTER, arc, graded, mesh};
use crate::view::{Part, Shown, View};
use geometry::region::Region;
use solver::plane::{Body, Elastic, Factor, three_supports};
use std::f64::consts::TAU;

/// A rigid pin that fits without clearance.
pub const RIGID: Problem = Problem {
    name: "neat-rigid-pin",
    title: "rigid pin, neat fit, in a wide plate, plane stress",
    source: "Persson, on the stress distribution of cylindrical elastic bodies in contact, 1964 (rigid limit, Poisson's \
             ratio 0.33)",
    run: || rigid().map_err(|fault| fault.stops("neat-rigid-pin")),
};

/// An elastic pin of the plate's material that fits without clearance.
pub const ELASTIC: Problem = Problem {
    name: "neat-elastic-pin",
    title: "elastic pin of the plate's material, neat fit",
    source: "Persson, 1964; Ciavarella and Decuzzi, the state of stress induced by the plane frictionless cylindrical \
             contact, 2001",
    run: || elastic().map_err(|fault| fault.stops("neat-elastic-pin")),
};

/// A rigid pin with clearance: the harder it is pulled, the further round it presses.
pub const CLEARANCE: Problem = Problem {
    name: "pin-with-clearance",
    title: "rigid pin with clearance: the contact grows with the load, up to that of a neat fit",
    source: "Persson, 1964 (limit); growth: statics of receding and advancing contact",
    run: || clearance().map_err(|fault| fault.stops("pin-with-clearance")),
};

const RADIUS: f64 = 1.0;
const PLATE: Elastic = plane_stress(70e3, 0.33);
/// Edges per radian of the hole.
const PER_RADIAN: f64 = 32.0;

struct Plate {
    body: Body,
    factor: Factor,
}

fn plate() -> Result<Plate, ModelError> {
    let region = Region {
        loops: vec![
            vec![arc([0.0; 2], 40.0 * RADIUS, 0.0, TAU, OUTER)],
            vec![arc([0.0; 2], RADIUS, TAU, 0.0, INNER)],
        ],
        lines: Vec::new(),
    };
    let mesh = mesh(&region, &graded([0.0; 2], RADIUS, RADIUS / PER_RADIAN, 0.25, 4.0))?;
    let held: Vec<u32> = nodes_on(&mesh, OUTER).iter().flat_map(|n| [2 * n, 2 * n + 1]).collect();
    let body = Body::new(mesh, &|_| 1.0, &|_| false, PLATE)?;
    let factor = Factor::new(&body, &held)?;
    Ok(Plate { body, factor })
}

/// Rows of the hole's nodes with a radial gap.
fn rows(plate: &Plate, gap: f64) -> Vec<Row> {
    nodes_on(plate.body.mesh(), INNER)
        .into_iter()
        .map(|node| {
            let at = plate.body.mesh().points[node as usize];
            node_row(node, at, at.map(|c| c / RADIUS), gap)
        })
        .collect()
}

/// Half angle of contact in degrees and greatest pressure (load 1): pressures at mid-side nodes, whose consistent force
/// is two thirds of pressure times edge length.
fn contact(plate: &Plate, rows: &[Row], forces: &[f64]) -> (f64, f64) {
    let force_of =
        |node: u32| rows.iter().zip(forces).find(|(r, _)| r.body[0].0 == 2 * node).map_or(0.0, |(_, f)| *f);
    let angle = |p: [f64; 2]| p[0].abs().atan2(-p[1]).to_degrees();
    let (mut half, mut peak) = (0.0_f64, 0.0_f64);
    for edge in plate.body.mesh().boundary.iter().filter(|e| e.stretch == INNER) {
        let [a, b, m] = edge.nodes;
        let force = force_of(m);
        let at = |n: u32| plate.body.mesh().points[n as usize];
        if force > 0.0 {
            let length = plate.body.mesh().edge_length(edge);
            peak = peak.max(1.5 * force / length);
            half = half.max(angle(at(m)));
        }
        for node in [a, b] {
            if force_of(node) > 0.0 {
                half = half.max(angle(at(node)));
            }
        }
    }
    (half, peak)
}

const DOWN: [f64; 2] = [0.0, -1.0];
const SLIDING: Motions = Motions { sideways: true, turning: false };

const SHOWN: Shown = Shown::VonMises;

fn picture(plate: &Plate, rows: &[Row], forces: &[f64]) -> View {
    let part = Part::pressed(&plate.body, &plate.factor, rows, forces, SHOWN);
    let caption =
        "Around the hole. Arrows: the pressure of the pin, which is pulled down; the plate is held far away.";
    View::of(vec![part], SHOWN, caption).within([-3.2 * RADIUS, -3.2 * RADIUS], [3.2 * RADIUS, 1.8 * RADIUS])
}

fn rigid() -> Result<Outcome, ModelError> {
    let plate = plate()?;
    let rows = rows(&plate, 0.0);
    let forces = press(&plate.factor, None, &rows, DOWN, SLIDING)?;
    let (half, peak) = contact(&plate, &rows, &forces);
    let view = picture(&plate, &rows, &forces).with_pin([0.0; 2], RADIUS);
    let doubled = press(&plate.factor, None, &rows, [0.0, -2.0], SLIDING)?;
    let (half_doubled, _) = contact(&plate, &rows, &doubled);
    Ok(Outcome {
        checks: vec![
            compare(
                "greatest pressure times radius over load",
                0.6025,
                peak * RADIUS,
                0.01,
                "1 %: pressure at nodes",
            ),
            compare(
                "half angle of contact, degrees",
                82.5,
                half,
                2.0 / 82.5,
                "2 degrees: nodes stand 0.9 apart",
            ),
            compare(
                "change of the angle at twice the load",
                0.0,
                half_doubled - half,
                1e-9,
                "a neat fit knows no load",
            ),
        ],
        view: Some(view),
        ..Outcome::default()
    })
}

fn elastic() -> Result<Outcome, ModelError> {
    let plate = plate()?;
    let disc = Region { loops: vec![vec![arc([0.0; 2], RADIUS, 0.0, TAU, OUTER)]], lines: Vec::new() };
    let disc = mesh(&disc, &|p| {
        (RADIUS / PER_RADIAN + 0.25 * (RADIUS - p[0].hypot(p[1])).max(0.0)).min(0.12 * RADIUS)
    })?;
    let edge = nodes_on(&disc, OUTER);
    let centre = (0..disc.points.len() as u32)
        .min_by(|a, b| {
            let away = |n: &u32| disc.points[*n as usize][0].hypot(disc.points[*n as usize][1]);
            away(a).total_cmp(&away(b))
        })
        .unwrap_or(0);
    let held = three_supports(&disc, &|n| edge.contains(&n)).ok_or(ModelError::Singular { what: "disc" })?;
    let body = Body::new(disc, &|_| 1.0, &|_| false, PLATE)?;
    let factor = Factor::new(&body, &held)?;
    let mut load = vec![0.0; body.unknowns()];
    load[2 * centre as usize + 1] = -1.0;
    let mut rows = rows(&plate, 0.0);
    // Both circles are cut alike, so each node of the hole has one of the pin opposite.
    for row in &mut rows {
        let node = edge.iter().copied().find(|n| {
            let p = body.mesh().points[*n as usize];
            (p[0] - row.at[0]).hypot(p[1] - row.at[1]) < 1e-6
        });
        let node = node.ok_or(ModelError::Outside { at: row.at })?;
        row.circle = vec![(2 * node, row.normal[0]), (2 * node + 1, row.normal[1])];
    }
    let circle = Circle { factor: &factor, load: &load };
    let forces = press(&plate.factor, Some(&circle), &rows, DOWN, SLIDING)?;
    let (half, peak) = contact(&plate, &rows, &forces);
    let mut view = picture(&plate, &rows, &forces);
    view.parts.push(Part::pressing(&body, &factor, &rows, &forces, &load, SHOWN));
    Ok(Outcome {
        view: Some(view),
        checks: vec![
            compare(
                "greatest pressure times radius over load",
                0.5996,
                peak * RADIUS,
                0.02,
                "2 %: pressure at nodes",
            ),
            compare(
                "half angle of contact, degrees",
                84.83,
                half,
                0.02,
                "2 %: nodes stand 0.9 degrees apart",
            ),
        ],
        remarks: vec![format!(
            "a cosine law of pressure would give {:.4}, 6 % above",
            2.0 / std::f64::consts::PI
        )],
        ..Outcome::default()
    })
}

fn clearance() -> Result<Outcome, ModelError> {
    let plate = plate()?;
    // Load over modulus times clearance grows a hundredfold.
    let gap = 1e-3;
    // The pin touches at the bottom: its gap grows as it stands off elsewhere.
    let mut rows = rows(&plate, gap);
    for row in &mut rows {
        row.gap = gap * (1.0 + row.normal[1]);
    }
    let (mut angles, mut view) = (Vec::new(), None);
    for load in [5.0, 20.0, 80.0, 320.0, 1280.0, 100_000.0] {
        let forces = press(&plate.factor, None, &rows, [0.0, -load], SLIDING)?;
        angles.push(contact(&plate, &rows, &forces).0);
        view.get_or_insert_with(|| picture(&plate, &rows, &forces).with_pin([0.0; 2], RADIUS));
    }
    let steps_back = angles.windows(2).filter(|pair| pair[1] < pair[0]).count();
    let last = angles[angles.len() - 1];
    Ok(Outcome {
        checks: vec![
            compare(
                "loads at which the contact did not grow",
                0.0,
                steps_back as f64,
                0.0,
                "it only advances",
            ),
            compare(
                "half angle under a huge load, degrees",
                82.5,
                last,
                2.0 / 82.5,
                "the limit is the neat fit",
            ),
            compare(
                "first half angle over the last",
                0.0,
                angles[0] / last,
                0.6,
                "a light load presses far less far",
            ),
        ],
        view,
        remarks: vec![format!("half angles from light to heavy, degrees: {angles:.1?}")],
        ..Outcome::default()
    })
}
