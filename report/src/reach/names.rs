//! Names of gates, loads, what pulls, and settings.

use crate::letters::capital;
use crate::numbers::{kilonewtons, typed};
use crate::seats::{name, offset};
use solver::rig::{GateState, Loader};
use study::reach::{Load, LoadIs, Pair, ReachOfGate, Tried};

/// The state of a gate: `gate half shut, engaged 3 mm`.
#[must_use]
pub fn gate(gate: &ReachOfGate) -> String {
    match gate.state {
        Some(GateState::Closed) => "gate closed".to_owned(),
        Some(GateState::Open) => "gate open".to_owned(),
        Some(GateState::Half { engaged_mm }) => format!("gate half shut, {} mm", typed(engaged_mm)),
        None => format!("gate {}", crate::keys::word(gate.word)),
    }
}

/// A load and where it comes from: `20 kN marked closed`.
#[must_use]
pub fn load(load: Load) -> String {
    let kn = typed(load.kn);
    match load.is {
        LoadIs::Asked => format!("{kn} kN"),
        LoadIs::MarkedClosed => format!("{kn} kN marked closed"),
        LoadIs::MarkedOpen => format!("{kn} kN marked open"),
    }
}

fn one(loader: Loader) -> String {
    match loader {
        Loader::Strap { width_mm, .. } => format!("{} mm strap", typed(width_mm)),
        Loader::Bar { diameter_mm, .. } => format!("{} mm bar", typed(diameter_mm)),
    }
}

/// What pulls: `12 mm straps`, or `12 mm strap over 10 mm bar`.
#[must_use]
pub fn pair([upper, lower]: Pair) -> String {
    let [above, below] = [upper, lower].map(one);
    if above == below { format!("{above}s") } else { format!("{above} over {below}") }
}

/// A setting without its gate: `12 mm straps, both at the spine (-6.6 mm above, -7.4 mm below)`.
#[must_use]
pub fn setting(tried: &Tried) -> String {
    let [above, below] = [0, 1].map(|end| offset(tried.offsets_mm()[end], tried.room_mm[end]));
    let at =
        if above == below { format!("at {above} mm") } else { format!("{above} mm above, {below} mm below") };
    let pair = pair([tried.rig.upper, tried.rig.lower]);
    match tried.name {
        Some(place) => format!("{pair} {} ({at})", name(place)),
        None => format!("{pair} {at}"),
    }
}

/// What a setting holds and what fails first there: `19.8 kN: nose lip, with 12 mm straps at +3.0 mm`.
pub(super) fn holds(tried: &Tried) -> String {
    match &tried.holds {
        Ok(holds) => format!(
            "{} with {} ({})",
            kilonewtons(holds.holds_kn),
            setting(tried),
            crate::failure_modes::name(holds.fails_first)
        ),
        Err(_) => setting(tried),
    }
}

/// The same as a label begins.
pub(super) fn gate_first(of: &ReachOfGate) -> String {
    capital(&gate(of))
}
