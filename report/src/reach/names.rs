//! Names of gates, loads, what pulls, and settings.

use crate::letters::capital;
use crate::numbers::{kilonewtons, typed};
use crate::seats::{name, offset};
use solver::rig::{GateState, Loader};
use study::reach::{Load, LoadIs, Pair, ReachOfGate, Tried};
use study::seats::PlaceName;

/// The state of a gate: `gate half shut, 3 mm`.
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

/// What pulls: `12 mm straps`, or `16 over 12 mm straps`.
#[must_use]
pub fn pair([upper, lower]: Pair) -> String {
    let [above, below] = [upper, lower].map(one);
    match (upper, lower) {
        _ if above == below => format!("{above}s"),
        (Loader::Strap { width_mm: over, .. }, Loader::Strap { width_mm: under, .. }) => {
            format!("{} over {} mm straps", typed(over), typed(under))
        }
        (Loader::Bar { diameter_mm: over, .. }, Loader::Bar { diameter_mm: under, .. }) => {
            format!("{} over {} mm bars", typed(over), typed(under))
        }
        _ => format!("{above} over {below}"),
    }
}

/// A setting without its gate: `12 mm straps, both at the spine (-6.6 mm above, -7.4 mm below)`.
#[must_use]
pub fn setting(tried: &Tried) -> String {
    let [above, below] = [0, 1].map(|end| offset(tried.offsets_mm()[end], tried.room_mm[end]));
    let at =
        if above == below { format!("at {above} mm") } else { format!("{above} mm above, {below} mm below") };
    let pair = pair([tried.rig.upper, tried.rig.lower]);
    match tried.name {
        Some(PlaceName::AsInTheModel) => format!("{pair} at the model's offsets ({at})"),
        Some(place) => format!("{pair} {} ({at})", name(place)),
        None => format!("{pair} {at}"),
    }
}

/// A load that is less than another, so that it reads as less.
fn less_than(kn: f64, load_kn: f64) -> String {
    // Tenths where they tell the two apart; else as many digits as it takes.
    let at_most = |digits: i32| (kn * 10_f64.powi(digits)).floor() / 10_f64.powi(digits);
    match (10.0 * kn).round() / 10.0 < load_kn {
        true => kilonewtons(kn),
        false => format!("{} kN", (2..6).map(at_most).find(|told| *told < load_kn).unwrap_or(kn)),
    }
}

/// A load that is no less than another, so that it does not read as less.
fn no_less_than(kn: f64, load_kn: f64) -> String {
    let at_most = |digits: i32| (kn * 10_f64.powi(digits)).floor() / 10_f64.powi(digits);
    match (10.0 * kn).round() / 10.0 >= load_kn {
        true => kilonewtons(kn),
        false => format!("{} kN", (2..6).map(at_most).find(|told| *told >= load_kn).unwrap_or(kn)),
    }
}

/// What a setting holds and what fails first there: `19.8 kN with 12 mm straps at +3.0 mm (lip of the notch)`.
pub(super) fn holds(tried: &Tried, load_kn: f64) -> String {
    match &tried.holds {
        Ok(holds) => format!(
            "{} with {} ({})",
            if holds.holds_kn < load_kn {
                less_than(holds.holds_kn, load_kn)
            } else {
                no_less_than(holds.holds_kn, load_kn)
            },
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

#[cfg(test)]
mod tests {
    use super::{less_than, no_less_than};

    #[test]
    fn what_is_less_reads_as_less() {
        assert_eq!([less_than(19.97, 20.0), less_than(19.94, 20.0)], ["19.97 kN", "19.9 kN"]);
        assert_eq!([no_less_than(17.6398, 17.63), no_less_than(20.04, 20.0)], ["17.63 kN", "20.0 kN"]);
        assert_eq!([less_than(12.2499, 12.25), less_than(19.9999, 20.0)], ["12.2 kN", "19.99 kN"]);
    }
}
