//! What would have given way before a load: a linear solution goes on for ever, the metal does not.
//!
//! Told from one response, without the load path: the force in the gate line against what its parts hold, and the load
//! against what the frame holds, and whether the pin has ridden out of its notch by then.

use super::capacity::{Capacity, LimitKind};
use super::cut_forces::{cuts_under, gate_parts, load_parts, open_load_parts};
use super::frame_limit::FrameStatics;
use super::gate_line::{gate_line, gate_line_force_n};
use super::load_path::Sample;
use super::riding_out::has_ridden_out;
use super::strap::strap_limits;
use super::strengths::Strengths;
use crate::findings::{Beyond, pin_forces};
use crate::load_words::kilonewtons;
use crate::response::{Hold, Response};
use crate::system::System;

/// A load may pass a limit by this part of it before that is told: a limit is found to 0.1 %.
const PAST: f64 = 1.002;

/// A load in kN to hundredths at most, without noughts at its end.
fn plain(load_kn: f64) -> String {
    let text = format!("{load_kn:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// What the gate line of a response holds, weakest part first; nothing where the gate is not held.
#[must_use]
pub fn held_gate_line(system: &System, strengths: &Strengths, response: &Response) -> Vec<Capacity> {
    if response.hold.holds() { gate_line(system, strengths, response.rig.friction) } else { Vec::new() }
}

/// What a response is beyond, the first to go first; nothing where everything still holds. Beside a gate line that goes before
/// it the frame is the open hook.
#[must_use]
pub fn beyond(system: &System, strengths: &Strengths, response: &Response) -> Vec<Beyond> {
    let parts = held_gate_line(system, strengths, response);
    let load_kn = response.rig.load_kn;
    let gone = |at_kn: f64, what: String, why: Option<String>| Beyond {
        at_kn,
        what: format!("Before {} kN {what}", plain(load_kn)),
        why,
        of_connector: true,
    };
    let mut all: Vec<Beyond> = Vec::new();
    let (mut capacity_n, mut gate_goes_kn) = (0.0, f64::INFINITY);
    if response.hold.holds() {
        capacity_n = gate_line_force_n(&parts);
        let [nose, _] = pin_forces(system, response);
        let force_n = nose[0].hypot(nose[1]);
        let weakest = parts.iter().find(|p| p.kind == LimitKind::Breaks);
        if let Some(weakest) = weakest.filter(|_| force_n > PAST * capacity_n) {
            // Its force grows with the load while nothing yields.
            gate_goes_kn = load_kn * capacity_n / force_n;
            let why = format!(
                "along the line through its pins it is pulled by {:.2} kN here, and the {} holds {:.2} kN",
                1e-3 * force_n,
                weakest.what.replace(", ", " "),
                1e-3 * capacity_n
            );
            all.push(gone(gate_goes_kn, "the gate line would have gone".to_owned(), Some(why)));
        }
    }
    let cuts = &*cuts_under(system, &response.rig);
    // Where the open hook cannot be solved, a strap's pull is even over its width.
    let even = || load_parts(system, &response.rig, cuts);
    let frame = |load: Vec<[f64; 2]>, gate_n: f64| {
        let sections = cuts.iter().map(|c| &c.limit).collect();
        let statics = FrameStatics { sections, load, gate: gate_parts(system, cuts) };
        1e-3 * statics.limit(gate_n, strengths.frame_flow_mpa()).load_n
    };
    let hook_kn = || frame(open_load_parts(system, &response.rig, cuts).unwrap_or_else(|_| even()), 0.0);
    let mut opens_kn = if response.hold.holds() { frame(even(), capacity_n) } else { hook_kn() };
    // Beyond the opening of the frame an elastic turn says nothing.
    let ridden = response.hold.holds()
        && load_kn <= opens_kn
        && has_ridden_out(system, response.rig.friction, &Sample::new(system, response));
    if ridden {
        // Somewhere below the load: behind what is known to go.
        all.push(gone(load_kn, "the pin would have ridden out of the notch".to_owned(), None));
    }
    let mut how = format!(", at {}", kilonewtons(opens_kn));
    if gate_goes_kn < opens_kn {
        let hook_kn = hook_kn();
        opens_kn = hook_kn.max(gate_goes_kn);
        how = match hook_kn > gate_goes_kn {
            true => format!(", at {}, its gate line gone", kilonewtons(hook_kn)),
            false => " with its gate line".to_owned(),
        };
    }
    if load_kn > PAST * opens_kn {
        let not_held = matches!(response.hold, Hold::NotHeld(_));
        let left = if not_held { "the pin would have left the notch and " } else { "" };
        let opened = if not_held { "the frame opened" } else { "the frame would have opened" };
        all.push(gone(opens_kn, format!("{left}{opened}{how}"), None));
    }
    let straps = strap_limits(&response.rig).into_iter().filter(|(_, strength_kn, _)| load_kn > *strength_kn);
    all.extend(straps.map(|(what, strength_kn, _)| {
        let broken = format!("the {what} would have broken, at {} kN", plain(strength_kn));
        Beyond { of_connector: false, ..gone(strength_kn, broken, None) }
    }));
    all.sort_by(|a, b| a.at_kn.total_cmp(&b.at_kn));
    all
}
