//! The part that carries the notch, cut out around it: its mesh, and where the pin presses.
//!
//! Forces are those of the mesh used here. On one with half the edge length that of the example's lip is 1 to 2 % less under
//! a patch of 1.2 mm and 40 degrees, but some 10 % less under a narrow one of 0.7 mm and 25 degrees, which is only two to
//! three edges wide.

use super::linear::Linear;
use super::metal::Metal;
use super::programme::{Flow, Row, least_dissipation};
use crate::plane::PlaneError;
use geometry::connector::{Connector, LipOn};
use geometry::curve::{Curve, Point};
use geometry::mesh::{Mesh, MeshError, MeshSettings, triangulate};
use geometry::outline::{DEFAULT_FLOOR, Notch, Outline};
use geometry::region::{Piece, Region, Stretch};
use thiserror::Error;

/// Where the pin presses. Under a pin that is seated it is measured from the place where flank and round end meet. Under one
/// that stands further out the round end's share goes and the flank's comes to lie even about the pin's foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// Flank toward the mouth, mm.
    pub flank_mm: f64,
    /// Round end beyond it, degrees.
    pub arc_deg: f64,
}

/// Why a part could not be solved.
#[derive(Clone, Debug, Error)]
pub enum PlasticError {
    /// The part could not be meshed.
    #[error(transparent)]
    Mesh(#[from] MeshError),
    /// The flow could not be found.
    #[error(transparent)]
    Plane(#[from] PlaneError),
    /// No node lies under the pin.
    #[error("the pin presses on no node")]
    NoContact,
    /// The forces from above and from weak equilibrium did not meet.
    #[error("the limit load did not settle: its two sides still differ by {percent:.1} %")]
    Unsettled {
        /// Their difference over the upper one, percent.
        percent: f64,
    },
}

/// Which metal may flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flowing {
    /// All of the part: the least force, whichever mechanism it takes.
    All,
    /// Not the lip, which is made ten times as strong: what the rest of the nose bears.
    Root,
}

/// Collapse of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collapse {
    /// Force along the line of the pins, N, from the velocities.
    pub force_n: f64,
    /// The same from the stress in weak equilibrium, N.
    pub dual_n: f64,
    /// Where the pin pressed.
    pub patch: Patch,
    /// Factorizations.
    pub iterations: usize,
    /// Triangles.
    pub triangles: usize,
}

/// Edge length at the notch, in radii of its round end.
const FINE: f64 = 0.17;
/// Growth of edges away from it, mm per mm.
const GROWTH: f64 = 0.34;
/// Longest edge, in radii of the round end.
const COARSE: f64 = 3.0;
/// Reach of the part about the notch, in depths of the leg.
const REACH: f64 = 1.25;
/// Largest difference of the two sides of a settled limit load, as a part of it: ten times what the programme ends at.
const SETTLED: f64 = 2e-3;
/// How many times as strong a lip is that must not flow.
const STRONG: f64 = 10.0;

/// A notch with the metal around it, meshed.
#[derive(Debug)]
pub struct NosePart {
    /// Metal of strength 1 MPa.
    pub(super) metal: Metal,
    pub(super) linear: Linear,
    pub(super) notch: Notch,
    /// Direction of the pin's pull.
    pub(super) pull: Point,
    /// The pin's foot, mm of flank from where it meets the round end; zero under a pin that is seated.
    pub(super) foot_mm: f64,
    /// Nodes of lip flank and round end, with normals into the metal and their places: mm of flank toward the mouth, or
    /// minus the angle along the round end, radians.
    pub(super) surface: Vec<(u32, Point, f64)>,
}

fn dot(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

fn between(a: Point, b: Point) -> Point {
    [b[0] - a[0], b[1] - a[1]]
}

/// Cuts flank and round end where a patch ends, so that nodes stand there.
fn marked(region: &Region, notch: &Notch, marks: &[f64]) -> Region {
    let root = notch.lip_root();
    let from = root_angle(notch);
    let mut outside: Vec<Piece> = Vec::new();
    for piece in region.loops.first().into_iter().flatten() {
        let mut cuts: Vec<f64> = match (&piece.curve, piece.stretch) {
            (Curve::Line { to, .. }, Stretch::LipFlank) => {
                let length = dot(between(root, *to), notch.to_mouth);
                marks.iter().map(|m| m / length).collect()
            }
            (Curve::Arc { from: a, to: b, .. }, Stretch::NotchEnd) => {
                // The round end runs clockwise toward the flank.
                let turn = |angle: f64| (angle - from).rem_euclid(2.0 * std::f64::consts::PI);
                let start = turn(*a);
                marks.iter().filter(|m| **m < 0.0).map(|m| (start + m) / (a - b)).collect()
            }
            _ => Vec::new(),
        };
        cuts.retain(|t| (0.02..=0.98).contains(t));
        cuts.sort_by(f64::total_cmp);
        let mut last = 0.0;
        for t in cuts.into_iter().chain([1.0]) {
            outside.push(Piece { curve: piece.curve.part(last, t), stretch: piece.stretch });
            last = t;
        }
    }
    let mut loops = vec![outside];
    loops.extend(region.loops.iter().skip(1).cloned());
    Region { loops, lines: Vec::new() }
}

/// Angle of the place where lip flank and round end meet, seen from the end's centre.
fn root_angle(notch: &Notch) -> f64 {
    (-notch.from_lip[1]).atan2(-notch.from_lip[0])
}

/// The triangles that hang together with those at `centre` within `reach`; true for nodes on the cut.
fn cut_out(mesh: &Mesh, centre: Point, reach: f64) -> (Mesh, Vec<bool>) {
    let near: Vec<bool> = mesh
        .triangles
        .iter()
        .map(|t| {
            let sum = |axis: usize| t[..3].iter().map(|n| mesh.points[*n as usize][axis]).sum::<f64>() / 3.0;
            (sum(0) - centre[0]).hypot(sum(1) - centre[1]) < reach
        })
        .collect();
    // Walk from the nearest node.
    let distance = |p: &Point| (p[0] - centre[0]).hypot(p[1] - centre[1]);
    let mut reached = vec![false; mesh.points.len()];
    let nearest = mesh.points.iter().enumerate().min_by(|a, b| distance(a.1).total_cmp(&distance(b.1)));
    if let Some((node, _)) = nearest {
        reached[node] = true;
    }
    let mut kept = vec![false; mesh.triangles.len()];
    loop {
        let mut grown = false;
        for (t, nodes) in mesh.triangles.iter().enumerate() {
            if near[t] && !kept[t] && nodes.iter().any(|n| reached[*n as usize]) {
                kept[t] = true;
                grown = true;
                for n in nodes {
                    reached[*n as usize] = true;
                }
            }
        }
        if !grown {
            break;
        }
    }
    let mut dropped = vec![false; mesh.points.len()];
    for (nodes, kept) in mesh.triangles.iter().zip(&kept) {
        if !kept {
            for n in nodes {
                dropped[*n as usize] = true;
            }
        }
    }
    let mut place = vec![u32::MAX; mesh.points.len()];
    let mut points = Vec::new();
    let mut cut = Vec::new();
    for (node, p) in mesh.points.iter().enumerate() {
        if reached[node] {
            place[node] = points.len() as u32;
            points.push(*p);
            cut.push(dropped[node]);
        }
    }
    let triangles = mesh
        .triangles
        .iter()
        .zip(&kept)
        .filter(|(_, kept)| **kept)
        .map(|(t, _)| t.map(|n| place[n as usize]))
        .collect();
    let boundary = mesh
        .boundary
        .iter()
        .filter(|e| e.nodes.iter().all(|n| reached[*n as usize]))
        .map(|e| geometry::mesh::NamedEdge { nodes: e.nodes.map(|n| place[n as usize]), ..*e })
        .collect();
    let small = Mesh { points, triangles, boundary, lines: Vec::new(), ..*mesh };
    (small, cut)
}

impl NosePart {
    /// Meshes the part. `marks`: places on flank (mm toward the mouth) and round end (radians, negative) where nodes are
    /// wanted.
    ///
    /// # Errors
    /// [`PlasticError`] when the part gives no mesh or no matrix.
    pub fn new(
        connector: &Connector,
        outline: &Outline,
        marks: &[f64],
        flowing: Flowing,
    ) -> Result<Self, PlasticError> {
        let seats = &outline.seats;
        let notch = seats.notch;
        let (region, depth) = match outline.lip_on {
            LipOn::Frame => (&outline.frame, connector.upper.depth_mm),
            LipOn::Gate => (&outline.gate, connector.gate.width_mm),
        };
        let line = between(seats.nose_pin.centre, seats.hinge_pin.centre);
        let sign = match outline.lip_on {
            LipOn::Frame => 1.0,
            LipOn::Gate => -1.0,
        };
        let pull = line.map(|x| sign * x / line[0].hypot(line[1]));
        let radius = notch.end.radius;
        let fine = |p: Point| {
            let along =
                dot(between(notch.end.centre, p), notch.to_mouth).clamp(0.0, notch.inside_mouth_mm.max(0.0));
            let nearest = [
                notch.end.centre[0] + along * notch.to_mouth[0],
                notch.end.centre[1] + along * notch.to_mouth[1],
            ];
            let away = ((p[0] - nearest[0]).hypot(p[1] - nearest[1]) - radius).max(0.0);
            (FINE * radius + GROWTH * away).min(COARSE * radius)
        };
        let whole = triangulate(&marked(region, &notch, marks), &fine, &MeshSettings::default())?;
        let (mesh, cut) = cut_out(&whole, notch.closed_end(), REACH * depth);
        let field = outline.frame_breadth(connector, DEFAULT_FLOOR);
        let root = notch.lip_root();
        let breadth = |p: Point| match outline.lip_on {
            LipOn::Frame => field.at(p),
            LipOn::Gate => connector.gate.wall_thickness_mm(),
        };
        let strengthened = |p: Point| {
            let lip = flowing == Flowing::Root && dot(between(root, p), notch.from_lip) < 0.0;
            if lip { STRONG * breadth(p) } else { breadth(p) }
        };
        let mut metal = Metal::new(mesh, &strengthened, 1.0);
        for (node, cut) in cut.iter().enumerate() {
            metal.held[2 * node] = *cut;
            metal.held[2 * node + 1] = *cut;
        }
        let surface = surface(&metal.mesh, &notch);
        let foot_mm = dot(between(notch.end.centre, seats.nose_pin.centre), notch.to_mouth).max(0.0);
        let linear = Linear::new(&metal.mesh, &metal.held)?;
        Ok(Self { metal, linear, notch, pull, foot_mm, surface })
    }

    /// The rows under the pin on a patch. On a flat alone a smooth pin would slide off; there it is kept from moving
    /// across its pull.
    fn rows_on(&self, patch: Patch) -> Vec<Row> {
        let [low, high] = ends(patch, self.foot_mm, self.notch.end.radius);
        let kept = if low >= 0.0 { 0.0 } else { 1.0 };
        self.surface
            .iter()
            .filter(|(_, normal, place)| {
                (low - 1e-6..=high + 1e-6).contains(place) && dot(*normal, self.pull) > 1e-9
            })
            .map(|(node, normal, _)| {
                let row = Row::new(*node, *normal, self.pull, 1.0, 0.0);
                Row { across: kept * row.across, ..row }
            })
            .collect()
    }

    /// The flow under a rigid pin that presses on a patch.
    ///
    /// # Errors
    /// [`PlasticError`] when no node lies on the patch, or the matrix cannot be factored.
    pub fn flow(&mut self, patch: Patch) -> Result<Flow, PlasticError> {
        let rows = self.rows_on(patch);
        if rows.is_empty() {
            return Err(PlasticError::NoContact);
        }
        settled(least_dissipation(&self.metal, &rows, &mut self.linear)?)
    }
}

/// A flow whose two sides have met; one that has not is no limit load.
pub(super) fn settled(flow: Flow) -> Result<Flow, PlasticError> {
    let gap = flow.relative_gap().abs();
    if gap <= SETTLED { Ok(flow) } else { Err(PlasticError::Unsettled { percent: 100.0 * gap }) }
}

/// Places where a patch begins and ends.
fn ends(patch: Patch, foot_mm: f64, radius: f64) -> [f64; 2] {
    let out = (foot_mm / patch.flank_mm.max(1e-9)).clamp(0.0, 1.0);
    let low = out * (foot_mm - 0.5 * patch.flank_mm) - (1.0 - out) * radius * patch.arc_deg.to_radians();
    [if low < 0.0 { low / radius } else { low }, foot_mm + (1.0 - 0.5 * out) * patch.flank_mm]
}

/// Nodes of flank and round end.
fn surface(mesh: &Mesh, notch: &Notch) -> Vec<(u32, Point, f64)> {
    let from = root_angle(notch);
    let into_lip = [-notch.from_lip[0], -notch.from_lip[1]];
    let mut known = vec![false; mesh.points.len()];
    let mut all = Vec::new();
    for stretch in [Stretch::LipFlank, Stretch::NotchEnd] {
        for edge in mesh.boundary.iter().filter(|e| e.stretch == stretch) {
            for node in [edge.nodes[0], edge.nodes[2], edge.nodes[1]] {
                if std::mem::replace(&mut known[node as usize], true) {
                    continue;
                }
                let p = mesh.points[node as usize];
                if stretch == Stretch::LipFlank {
                    all.push((node, into_lip, dot(between(notch.lip_root(), p), notch.to_mouth)));
                } else {
                    let [x, y] = between(notch.end.centre, p);
                    let turn = (y.atan2(x) - from).rem_euclid(2.0 * std::f64::consts::PI);
                    all.push((node, [x / x.hypot(y), y / x.hypot(y)], -turn));
                }
            }
        }
    }
    all
}

/// Collapse of the part that carries the notch, of `strength_mpa`, under the pin on a patch that is given.
///
/// # Errors
/// [`PlasticError`].
pub fn nose_collapse(
    connector: &Connector,
    outline: &Outline,
    strength_mpa: f64,
    patch: Patch,
    flowing: Flowing,
) -> Result<Collapse, PlasticError> {
    let seats = &outline.seats;
    let foot = dot(between(seats.notch.end.centre, seats.nose_pin.centre), seats.notch.to_mouth).max(0.0);
    let marks = ends(patch, foot, seats.notch.end.radius);
    let mut part = NosePart::new(connector, outline, &marks, flowing)?;
    let flow = part.flow(patch)?;
    Ok(Collapse {
        force_n: strength_mpa * flow.dissipation,
        dual_n: strength_mpa * flow.dual,
        patch,
        iterations: flow.iterations,
        triangles: part.metal.mesh.triangles.len(),
    })
}
