//! What would have given way before a load: a linear solution goes on for ever, the metal does not.
//!
//! Told from one response, without the load path: the force in the gate line against what its parts hold, and the load
//! against what the frame holds, and whether the pin has ridden out of its notch by then.

use super::capacity::{Capacity, LimitKind};
use super::cut_forces::{cuts_under, gate_parts, load_parts, open_load_parts};
use super::frame_limit::FrameStatics;
use super::gate_line::{Lip, gate_line_force_n, gate_line_with};
use super::load_path::Sample;
use super::riding_out::has_ridden_out;
use super::strap::strap_limits;
use super::strengths::Strengths;
use crate::findings::{Beyond, GateLineThen, Gone, pin_forces};
use crate::response::{Hold, Response};
use crate::system::System;

/// A load may pass a limit by this part of it before that is told: a limit is found to 0.1 %.
const PAST: f64 = 1.002;

/// What the gate line of a response holds, weakest part first; nothing where the gate is not held.
#[must_use]
pub fn held_gate_line(system: &System, strengths: &Strengths, response: &Response) -> Vec<Capacity> {
    held_gate_line_with(system, strengths, response, Lip::Computed { friction: response.rig.friction })
}

fn held_gate_line_with(
    system: &System,
    strengths: &Strengths,
    response: &Response,
    lip: Lip,
) -> Vec<Capacity> {
    if response.hold.holds() { gate_line_with(system, strengths, lip) } else { Vec::new() }
}

/// True where nothing can have given way before the load, told without solving the lip; false where that is not plain.
/// `hottest_mpa`: the highest trusted stress away from the joints: a frame that nowhere yields does not open.
///
/// ```
/// # use geometry::connector::{Connector, GatePlace};
/// # use solver::material::Materials;
/// # use solver::system::{System, SystemSettings};
/// # let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
/// # let system = System::try_new(&Connector::example(), GatePlace::Shut, &Materials::example(), &coarse).unwrap();
/// use solver::rig::Rig;
/// use solver::strength::{Strengths, surely_holds};
///
/// let strengths = Strengths::new(&system.connector, &Materials::example());
/// let at = |load_kn: f64| system.respond(&Rig { load_kn, ..Rig::example() }).unwrap();
/// assert!(surely_holds(&system, &strengths, &at(5.0), None));
/// assert!(!surely_holds(&system, &strengths, &at(50.0), None));
/// ```
#[must_use]
pub fn surely_holds(
    system: &System,
    strengths: &Strengths,
    response: &Response,
    hottest_mpa: Option<f64>,
) -> bool {
    let parts = held_gate_line_with(system, strengths, response, Lip::ByHand);
    let [nose, _] = pin_forces(system, response);
    if response.hold.holds() && nose[0].hypot(nose[1]) > gate_line_force_n(&parts) {
        return false;
    }
    let elastic = hottest_mpa.is_some_and(|mpa| mpa <= strengths.materials.frame.yield_mpa);
    if !elastic {
        return beyond_with(system, strengths, response, &parts).is_empty();
    }
    let rides_out = response.hold.holds()
        && has_ridden_out(system, response.rig.friction, &Sample::new(system, response));
    !rides_out && strap_limits(&response.rig).iter().all(|(_, kn, _)| response.rig.load_kn <= *kn)
}

/// What a response is beyond, the first to go first; nothing where everything still holds. Beside a gate line that goes before
/// it the frame is the open hook.
///
/// ```
/// # use geometry::connector::{Connector, GatePlace};
/// # use solver::material::Materials;
/// # use solver::system::{System, SystemSettings};
/// # let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
/// # let system = System::try_new(&Connector::example(), GatePlace::Shut, &Materials::example(), &coarse).unwrap();
/// use solver::rig::Rig;
/// use solver::strength::{Strengths, beyond};
///
/// let strengths = Strengths::new(&system.connector, &Materials::example());
/// let at = |load_kn: f64| system.respond(&Rig { load_kn, ..Rig::example() }).unwrap();
/// assert!(beyond(&system, &strengths, &at(5.0)).is_empty());
/// assert!(!beyond(&system, &strengths, &at(50.0)).is_empty());
/// ```
#[must_use]
pub fn beyond(system: &System, strengths: &Strengths, response: &Response) -> Vec<Beyond> {
    beyond_with(system, strengths, response, &held_gate_line(system, strengths, response))
}

/// The same of a gate line of these parts, weakest first.
fn beyond_with(
    system: &System,
    strengths: &Strengths,
    response: &Response,
    parts: &[Capacity],
) -> Vec<Beyond> {
    let load_kn = response.rig.load_kn;
    let gone = |at_kn: f64, gone: Gone| Beyond { load_kn, at_kn, gone };
    let mut all: Vec<Beyond> = Vec::new();
    let (mut capacity_n, mut gate_goes_kn) = (0.0, f64::INFINITY);
    if response.hold.holds() {
        capacity_n = gate_line_force_n(parts);
        let [nose, _] = pin_forces(system, response);
        let force_n = nose[0].hypot(nose[1]);
        let weakest = parts.iter().find(|p| p.kind == LimitKind::Breaks);
        if let Some(weakest) = weakest.filter(|_| force_n > PAST * capacity_n) {
            // Its force grows with the load while nothing yields.
            gate_goes_kn = load_kn * capacity_n / force_n;
            let line = Gone::GateLine {
                pulled_kn: 1e-3 * force_n,
                weakest: weakest.what,
                holds_kn: 1e-3 * capacity_n,
            };
            all.push(gone(gate_goes_kn, line));
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
        all.push(gone(load_kn, Gone::RodeOut));
    }
    let mut gate_line = GateLineThen::Whole;
    if gate_goes_kn < opens_kn {
        let hook_kn = hook_kn();
        opens_kn = hook_kn.max(gate_goes_kn);
        gate_line = if hook_kn > gate_goes_kn { GateLineThen::GoneBefore } else { GateLineThen::GoesWithIt };
    }
    if load_kn > PAST * opens_kn {
        let pin_not_held = matches!(response.hold, Hold::NotHeld(_));
        all.push(gone(opens_kn, Gone::FrameOpened { pin_not_held, gate_line }));
    }
    let straps = strap_limits(&response.rig).into_iter().filter(|(_, strength_kn, _)| load_kn > *strength_kn);
    all.extend(straps.map(|(end, strength_kn, _)| gone(strength_kn, Gone::Strap(end))));
    all.sort_by(|a, b| a.at_kn.total_cmp(&b.at_kn));
    all
}
