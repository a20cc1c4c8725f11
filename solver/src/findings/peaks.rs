//! The hottest points, and which of them can be trusted.
//!
//! Trust is decided by geometry: beside an active contact, beside an unfilleted re-entrant corner and wherever a load is
//! singular, the plane model's stress grows with refinement or is that of a rigid pin, and is not a result.

use super::Peak;
use crate::plane::stress::von_mises;
use crate::response::{Response, Source};
use crate::system::{Side, System};
use geometry::curve::Point;
use geometry::mesh::Mesh;

/// Distance from an unfilleted re-entrant corner within which nothing is trusted, mm.
const CORNER_MM: f64 = 1.0;
/// Boundary turns sharper than this into the material count as unfilleted corners, degrees.
const CORNER_TURN_DEG: f64 = 12.0;
/// A bench bar's contact is not trusted within this part of the bar's depth (or the bar's radius, if that is less).
const BAR_OF_DEPTH: f64 = 0.35;
/// Contacts carrying less than this part of the load do not count as active.
const ACTIVE: f64 = 1e-6;
/// Peaks closer together than this are one, mm; so are those that the same words name.
const APART_MM: f64 = 4.0;
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
        for applied in &response.applied {
            let force = applied.on_frame[0].hypot(applied.on_frame[1]);
            if force < least {
                continue;
            }
            match applied.source {
                Source::Row(index) | Source::Stick(index) => {
                    let row = system.rows[index];
                    let radius = system.disc(row.joint).1.circle().radius;
                    if row.surface == side {
                        circles.push((row.at, radius));
                    }
                }
                Source::Bar(upper) | Source::BarGrip(upper) if side == Side::Frame => {
                    let depth = if upper { system.connector.upper } else { system.connector.lower }.depth_mm;
                    let loader = if upper { response.rig.upper } else { response.rig.lower };
                    let radius = match loader {
                        crate::rig::Loader::Pin { diameter_mm, .. } => 0.5 * diameter_mm,
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

    /// Leaves out notch and hinge hole as well, to a pin's radius from their edges: their yield is a matter of its own.
    #[must_use]
    pub fn with_joints(mut self, system: &System) -> Self {
        let seats = &system.outline.seats;
        let notch = &seats.notch;
        self.circles.push((seats.hinge_hole.centre, seats.hinge_hole.radius + seats.hinge_pin.radius));
        if system.nose_disc.0 == Side::Gate {
            // The slot from its round end to the mouth.
            for part in [0.0, 0.5, 1.0] {
                let along = part * notch.inside_mouth_mm;
                let centre = [0, 1].map(|axis| notch.end.centre[axis] + along * notch.to_mouth[axis]);
                self.circles.push((centre, notch.end.radius + seats.nose_pin.radius));
            }
        }
        self
    }

    /// True where stress is a result.
    #[must_use]
    pub fn trusts(&self, p: Point) -> bool {
        self.circles.iter().all(|(c, r)| (p[0] - c[0]).hypot(p[1] - c[1]) > *r)
    }
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

/// Highest trusted von Mises stress of one body: node and MPa.
#[must_use]
pub fn trusted_peak(mesh: &Mesh, values: &[f64], untrusted: &Untrusted) -> Option<(usize, f64)> {
    let mut best: Option<(usize, f64)> = None;
    for (node, value) in values.iter().enumerate() {
        if best.is_none_or(|b| *value > b.1) && untrusted.trusts(mesh.points[node]) {
            best = Some((node, *value));
        }
    }
    best
}

/// Local maxima of the von Mises stress over both bodies, hottest first.
#[must_use]
pub fn peaks(
    system: &System,
    response: &Response,
    frame_stress: &[[f64; 3]],
    gate_stress: &[[f64; 3]],
) -> Vec<Peak> {
    let mut all = peaks_of(system, response, Side::Frame, frame_stress);
    all.extend(peaks_of(system, response, Side::Gate, gate_stress));
    all.sort_by(|a, b| b.von_mises_mpa.total_cmp(&a.von_mises_mpa));
    let mut room = MOST - TRUSTED;
    let mut trusted = TRUSTED;
    all.retain(|p| {
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
    let mut highest_around = values.clone();
    for triangle in &mesh.triangles {
        let top = triangle.iter().map(|n| values[*n as usize]).fold(0.0, f64::max);
        for n in triangle {
            let around = &mut highest_around[*n as usize];
            *around = around.max(top);
        }
    }
    let mut local: Vec<Peak> = Vec::new();
    for (node, value) in values.iter().enumerate() {
        if *value < highest_around[node] {
            continue;
        }
        let [x_mm, y_mm] = mesh.points[node];
        let place = match side {
            Side::Frame => system.outline.frame_place([x_mm, y_mm]),
            Side::Gate => system.outline.gate_place([x_mm, y_mm]),
        };
        let trusted = untrusted.trusts([x_mm, y_mm]);
        local.push(Peak { place, von_mises_mpa: *value, x_mm, y_mm, trusted });
    }
    local.sort_by(|a, b| b.von_mises_mpa.total_cmp(&a.von_mises_mpa));
    let mut kept: Vec<Peak> = Vec::new();
    for peak in local {
        let near = |k: &Peak| {
            k.trusted == peak.trusted
                && (k.place == peak.place || (k.x_mm - peak.x_mm).hypot(k.y_mm - peak.y_mm) < APART_MM)
        };
        if !kept.iter().any(near) {
            kept.push(peak);
        }
    }
    kept
}
