//! Rigs that cannot be pulled: what was found and what is allowed.

use super::contact;
use crate::reason::Reason;
use crate::rigs::end_word;
use solver::response::RigError;
use solver::rig::Loader;

/// Why a rig cannot be pulled.
pub(super) fn reason(error: &RigError) -> Reason {
    match error {
        RigError::Load { load_kn } => Reason::found(format!("{load_kn} kN"), "above 0 kN"),
        RigError::OffSeat { end, loader, from_mm, to_mm, low_mm, high_mm } => {
            let end = end_word(*end);
            let what = match loader {
                Loader::Strap { .. } => "strap",
                Loader::Bar { .. } => "bench bar",
            };
            Reason::found(
                format!("the {end} {what} from {from_mm:.2} to {to_mm:.2} mm across the window"),
                format!(
                    "{low_mm:.2} to {high_mm:.2} mm on this bar, which {} (0.5 mm from the window's sides, 0.3 mm from the notch, \
                     no steeper than 70 deg)",
                    room([*low_mm, *high_mm], to_mm - from_mm)
                ),
            )
        }
        RigError::NoBalance(reason) => Reason::Whole(format!(
            "no set of forces that only pull at straps and only press at contacts balances this rig: {}",
            contact::quadratic(reason)
        )),
        RigError::Engagement(reason) => {
            Reason::Whole(format!("the engagement load could not be found: {}", contact::engagement(reason)))
        }
    }
}

/// What room there is on a seat for a load of a width.
fn room([low_mm, high_mm]: [f64; 2], wide_mm: f64) -> String {
    let (from_mm, to_mm) = (low_mm + 0.5 * wide_mm, high_mm - 0.5 * wide_mm);
    if from_mm > to_mm {
        return format!("has room for {:.2} mm of width", high_mm - low_mm);
    }
    format!("leaves offsets of {from_mm:.2} to {to_mm:.2} mm")
}
