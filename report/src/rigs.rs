//! Rigs in a line.

use crate::numbers::typed;
use solver::rig::{GateState, Loader, Rig, RigEnd};

fn end(loader: Loader) -> String {
    let place = |offset: f64| {
        if offset == 0.0 {
            "centred".to_owned()
        } else if offset > 0.0 {
            format!("{} mm toward the gate", typed(offset))
        } else {
            format!("{} mm toward the spine", typed(-offset))
        }
    };
    match loader {
        Loader::Strap { width_mm, offset_mm, .. } => {
            format!("{} mm strap {}", typed(width_mm), place(offset_mm))
        }
        Loader::Bar { diameter_mm, offset_mm } => {
            format!("{} mm bench bar {}", typed(diameter_mm), place(offset_mm))
        }
    }
}

/// The word of an end.
#[must_use]
pub const fn end_word(end: RigEnd) -> &'static str {
    match end {
        RigEnd::Upper => "upper",
        RigEnd::Lower => "lower",
    }
}

/// The rig in a line: "10 kN, gate closed, both ends 12 mm strap centred".
#[must_use]
pub fn rig(rig: &Rig) -> String {
    clauses(rig).join(", ")
}

/// The same clause by clause: load, state of the gate, and each end, or both ends where they are told alike.
#[must_use]
pub fn clauses(rig: &Rig) -> Vec<String> {
    std::iter::once(format!("{} kN", typed(rig.load_kn))).chain(gate_and_ends(rig)).collect()
}

/// The same without its load: "gate closed, both ends 12 mm strap centred".
#[must_use]
pub fn without_load(rig: &Rig) -> String {
    gate_and_ends(rig).join(", ")
}

fn gate_and_ends(rig: &Rig) -> Vec<String> {
    let mut clauses = match rig.gate {
        GateState::Closed => vec!["gate closed".to_owned()],
        GateState::Open => vec!["gate open".to_owned()],
        GateState::Half { engaged_mm } => {
            vec!["gate half shut".to_owned(), format!("engaged {} mm", typed(engaged_mm))]
        }
    };
    let (upper, lower) = (end(rig.upper), end(rig.lower));
    if upper == lower {
        clauses.push(format!("both ends {upper}"));
    } else {
        clauses.extend([format!("upper {upper}"), format!("lower {lower}")]);
    }
    clauses
}
