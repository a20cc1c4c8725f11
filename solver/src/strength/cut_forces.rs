//! The axial force and moment that load and gate make in each cut through the frame, by statics alone.
//!
//! With the gate's force as the one redundant, every cut's forces are a part that goes with the load and a part that goes
//! with the gate's pull: no stiffness enters. A strap's pull is taken as even over its width about its load centre; only with
//! a gate that carries nothing, where that is far off, is it as the elastic solution has it.

use crate::response::{LoadLine, Pull, PullAxis, RigError};
use crate::rig::{Loader, Rig};
use crate::sections::{Cut, centre_length, cuts_beside};
use crate::system::System;
use geometry::curve::Point;
use std::borrow::Cow;

/// Lines of pull that stand for a strap.
const LINES: usize = 41;

/// Distance to either side of a bar's touch at which the frame is cut too, mm: where moments turn.
const BESIDE_MM: f64 = 1e-3;

/// The cuts of a system under a rig: its own, and two about the touch of each bar.
#[must_use]
pub fn cuts_under<'a>(system: &'a System, rig: &Rig) -> Cow<'a, [Cut]> {
    let own = system.cuts();
    let (Some(first), Some(last)) = (own.first(), own.last()) else { return Cow::Borrowed(own) };
    let axis = system.pull_axis(rig.upper, rig.lower);
    let bars =
        [(rig.upper, true), (rig.lower, false)].into_iter().filter(|(l, _)| matches!(l, Loader::Bar { .. }));
    let beside: Vec<Cut> = bars
        .flat_map(|(_, upper)| lines_of(system, rig, &axis, upper))
        .flat_map(|line| cuts_beside(&system.outline.strip, &system.breadth, line.on_frame, BESIDE_MM))
        .filter(|cut| cut.length_mm > first.length_mm && cut.length_mm < last.length_mm)
        .collect();
    if beside.is_empty() {
        return Cow::Borrowed(own);
    }
    let mut all = [own, &beside].concat();
    all.sort_by(|a, b| a.length_mm.total_cmp(&b.length_mm));
    Cow::Owned(all)
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
        Loader::Bar { diameter_mm, .. } => {
            let out = 0.5 * sign * diameter_mm;
            let on_frame = [centre[0] + out * ax, centre[1] + out * ay];
            vec![PullLine { at: centre, on_frame, per_n: [sign * ax, sign * ay] }]
        }
    }
}

fn parts_of(system: &System, cuts: &[Cut], lines: &[PullLine]) -> Vec<[f64; 2]> {
    let mut parts = vec![[0.0; 2]; cuts.len()];
    for line in lines {
        let length = centre_length(&system.outline.strip, line.on_frame);
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
    Ok(along_lines(system, rig, cuts, &system.open_load_lines(rig)?))
}

/// The same of a pull on its rig.
///
/// # Errors
/// [`RigError`]: no forces balance.
pub fn open_load_parts_of(pull: &mut Pull<'_>, rig: &Rig, cuts: &[Cut]) -> Result<Vec<[f64; 2]>, RigError> {
    let bars = [rig.upper, rig.lower].iter().all(|end| matches!(end, Loader::Bar { .. }));
    // A bar pulls at its touch, whatever is elastic.
    let straps = if bars { Vec::new() } else { pull.open_load_lines()? };
    Ok(along_lines(pull.system(), rig, cuts, &straps))
}

/// Axial force and moment in every cut per N of load, straps pulling along their lines.
fn along_lines(system: &System, rig: &Rig, cuts: &[Cut], straps: &[LoadLine]) -> Vec<[f64; 2]> {
    let axis = system.pull_axis(rig.upper, rig.lower);
    let mut lines = Vec::new();
    for upper in [true, false] {
        let loader = if upper { rig.upper } else { rig.lower };
        match loader {
            Loader::Strap { .. } => {
                lines.extend(straps.iter().filter(|l| l.upper == upper).map(|l| PullLine {
                    at: l.at,
                    on_frame: l.at,
                    per_n: l.per_n,
                }))
            }
            Loader::Bar { .. } => lines.extend(lines_of(system, rig, &axis, upper)),
        }
    }
    parts_of(system, cuts, &lines)
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
