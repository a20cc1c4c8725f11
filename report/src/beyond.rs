//! What would have given way before a load, and what a map of that load still tells.

use crate::failure_modes;
use crate::numbers::{kilonewtons, typed};
use solver::findings::{Beyond, GateLineThen, Gone, Tells};

/// What goes: "Before 30 kN the gate line would have gone", without a stop.
fn what(beyond: &Beyond) -> String {
    let at = kilonewtons(beyond.at_kn);
    let gone = match beyond.gone {
        Gone::GateLine { .. } => "the gate line would have gone".to_owned(),
        Gone::RodeOut => "the pin would have ridden out of the notch".to_owned(),
        Gone::FrameOpened { pin_not_held, gate_line } => {
            let opened = match pin_not_held {
                true => "the pin would have left the notch and the frame opened",
                false => "the frame would have opened",
            };
            match gate_line {
                GateLineThen::Whole => format!("{opened}, at {at}"),
                GateLineThen::GoneBefore => format!("{opened}, at {at}, its gate line gone"),
                GateLineThen::GoesWithIt => format!("{opened} with its gate line"),
            }
        }
        Gone::Strap(end) => {
            format!("the {} would have broken, at {} kN", failure_modes::strap(end), typed(beyond.at_kn))
        }
    };
    format!("Before {} kN {gone}", typed(beyond.load_kn))
}

/// What goes, without the forces that say so: a sentence.
#[must_use]
pub fn in_short(beyond: &Beyond) -> String {
    format!("{}.", what(beyond))
}

/// Whether there is more to say than [`in_short`] does.
#[must_use]
pub const fn has_more(beyond: &Beyond) -> bool {
    matches!(beyond.gone, Gone::GateLine { .. })
}

/// What goes, with the forces that say so where the load does not: a sentence.
#[must_use]
pub fn in_full(beyond: &Beyond) -> String {
    match beyond.gone {
        Gone::GateLine { pulled_kn, weakest, holds_kn } => format!(
            "{}: along the line through its pins it is pulled by {pulled_kn:.2} kN here, and the {} holds {holds_kn:.2} kN.",
            what(beyond),
            failure_modes::run_on(weakest)
        ),
        _ => in_short(beyond),
    }
}

/// What stresses tell, after "stresses tell"; nothing where they are what they are.
#[must_use]
pub const fn tells(tells: Tells) -> Option<&'static str> {
    match tells {
        Tells::All => None,
        Tells::Where => Some("where, not how much"),
        Tells::Nothing(_) => Some("neither where nor how much"),
    }
}
