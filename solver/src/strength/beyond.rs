//! What would have given way before a load: a linear solution goes on for ever, the metal does not.
//!
//! Told from one response, without the load path: the force in the gate line against what its parts bear, and the load
//! against what the frame bears, and whether the pin has ridden out of its notch by then.

use super::capacity::{Capacity, LimitKind};
use super::cut_forces::{cuts_under, gate_parts, load_parts, open_load_parts};
use super::frame_limit::FrameStatics;
use super::gate_line::{gate_line, gate_line_force_n};
use super::load_path::Sample;
use super::riding_out::has_ridden_out;
use super::strap::strap_limits;
use crate::findings::pin_forces;
use crate::response::Response;
use crate::sections::flow_mpa;
use crate::system::System;

/// A load may pass a limit by this part of it before that is told: a limit is found to 0.1 %.
const PAST: f64 = 1.002;

/// A load in kN to hundredths at most, without noughts at its end.
fn plain(load_kn: f64) -> String {
    let text = format!("{load_kn:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// What the gate line of a response bears, weakest part first; nothing where the gate is not held.
#[must_use]
pub fn held_gate_line(system: &System, response: &Response) -> Vec<Capacity> {
    if response.hold.holds() { gate_line(system, response.rig.friction) } else { Vec::new() }
}

/// What a response is beyond, in sentences, the first to go first; none where everything still holds.
#[must_use]
pub fn beyond(system: &System, response: &Response) -> Vec<String> {
    let parts = held_gate_line(system, response);
    let load_kn = response.rig.load_kn;
    let before = format!("Before {} kN", plain(load_kn));
    // Each with the load at which it goes, kN.
    let mut all: Vec<(f64, String)> = Vec::new();
    let mut capacity_n = 0.0;
    if response.hold.holds() {
        capacity_n = gate_line_force_n(&parts);
        let [nose, _] = pin_forces(system, response);
        let force_n = nose[0].hypot(nose[1]);
        let weakest = parts.iter().find(|p| p.kind == LimitKind::Breaks);
        if let Some(weakest) = weakest.filter(|_| force_n > PAST * capacity_n) {
            let words = format!(
                "{before} the gate line would have gone: its force here is {:.2} kN, and the {} bears {:.2} kN.",
                1e-3 * force_n,
                weakest.what.replace(", ", " "),
                1e-3 * capacity_n
            );
            // Its force grows with the load while nothing yields.
            all.push((load_kn * capacity_n / force_n, words));
        }
    }
    let cuts = &*cuts_under(system, &response.rig);
    // Where the open hook cannot be solved, a strap's pull is even over its width.
    let even = || load_parts(system, &response.rig, cuts);
    let load = || match response.hold.holds() {
        true => even(),
        false => open_load_parts(system, &response.rig, cuts).unwrap_or_else(|_| even()),
    };
    let statics = FrameStatics {
        sections: cuts.iter().map(|c| &c.limit).collect(),
        load: load(),
        gate: gate_parts(system, cuts),
    };
    let opens_kn = 1e-3 * statics.limit(capacity_n, flow_mpa(&system.materials.frame)).load_n;
    // Beyond the opening of the frame an elastic turn says nothing.
    let ridden = response.hold.holds()
        && load_kn <= opens_kn
        && has_ridden_out(system, response.rig.friction, &Sample::new(system, response));
    if ridden {
        // Somewhere below the load: behind what is known to go.
        all.push((load_kn, format!("{before} the pin would have ridden out of the notch.")));
    }
    if load_kn > PAST * opens_kn {
        let supposed = if all.is_empty() { "" } else { ", its gate line at its limit" };
        all.push((opens_kn, format!("{before} the frame would have opened, at {opens_kn:.1} kN{supposed}.")));
    }
    let slings = strap_limits(&response.rig).into_iter().filter(|(_, strength_kn, _)| load_kn > *strength_kn);
    all.extend(slings.map(|(what, strength_kn, _)| {
        (strength_kn, format!("{before} the {what} would have broken, at {} kN.", plain(strength_kn)))
    }));
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.into_iter().map(|(_, words)| words).collect()
}
