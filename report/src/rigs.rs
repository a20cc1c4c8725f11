//! Rigs in a line.

use crate::numbers::typed;
use solver::rig::{GateState, Loader, Rig};

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

/// The rig in a line: "10 kN, gate closed, both ends 12 mm strap centred".
#[must_use]
pub fn rig(rig: &Rig) -> String {
    format!("{} kN, {}", typed(rig.load_kn), without_load(rig))
}

/// The same without its load: "gate closed, both ends 12 mm strap centred".
#[must_use]
pub fn without_load(rig: &Rig) -> String {
    let gate = match rig.gate {
        GateState::Closed => "gate closed".to_owned(),
        GateState::Open => "gate open".to_owned(),
        GateState::Half { engaged_mm } => format!("gate half shut, engaged {} mm", typed(engaged_mm)),
    };
    let (upper, lower) = (end(rig.upper), end(rig.lower));
    let ends =
        if upper == lower { format!("both ends {upper}") } else { format!("upper {upper}, lower {lower}") };
    format!("{gate}, {ends}")
}
