//! The highest stresses, and which of them can be trusted.
//!
//! Trust is decided by geometry: beside an active contact, beside an unfilleted re-entrant corner and wherever a load is
//! singular, the plane model's stress grows with refinement or is that of a rigid pin, and is not a result.
//!
//! Nothing here jumps when a node passes from one side to the other: where trust ends inside a triangle, the stress on the
//! limit counts, and a contact ends where its force ends, not where a node does. A peak must stand out above what lies
//! between it and a higher one: ripples on a slope are no peaks, on no mesh.

mod summits;

use super::Peak;
use crate::plane::stress::von_mises;
use crate::response::{Response, Source};
use crate::system::{Joint, Side, System};
use geometry::curve::Point;
use geometry::mesh::Mesh;
use geometry::outline::Location;

/// Distance from an unfilleted re-entrant corner within which nothing is trusted, mm.
const CORNER_MM: f64 = 1.0;
/// Boundary turns sharper than this into the material count as unfilleted corners, degrees.
const CORNER_TURN_DEG: f64 = 12.0;
/// A bench bar's contact is not trusted within this part of the bar's depth (or the bar's radius, if that is less).
const BAR_OF_DEPTH: f64 = 0.35;
/// Contacts carrying less than this part of the load do not count as active.
const ACTIVE: f64 = 1e-6;
/// A node of a contact that carries less than this part of the contact's force reaches less far, in proportion.
const FULL_SHARE: f64 = 0.03;
/// Where a strap that is pressed on a slope ends, its drag along the edge jumps, and with it the logarithm of the distance is
/// in the stress. Not trusted within this part of the bar's depth on a slope of [`STEEP`] or more, less on flatter ones.
const STRAP_OF_DEPTH: f64 = 0.1;
/// Sine of the slope from which on the end of a strap reaches as far as it can.
const STEEP: f64 = 0.15;
/// Peaks closer together than this are one, mm; so are those that the same words name.
const APART_MM: f64 = 4.0;
/// Stresses that differ by less than this part are one.
const SAME: f64 = 1e-9;
/// How many peaks are reported.
const MOST: usize = 8;
/// At least so many of them are trusted, where there are so many.
const TRUSTED: usize = 5;

/// Circles in one body within which stress is not trusted.
#[derive(Clone, Debug, Default)]
pub struct Untrusted {
    circles: Vec<(Point, f64)>,
}

impl Untrusted {
    /// Where the stress of a body under a response is not trusted.
    #[must_use]
    pub fn new(system: &System, response: &Response, side: Side) -> Self {
        let mut circles: Vec<(Point, f64)> = sharp_corners(system.part(side).body.mesh());
        let least = ACTIVE * 1e3 * response.rig.load_kn;
        for joint in [Joint::Nose, Joint::Hinge] {
            circles.extend(contact(system, response, (joint, side), least));
        }
        if side == Side::Frame {
            circles
                .extend([true, false].iter().flat_map(|upper| strap_ends(system, response, *upper, least)));
        }
        for applied in &response.applied {
            let force = applied.on_frame[0].hypot(applied.on_frame[1]);
            if force < least {
                continue;
            }
            match applied.source {
                Source::Bar(upper) | Source::BarGrip(upper) if side == Side::Frame => {
                    let depth = if upper { system.connector.upper } else { system.connector.lower }.depth_mm;
                    let loader = if upper { response.rig.upper } else { response.rig.lower };
                    let radius = match loader {
                        crate::rig::Loader::Bar { diameter_mm, .. } => 0.5 * diameter_mm,
                        crate::rig::Loader::Strap { .. } => 0.0,
                    };
                    circles.push((applied.at, radius.min(BAR_OF_DEPTH * depth)));
                }
                _ => {}
            }
        }
        for (carrier, disc, _) in [&system.nose_disc, &system.hinge_disc] {
            // A disc is moved as a mean: the stress inside it and around its edge is not that of a pin in a hole.
            if *carrier == side && response.hold.holds() {
                circles.push((disc.circle().centre, 2.0 * disc.circle().radius));
            }
        }
        Self { circles }
    }

    /// Leaves out notch and hinge hole as well.
    #[must_use]
    pub fn with_joints(mut self, joints: &Joints) -> Self {
        self.circles.extend(joints.circles.iter().map(|(centre, radius, _)| (*centre, *radius)));
        self
    }

    /// True where stress is a result.
    #[must_use]
    pub fn trusts(&self, p: Point) -> bool {
        self.circles.iter().all(|(c, r)| square(p, *c) > r * r)
    }
}

/// Notch and hinge hole of one body, to a pin's radius from their edges: their yield is a matter of its own.
#[derive(Clone, Debug, Default)]
pub struct Joints {
    circles: Vec<(Point, f64, Joint)>,
}

impl Joints {
    /// Those of one body: the notch belongs to the body that does not carry the nose pin, the hinge hole to the frame.
    #[must_use]
    pub fn new(system: &System, side: Side) -> Self {
        let seats = &system.outline.seats;
        let notch = &seats.notch;
        let mut circles = Vec::new();
        if system.nose_disc.0 != side {
            // A gate that has the notch is a wall around it: that wall is of the notch on both its faces.
            let wall = if side == Side::Gate { 0.5 * system.connector.gate.width_mm } else { 0.0 };
            // The slot from its round end to the mouth.
            for part in [0.0, 0.5, 1.0] {
                let along = part * notch.inside_mouth_mm;
                let centre = [0, 1].map(|axis| notch.end.centre[axis] + along * notch.to_mouth[axis]);
                circles.push((centre, notch.end.radius.max(wall) + seats.nose_pin.radius, Joint::Nose));
            }
        }
        if side == Side::Frame {
            let reach = seats.hinge_hole.radius + seats.hinge_pin.radius;
            circles.push((seats.hinge_hole.centre, reach, Joint::Hinge));
        }
        Self { circles }
    }

    /// The joint in whose reach a place is.
    #[must_use]
    pub fn at(&self, p: Point) -> Option<Joint> {
        self.circles.iter().find(|(c, r, _)| square(p, *c) <= r * r).map(|(_, _, joint)| *joint)
    }
}

fn square(p: Point, q: Point) -> f64 {
    (p[0] - q[0]).powi(2) + (p[1] - q[1]).powi(2)
}

/// A pin's radius around every node of an active contact. A node with little of the force reaches only as much further than
/// the nearest one with more as its share allows, so that the reach of the contact grows with the force, not by nodes.
fn contact(
    system: &System,
    response: &Response,
    (joint, side): (Joint, Side),
    least: f64,
) -> Vec<(Point, f64)> {
    let mut nodes: Vec<(Point, f64)> = Vec::new();
    for applied in &response.applied {
        let (Source::Row(index) | Source::Stick(index)) = applied.source else { continue };
        let row = system.rows[index];
        let force = applied.on_frame[0].hypot(applied.on_frame[1]);
        if row.joint == joint && row.surface == side && force >= least {
            nodes.push((row.at, force));
        }
    }
    let radius = system.disc(joint).1.circle().radius;
    let whole: f64 = nodes.iter().map(|n| n.1).sum();
    let reach = |&(at, force): &(Point, f64)| {
        let more =
            nodes.iter().filter(|n| n.1 > force).map(|n| square(n.0, at)).fold(f64::INFINITY, f64::min);
        let share = (force / (FULL_SHARE * whole)).min(1.0);
        if share < 1.0 && more.is_finite() { radius - (1.0 - share) * more.sqrt() } else { radius }
    };
    nodes.iter().map(|node| (node.0, reach(node))).filter(|c| c.1 > 0.0).collect()
}

/// The two ends of the width that a strap presses on.
fn strap_ends(system: &System, response: &Response, upper: bool, least: f64) -> Vec<(Point, f64)> {
    let pressed = response.applied.iter().filter(|a| {
        matches!(a.source, Source::Fibre(u) if u == upper) && a.on_frame[0].hypot(a.on_frame[1]) >= least
    });
    let (low, high) = pressed
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), a| (low.min(a.at[0]), high.max(a.at[0])));
    if low > high {
        return Vec::new();
    }
    let seat = if upper { &system.upper } else { &system.lower };
    let depth = if upper { system.connector.upper } else { system.connector.lower }.depth_mm;
    let [ax, ay] = response.axis.direction;
    [low, high]
        .iter()
        .map(|x| {
            let (edge, s) = seat.at_x(*x);
            let edge = &seat.edges[edge];
            let [tx, ty] = edge.tangent(s);
            let slope = ((tx * ax + ty * ay) / (tx.hypot(ty) * ax.hypot(ay))).abs();
            (edge.point(s), STRAP_OF_DEPTH * depth * (slope / STEEP).min(1.0))
        })
        .collect()
}

fn sharp_corners(mesh: &Mesh) -> Vec<(Point, f64)> {
    let point = |n: u32| mesh.points[n as usize];
    let limit = CORNER_TURN_DEG.to_radians().sin();
    let mut corners = Vec::new();
    for pair in mesh.boundary.windows(2) {
        let (before, after) = (pair[0], pair[1]);
        if before.nodes[1] != after.nodes[0] || before.stretch == after.stretch {
            continue;
        }
        let [a, b, c] = [point(before.nodes[2]), point(before.nodes[1]), point(after.nodes[2])];
        let [ux, uy] = [b[0] - a[0], b[1] - a[1]];
        let [vx, vy] = [c[0] - b[0], c[1] - b[1]];
        let sine = (ux * vy - uy * vx) / (ux.hypot(uy) * vx.hypot(vy));
        // Material on the left: a right turn is re-entrant.
        if sine < -limit {
            corners.push((b, CORNER_MM));
        }
    }
    corners
}

/// Von Mises stress of nodal stresses, MPa.
#[must_use]
pub fn nodal_von_mises(stress: &[[f64; 3]]) -> Vec<f64> {
    stress.iter().map(|s| von_mises(*s)).collect()
}

/// Highest trusted von Mises stress of one body, MPa, and where it is: at a node, or on the limit of what is trusted.
#[must_use]
pub fn trusted_peak(mesh: &Mesh, values: &[f64], untrusted: &Untrusted) -> Option<(Point, f64)> {
    let mut best: Option<(Point, f64)> = None;
    for (at, value) in mesh.points.iter().zip(values) {
        if best.is_none_or(|b| *value > b.1) && untrusted.trusts(*at) {
            best = Some((*at, *value));
        }
    }
    let mut highest = best?;
    for triangle in &mesh.triangles {
        if triangle.iter().all(|n| values[*n as usize] <= highest.1) {
            continue;
        }
        for [a, b] in summits::half_sides(triangle) {
            let [p, q] = [a, b].map(|n| untrusted.trusts(mesh.points[n as usize]));
            if p != q {
                let on_the_limit =
                    summits::on_the_limit(mesh, values, untrusted, if p { [a, b] } else { [b, a] });
                if on_the_limit.1 > highest.1 {
                    highest = on_the_limit;
                }
            }
        }
    }
    Some(highest)
}

/// Highest trusted von Mises stress of one body away from notch and hinge hole, MPa, and where it is; nothing of a gate that
/// takes no part.
fn away_from_joints(
    system: &System,
    response: &Response,
    side: Side,
    stress: &[[f64; 3]],
) -> Option<(Point, f64)> {
    if side == Side::Gate && !response.hold.holds() {
        return None;
    }
    let untrusted = Untrusted::new(system, response, side).with_joints(&Joints::new(system, side));
    trusted_peak(system.part(side).body.mesh(), &nodal_von_mises(stress), &untrusted)
}

/// The highest trusted stress away from notch and hinge hole, MPa, in frame and gate.
#[must_use]
pub fn hottest_mpa(system: &System, response: &Response) -> Option<f64> {
    let frame = system.frame.recovery().nodal_stress(&system.frame.body, &response.frame_u);
    let gate = system.gate.recovery().nodal_stress(&system.gate.body, &response.gate_u);
    let of = |side, stress: &[[f64; 3]]| Some(away_from_joints(system, response, side, stress)?.1);
    [of(Side::Frame, &frame), of(Side::Gate, &gate)].into_iter().flatten().max_by(f64::total_cmp)
}

fn place(system: &System, side: Side, p: Point) -> Location {
    match side {
        Side::Frame => Location::Frame(system.outline.frame_location(p)),
        Side::Gate => Location::Gate(system.outline.gate_location(p)),
    }
}

/// Local maxima of the von Mises stress over both bodies, hottest first, and the highest away from notch and hinge hole.
#[must_use]
pub fn peaks(
    system: &System,
    response: &Response,
    frame_stress: &[[f64; 3]],
    gate_stress: &[[f64; 3]],
) -> Vec<Peak> {
    let mut all = peaks_of(system, response, Side::Frame, frame_stress);
    all.extend(peaks_of(system, response, Side::Gate, gate_stress));
    // The slope of a notch may be the highest where the notch's reach ends: no local maximum, and what first yield goes by.
    for (side, stress) in [(Side::Frame, frame_stress), (Side::Gate, gate_stress)] {
        let away = away_from_joints(system, response, side, stress);
        let known = |mpa: f64| all.iter().any(|p| p.is_away() && p.von_mises_mpa >= mpa * (1.0 - SAME));
        if let Some((at, von_mises_mpa)) = away.filter(|(_, mpa)| !known(*mpa)) {
            all.push(Peak {
                place: place(system, side, at),
                von_mises_mpa,
                x_mm: at[0],
                y_mm: at[1],
                trusted: true,
                joint: None,
            });
        }
    }
    all.sort_by(|a, b| b.von_mises_mpa.total_cmp(&a.von_mises_mpa));
    let mut room = MOST - TRUSTED;
    let mut trusted = TRUSTED;
    let mut hottest = true;
    all.retain(|p| {
        // The highest away from the joints stays, however many are higher in a notch.
        if p.is_away() && std::mem::take(&mut hottest) {
            trusted = trusted.saturating_sub(1);
            return true;
        }
        let left = if p.trusted { &mut trusted } else { &mut room };
        let keep = *left > 0;
        *left = left.saturating_sub(1);
        keep
    });
    all
}

/// Local maxima of one body, hottest first; none of a gate that takes no part.
#[must_use]
pub fn peaks_of(system: &System, response: &Response, side: Side, stress: &[[f64; 3]]) -> Vec<Peak> {
    if side == Side::Gate && !response.hold.holds() {
        return Vec::new();
    }
    let mesh = system.part(side).body.mesh();
    let untrusted = Untrusted::new(system, response, side);
    let values = nodal_von_mises(stress);
    let joints = Joints::new(system, side);
    let mut local: Vec<Peak> = summits::summits(mesh, &values, &untrusted)
        .into_iter()
        .map(|summit| Peak {
            place: place(system, side, summit.at),
            von_mises_mpa: summit.value,
            x_mm: summit.at[0],
            y_mm: summit.at[1],
            trusted: summit.trusted,
            joint: joints.at(summit.at),
        })
        .collect();
    local.sort_by(|a, b| b.von_mises_mpa.total_cmp(&a.von_mises_mpa));
    let mut kept: Vec<Peak> = Vec::new();
    for peak in local {
        let near = |k: &Peak| {
            k.trusted == peak.trusted
                && k.joint == peak.joint
                && (k.place == peak.place || (k.x_mm - peak.x_mm).hypot(k.y_mm - peak.y_mm) < APART_MM)
        };
        if !kept.iter().any(near) {
            kept.push(peak);
        }
    }
    kept
}
