//! Cuts through the frame, and the axial force and moment that load and gate make in each by statics alone.
//!
//! With the gate's force as the one redundant, every cut's forces are a part that goes with the load and a part that goes
//! with the gate's pull: no stiffness enters. A strap's pull is taken as even over its width about its load centre; only with
//! a gate that carries nothing, where that is far off, is it as the elastic solution has it.
//!
//! The cuts run from the root of the hinge ear to the back flank of the notch (or to the root of the head). What lies
//! beyond, lip, nose root and ear, belongs to the gate line.

use crate::response::{PullAxis, RigError};
use crate::rig::{Loader, Rig};
use crate::system::System;
use geometry::connector::LipOn;
use geometry::curve::Point;
use geometry::outline::Station;

use super::section_limit::SectionLimit;

/// Cuts lie no farther apart than this along the centre line, mm.
const APART_MM: f64 = 2.0;
/// The middle of a cut lies no farther than this along the centre line from where the cut was wanted, mm: half of the
/// distance between two cuts. The centroid of a lopsided section in a blend is the most that a true cut needs.
const ASTRAY_MM: f64 = 0.5 * APART_MM;
/// Lines of pull that stand for a strap.
const LINES: usize = 41;

/// A straight cut through the frame.
#[derive(Clone, Debug)]
pub struct Cut {
    /// Inner end.
    pub inner: Point,
    /// Outer end.
    pub outer: Point,
    /// Centroid of the real section.
    pub centroid: Point,
    /// Unit vector square to the cut, from hinge toward nose.
    pub along: Point,
    /// Length along the centre line from the hinge, mm.
    pub length_mm: f64,
    /// What the section bears.
    pub limit: SectionLimit,
}

impl Cut {
    /// A cut between two points with the frame's breadth along it.
    #[must_use]
    pub fn new(system: &System, inner: Point, outer: Point, along: Point) -> Self {
        let [dx, dy] = [outer[0] - inner[0], outer[1] - inner[1]];
        let depth = dx.hypot(dy);
        let at = |s: f64| [inner[0] + s / depth * dx, inner[1] + s / depth * dy];
        let limit = SectionLimit::new(depth, &|s| system.breadth.at(at(s)));
        let centroid = at(limit.centroid_mm());
        let length_mm = centre_length(system, centroid);
        Self { inner, outer, centroid, along, length_mm, limit }
    }

    /// A named station as a cut.
    #[must_use]
    pub fn at_station(system: &System, station: &Station) -> Self {
        Self::new(system, station.inner, station.outer, station.along)
    }

    /// Axial force and moment about the centroid, from a force on the part beyond the cut: per N, in N and N mm; tension
    /// and stretching of the inner side positive.
    #[must_use]
    pub fn resolve(&self, at: Point, force: Point) -> [f64; 2] {
        let arm = [at[0] - self.centroid[0], at[1] - self.centroid[1]];
        [force[0] * self.along[0] + force[1] * self.along[1], arm[0] * force[1] - arm[1] * force[0]]
    }

    /// True when a point of the frame, `length_mm` along the centre line, lies beyond the cut.
    fn has_beyond(&self, p: Point, length_mm: f64) -> bool {
        let ahead = length_mm - self.length_mm;
        if ahead.abs() > self.limit.depth_mm() {
            return ahead > 0.0;
        }
        (p[0] - self.centroid[0]) * self.along[0] + (p[1] - self.centroid[1]) * self.along[1] > 0.0
    }
}

fn centre_length(system: &System, p: Point) -> f64 {
    let strip = &system.outline.strip;
    let place = strip.place(p);
    strip.centre_length(place.segment, place.t)
}

/// Cuts along the frame, hinge to nose, at most 2 mm apart, with the named stations of spine and bars among them.
#[must_use]
pub fn frame_cuts(system: &System) -> Vec<Cut> {
    let outline = &system.outline;
    let strip = &outline.strip;
    let [spine_mid, upper_mid, lower_mid, nose_root, hinge_root] = &outline.frame_stations;
    let first = centre_length(system, hinge_root.centroid);
    let nose_end = centre_length(system, nose_root.centroid);
    let notch = &outline.seats.notch;
    // Cuts that would run into the notch end at its back flank.
    let clear_of_notch = |inner: Point, length: f64| {
        let [x, y] = [inner[0] - notch.end.centre[0], inner[1] - notch.end.centre[1]];
        outline.lip_on == LipOn::Gate
            || nose_end - length > 3.0 * notch.end.radius + outline.seats.nose_pin.radius
            || x * notch.from_lip[0] + y * notch.from_lip[1] > notch.end.radius
    };
    let mut cuts: Vec<Cut> = [hinge_root, lower_mid, spine_mid, upper_mid]
        .into_iter()
        .map(|station| Cut::at_station(system, station))
        .collect();
    for segment in (0..strip.path.len()).filter(|s| strip.has_length(*s)) {
        let (start, end) = (strip.centre_length(segment, 0.0), strip.centre_length(segment, 1.0));
        let pieces = ((end - start) / APART_MM).ceil().max(1.0);
        let mut i = 0.0;
        // Both ends of every straight and corner are cut: that is where moments turn.
        while i <= pieces && end > start {
            let t = i / pieces;
            i += 1.0;
            let length = start + t * (end - start);
            let (inner, outer) = (strip.inner(segment, t), strip.outer(segment, t));
            if length <= first || length >= nose_end || !clear_of_notch(inner, length) {
                continue;
            }
            let (_, normal) = strip.edge_frame(segment, t);
            let cut = Cut::new(system, inner, outer, [normal[1], -normal[0]]);
            // A cut whose middle lies elsewhere along the bar leaves the bar: no section of it.
            if (cut.length_mm - length).abs() < ASTRAY_MM {
                cuts.push(cut);
            }
        }
    }
    cuts.sort_by(|a, b| a.length_mm.total_cmp(&b.length_mm));
    cuts
}

/// A line of pull: a point on it, where it meets the frame, and its force per N of load.
struct PullLine {
    at: Point,
    on_frame: Point,
    per_n: Point,
}

/// Lines of pull of one end, a strap's pull even over its width.
fn lines_of(system: &System, rig: &Rig, axis: &PullAxis, upper: bool) -> Vec<PullLine> {
    let (seat, loader, centre, sign) = if upper {
        (&system.upper, rig.upper, axis.upper, 1.0)
    } else {
        (&system.lower, rig.lower, axis.lower, -1.0)
    };
    let [ax, ay] = axis.direction;
    match loader {
        Loader::Strap { width_mm, .. } => {
            let each = sign / LINES as f64;
            (0..LINES)
                .map(|i| {
                    let v = width_mm * ((i as f64 + 0.5) / LINES as f64 - 0.5);
                    let at = [centre[0] + v * ay, centre[1] - v * ax];
                    let (edge, s) = seat.at_x(at[0]);
                    PullLine { at, on_frame: seat.edges[edge].point(s), per_n: [each * ax, each * ay] }
                })
                .collect()
        }
        Loader::Pin { diameter_mm, .. } => {
            let out = 0.5 * sign * diameter_mm;
            let on_frame = [centre[0] + out * ax, centre[1] + out * ay];
            vec![PullLine { at: centre, on_frame, per_n: [sign * ax, sign * ay] }]
        }
    }
}

fn parts_of(system: &System, cuts: &[Cut], lines: &[PullLine]) -> Vec<[f64; 2]> {
    let mut parts = vec![[0.0; 2]; cuts.len()];
    for line in lines {
        let length = centre_length(system, line.on_frame);
        for (cut, part) in cuts.iter().zip(&mut parts) {
            if cut.has_beyond(line.on_frame, length) {
                let [n, m] = cut.resolve(line.at, line.per_n);
                *part = [part[0] + n, part[1] + m];
            }
        }
    }
    parts
}

/// Axial force and moment in every cut per N of load, without the gate; a strap's pull even over its width.
#[must_use]
pub fn load_parts(system: &System, rig: &Rig, cuts: &[Cut]) -> Vec<[f64; 2]> {
    let axis = system.pull_axis(rig.upper, rig.lower);
    let lines: Vec<PullLine> =
        [true, false].into_iter().flat_map(|upper| lines_of(system, rig, &axis, upper)).collect();
    parts_of(system, cuts, &lines)
}

/// The same for a gate that carries nothing, straps pulling as the elastic solution of the open hook has it: where grips do
/// not rotate, a wide strap's resultant moves toward the spine.
///
/// # Errors
/// [`RigError`]: a rig that does not fit, or that no forces balance.
pub fn open_load_parts(system: &System, rig: &Rig, cuts: &[Cut]) -> Result<Vec<[f64; 2]>, RigError> {
    let axis = system.pull_axis(rig.upper, rig.lower);
    let elastic = system.open_load_lines(rig)?;
    let mut lines = Vec::new();
    for upper in [true, false] {
        let loader = if upper { rig.upper } else { rig.lower };
        match loader {
            Loader::Strap { .. } => {
                lines.extend(elastic.iter().filter(|l| l.upper == upper).map(|l| PullLine {
                    at: l.at,
                    on_frame: l.at,
                    per_n: l.per_n,
                }))
            }
            Loader::Pin { .. } => lines.extend(lines_of(system, rig, &axis, upper)),
        }
    }
    Ok(parts_of(system, cuts, &lines))
}

/// Unit vector along the line of the pins, from nose to hinge: the gate's pull on the nose.
#[must_use]
pub fn gate_pull(system: &System) -> Point {
    let seats = &system.outline.seats;
    let (from, to) = (seats.nose_pin.centre, seats.hinge_pin.centre);
    let length = (to[0] - from[0]).hypot(to[1] - from[1]);
    [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
}

/// Axial force and moment in every cut per N of the gate's pull on the nose along the line of its pins.
#[must_use]
pub fn gate_parts(system: &System, cuts: &[Cut]) -> Vec<[f64; 2]> {
    let pull = gate_pull(system);
    cuts.iter().map(|cut| cut.resolve(system.outline.seats.nose_pin.centre, pull)).collect()
}
