//! Words of the picture of a calibration.

use crate::calibration::{self, Told, under_it};
use solver::strength::Constant;

/// The name of the picture.
#[must_use]
pub fn name(of: &str) -> String {
    format!("{of}: what pulls have told of the constants of forecasts")
}

/// The line under the title.
#[must_use]
pub fn subtitle(told: &Told<'_>) -> String {
    let all = told.found.held_out.pulls.len();
    let limits = told.found.held_out.pulls.iter().filter(|pull| pull.is_limit).count();
    let setups = match told.setups {
        1 => "one model in one rig".to_owned(),
        several => format!("{several} set-ups of model and rig"),
    };
    format!("{all} pulls of {setups}, {limits} of them to the limit of the connector")
}

/// What stands beneath: what is not told apart, and what the pulls say of the calibration.
#[must_use]
pub fn note(told: &Told<'_>) -> String {
    under_it(told).join(" ")
}

/// What the values of a constant count, short.
#[must_use]
pub const fn counts(of: Constant) -> &'static str {
    match of {
        Constant::Flow => "from yield to ultimate",
        Constant::Press => "narrow (-1) to deep (1)",
        _ => calibration::counts(of),
    }
}

/// What a pale bar is, and a dark one.
pub const KEY: [&str; 2] = ["90 of 100 before these pulls", "after them, with the middle"];
