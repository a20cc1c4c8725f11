//! Cylinders pressed on a block and into a groove, in the range of Hertz.

use crate::check::compare;
use crate::model::{ModelError, nodes_on, plane_strain, plane_stress};
use crate::pressing::{Circle, Motions, Row, edge_pattern, half_width, node_row, press};
use crate::problem::{Outcome, Problem};
use crate::shapes::{INNER, OUTER, TOP, arc, graded, line, mesh};
use crate::view::{Part, Shown, View};
use geometry::curve::Point;
use geometry::mesh::{Mesh, NamedEdge};
use geometry::region::{Region, Stretch};
use solver::plane::{Body, Elastic, Factor, three_supports};
use std::f64::consts::{PI, TAU};

const ON_BLOCK: &str = "Hertz, 1882, on the case of the NAFEMS advanced contact benchmark 1, 2006";
const IN_GROOVE: &str = "Hertz, 1882: closed form for a cylinder in a groove";
const SHOWN: Shown = Shown::VonMises;
const CAPTION: &str = "Around the contact. Arrows: the pressure that the circle exerts; the body is held far away along its outer edge.";
const FIVE: &str = "5 %: Hertz takes the arc for a parabola and the bodies for half planes";

/// A rigid cylinder on an aluminium block, plane strain.
pub const RIGID_ON_BLOCK: Problem = Problem {
    name: "rigid-cylinder-on-block",
    title: "rigid cylinder on a block, plane strain",
    source: ON_BLOCK,
    run: || block(None, 5.38, 4140.0).map_err(|fault| fault.stops("rigid-cylinder-on-block")),
};

/// A steel cylinder on an aluminium block, plane strain.
pub const ELASTIC_ON_BLOCK: Problem = Problem {
    name: "steel-cylinder-on-block",
    title: "steel cylinder on an aluminium block, plane strain",
    source: ON_BLOCK,
    run: || {
        block(Some(plane_strain(210e3, 0.3)), 6.2146, 3585.4)
            .map_err(|fault| fault.stops("steel-cylinder-on-block"))
    },
};

/// A rigid pin in a wider groove, plane stress.
pub const RIGID_IN_GROOVE: Problem = Problem {
    name: "rigid-pin-in-groove",
    title: "rigid 12 mm pin in a 13 mm groove, plane stress",
    source: IN_GROOVE,
    run: || {
        groove(plane_stress(71.7e3, 0.33), None, 0.832, 382.5)
            .map_err(|fault| fault.stops("rigid-pin-in-groove"))
    },
};

/// A steel pin in a wider groove, plane strain.
pub const ELASTIC_IN_GROOVE: Problem = Problem {
    name: "steel-pin-in-groove",
    title: "steel 12 mm pin in a 13 mm aluminium groove, plane strain",
    source: IN_GROOVE,
    run: || {
        groove(plane_strain(71.7e3, 0.33), Some(plane_strain(207e3, 0.3)), 0.9140, 348.25)
            .map_err(|fault| fault.stops("steel-pin-in-groove"))
    },
};

struct Pin {
    body: Body,
    factor: Factor,
    load: Vec<f64>,
    edges: Vec<NamedEdge>,
}

/// An elastic disc about `centre`, fine at its lowest point, loaded downward at its centre.
fn pin(
    elastic: Elastic,
    centre: Point,
    radius: f64,
    fine: f64,
    reach: f64,
    load: f64,
) -> Result<Pin, ModelError> {
    let region = Region { loops: vec![vec![arc(centre, radius, 0.0, TAU, OUTER)]], lines: Vec::new() };
    let lowest = [centre[0], centre[1] - radius];
    let mesh: Mesh = mesh(&region, &graded(lowest, reach, fine, 0.25, 0.12 * radius))?;
    let edge = nodes_on(&mesh, OUTER);
    let held = three_supports(&mesh, &|n| edge.contains(&n)).ok_or(ModelError::Singular { what: "pin" })?;
    let middle = (0..mesh.points.len())
        .min_by(|a, b| {
            let away = |n: &usize| (mesh.points[*n][0] - centre[0]).hypot(mesh.points[*n][1] - centre[1]);
            away(a).total_cmp(&away(b))
        })
        .unwrap_or(0);
    let edges = mesh.boundary.clone();
    let body = Body::new(mesh, &|_| 1.0, &|_| false, elastic)?;
    let mut forces = vec![0.0; body.unknowns()];
    forces[2 * middle + 1] = -load;
    Ok(Pin { factor: Factor::new(&body, &held)?, body, load: forces, edges })
}

fn compared(rows: &[Row], forces: &[f64], load: f64, b: f64, peak: f64) -> Outcome {
    let width = half_width(rows, forces);
    let pulls = forces.iter().filter(|f| **f < 0.0).count();
    Outcome {
        checks: vec![
            compare("half width of contact, mm", b, width, 0.05, FIVE),
            compare("greatest pressure, MPa", peak, 2.0 * load / (PI * width), 0.05, FIVE),
            compare("rows that pull", 0.0, pulls as f64, 0.0, "contact never pulls"),
        ],
        ..Outcome::default()
    }
}

/// Presses a circle of `radius` (lowest point at the origin) on the rows of `stretch`.
#[expect(clippy::too_many_arguments, reason = "one private call with every number of the problem in sight")]
fn pressed(
    body: &Body,
    factor: &Factor,
    elastic: Option<Elastic>,
    stretch: Stretch,
    centre: Point,
    radius: f64,
    zone: f64,
    load: f64,
    normal: &dyn Fn(Point) -> Point,
) -> Result<(Vec<Row>, Vec<f64>, View), ModelError> {
    let pin = elastic.map(|e| pin(e, centre, radius, zone / 16.0, zone, load)).transpose()?;
    let mut rows = Vec::new();
    for node in nodes_on(body.mesh(), stretch) {
        let at = body.mesh().points[node as usize];
        if at[0].abs() > 2.0 * zone || at[1] > centre[1] {
            continue;
        }
        let n = normal(at);
        // Along the normal, from the circle to the edge.
        let from = [at[0] - centre[0], at[1] - centre[1]];
        let along = -from[0] * n[1] + from[1] * n[0];
        let gap = from[0] * n[0] + from[1] * n[1] - (radius * radius - along * along).sqrt();
        let mut row = node_row(node, at, n, gap);
        if let Some(pin) = &pin {
            let Some((pattern, _)) = edge_pattern(&pin.body, &pin.edges, at[0], n) else { continue };
            row.circle = pattern;
        }
        rows.push(row);
    }
    let circle = pin.as_ref().map(|p| Circle { factor: &p.factor, load: &p.load });
    let sideways = rows.iter().any(|r| r.normal[0].abs() > 1e-9);
    // Normals that all pass through one point balance sideways and in turning by the same row.
    let motions = Motions { sideways, turning: pin.is_some() && !sideways };
    let forces = press(factor, circle.as_ref(), &rows, [0.0, -load], motions)?;
    let mut parts = vec![Part::pressed(body, factor, &rows, &forces, SHOWN)];
    if let Some(pin) = &pin {
        parts.push(Part::pressing(&pin.body, &pin.factor, &rows, &forces, &pin.load, SHOWN));
    }
    let mut view =
        View::of(parts, SHOWN, CAPTION).within([-4.0 * zone, -4.0 * zone], [4.0 * zone, 1.5 * zone]);
    if pin.is_none() {
        view = view.with_pin(centre, radius);
    }
    Ok((rows, forces, view))
}

fn block(elastic: Option<Elastic>, b: f64, peak: f64) -> Result<Outcome, ModelError> {
    const RADIUS: f64 = 50.0;
    const LOAD: f64 = 35_000.0;
    let (w, d) = (600.0, 600.0);
    let corners = [[-w, -d], [w, -d], [w, 0.0], [0.0, 0.0], [-w, 0.0]];
    let names = [OUTER, OUTER, TOP, TOP, OUTER];
    let region = Region {
        loops: vec![(0..5).map(|i| line(corners[i], corners[(i + 1) % 5], names[i])).collect()],
        lines: Vec::new(),
    };
    let zone = 8.0;
    let mesh = mesh(&region, &graded([0.0; 2], 1.6 * zone, zone / 16.0, 0.25, 60.0))?;
    let held: Vec<u32> = nodes_on(&mesh, OUTER).iter().flat_map(|n| [2 * n, 2 * n + 1]).collect();
    let body = Body::new(mesh, &|_| 1.0, &|_| false, plane_strain(70e3, 0.3))?;
    let factor = Factor::new(&body, &held)?;
    let down = |_: Point| [0.0, -1.0];
    let (rows, forces, view) =
        pressed(&body, &factor, elastic, TOP, [0.0, RADIUS], RADIUS, zone, LOAD, &down)?;
    Ok(Outcome { view: Some(view), ..compared(&rows, &forces, LOAD, b, peak) })
}

fn groove(plate: Elastic, elastic: Option<Elastic>, b: f64, peak: f64) -> Result<Outcome, ModelError> {
    const GROOVE: f64 = 6.5;
    const PIN: f64 = 6.0;
    const LOAD: f64 = 500.0;
    // The groove's lowest point is the origin.
    let centre = [0.0, GROOVE];
    let region = Region {
        loops: vec![vec![arc(centre, 120.0, 0.0, TAU, OUTER)], vec![arc(centre, GROOVE, TAU, 0.0, INNER)]],
        lines: Vec::new(),
    };
    let zone = 1.2;
    let mesh = mesh(&region, &graded([0.0; 2], 1.6 * zone, zone / 16.0, 0.25, 14.0))?;
    let held: Vec<u32> = nodes_on(&mesh, OUTER).iter().flat_map(|n| [2 * n, 2 * n + 1]).collect();
    let body = Body::new(mesh, &|_| 1.0, &|_| false, plate)?;
    let factor = Factor::new(&body, &held)?;
    let radial = move |p: Point| [(p[0] - centre[0]) / GROOVE, (p[1] - centre[1]) / GROOVE];
    let (rows, forces, view) = pressed(&body, &factor, elastic, INNER, [0.0, PIN], PIN, zone, LOAD, &radial)?;
    Ok(Outcome { view: Some(view), ..compared(&rows, &forces, LOAD, b, peak) })
}
