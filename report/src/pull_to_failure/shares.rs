//! What the gate's share does once the frame yields.

use crate::numbers::{kilonewtons, percent};
use study::pull_to_failure::Pulled;

/// A change of the gate's share that is told.
const TOLD: f64 = 0.01;

/// A gate with less than this part of its later share has not fully engaged.
const ENGAGED: f64 = 0.7;

/// By how much the gate's share changes beyond the frame's yield, and why; nothing where it does not, or nothing yields.
#[must_use]
pub fn shares(pulled: &Pulled<'_>) -> Option<String> {
    let shares = pulled.shares();
    let (yields, end) = (shares.yields?, shares.end);
    let change = end.gate - yields.gate;
    // A gate that only begins to carry at first yield gains its share by engaging, not by what yields.
    let engages = yields.gate < ENGAGED * end.gate.max(shares.low.gate);
    if change.abs() <= TOLD || engages || end.load_kn <= yields.load_kn {
        return None;
    }
    let (rises, from, to) =
        if change > 0.0 { ("rises", "spine", "gate") } else { ("falls", "gate", "spine") };
    // Of each kilonewton that the load rises beyond first yield.
    let more = end.load_kn - yields.load_kn;
    let (to_gate, to_spine) =
        ((end.gate_kn - yields.gate_kn) / more, (end.spine_kn - yields.spine_kn) / more);
    Some(format!(
        "Beyond first yield the gate's share {rises} from {} to {}: bars that yield pass load from the {from} to the {to}. Of the {} that the load \
         rises from there on, {} go over the gate and {} over the spine.",
        percent(yields.gate),
        percent(end.gate),
        kilonewtons(more),
        part(to_gate),
        part(to_spine)
    ))
}

/// A part in percent, which may lie outside 0 to 100.
fn part(part: f64) -> String {
    format!("{:.0} %", 100.0 * part)
}
