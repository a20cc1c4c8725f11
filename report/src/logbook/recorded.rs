//! What was recorded, once it is on the disk.

use super::forecast::forecast_of;
use super::names::{numbers, option};
use super::notes::notes;
use crate::caution::HAZARD;
use crate::numbers::kilonewtons;
use lab::logbook::{End, Field, Imported, Pull};
use std::fmt::Display;

/// A pull that is planned. The number stands first.
#[must_use]
pub fn planned(pull: &Pull) -> String {
    let number = pull.number;
    let forecast =
        forecast_of(pull).map_or_else(String::new, |told| format!("{told} It is locked by the result.\n"));
    format!(
        "{}\n{forecast}Then: pullmap log add {number} --peak KN --outcome broke --where PART; with --trace FILE the peak is read from it\n{HAZARD}\n",
        is_planned(pull)
    )
}

/// That a pull is planned.
pub(super) fn is_planned(pull: &Pull) -> String {
    format!("Pull {} is planned: {}.", pull.number, pull.now.plan.sample)
}

/// A pull that is recorded. The number stands first.
#[must_use]
pub fn added(pull: &Pull) -> String {
    let peak = pull.peak_kn().map_or_else(String::new, |kn| format!(", {}", kilonewtons(kn)));
    let outcome = pull.now.pulled.as_ref().and_then(|pulled| pulled.outcome.as_deref());
    let outcome = outcome.map_or_else(String::new, |outcome| format!(", {outcome}"));
    let notes: String = notes(pull).into_iter().map(|note| format!("Note: {note}\n")).collect();
    let beside = super::forecast::beside(pull).map_or_else(String::new, |sentence| format!("{sentence}\n"));
    format!(
        "Pull {} is recorded: {}{peak}{outcome}.\n{beside}{notes}{HAZARD}\n",
        pull.number, pull.now.plan.sample
    )
}

/// Pulls of the same sample that are planned and have no result, once another was recorded; empty where there is none.
#[must_use]
pub fn open_plans(of: &Pull, planned: &[i64]) -> String {
    let sample = &of.now.plan.sample;
    match planned {
        [] => String::new(),
        [one] => format!(
            "Note: pull {one} of {sample} is planned and has no result. If it was this one, it is recorded by pullmap log add {one} ...: give its \
             number.\n"
        ),
        several => format!(
            "Note: {} of {sample} are planned and have no result. If it was one of these, give its number: pullmap log add {} ...\n",
            numbers(several),
            several[0]
        ),
    }
}

/// That the peak is that of the trace.
#[must_use]
pub fn peak_of_trace(entered: &str) -> String {
    format!("The peak is that of the trace: {entered}, its highest load less its zero.\n")
}

/// A told peak, and the other one of its trace, kN.
#[must_use]
pub fn trace_contradicts(told_kn: f64, traced_kn: f64) -> String {
    format!(
        "Note: the trace says {}, and {} was told; what was told counts.\n",
        kilonewtons(traced_kn),
        kilonewtons(told_kn)
    )
}

/// A told outcome, and how the load of the trace ended otherwise.
#[must_use]
pub fn ended_otherwise(outcome: &str, end: End) -> String {
    let how = match end {
        End::FellFromPeak | End::Fell => "falls suddenly from its highest load, as what breaks does",
        End::CameDown => "comes down slowly, without a sudden fall",
        End::NotTold => "does not tell how it ended",
    };
    format!("Note: the outcome is \"{outcome}\", and the trace {how}; what was told counts.\n")
}

/// What was corrected.
#[must_use]
pub fn amended(number: i64, fields: &[Field]) -> String {
    let told: Vec<&str> = fields.iter().map(|field| option(*field).trim_start_matches('-')).collect();
    format!("Pull {number} is amended: {}. What stood there stays on record.\n", told.join(", "))
}

/// That a pull is withdrawn.
#[must_use]
pub fn withdrawn(number: i64) -> String {
    format!("Pull {number} is withdrawn: it stays on record, and lot and score leave it out.\n")
}

/// What was taken in of a package.
#[must_use]
pub fn imported(file: impl Display, done: &Imported) -> String {
    let part = |pulls: &[i64], what: &str| match pulls {
        [] => None,
        pulls => Some(format!("{what}: {}", numbers(pulls))),
    };
    let parts = [
        part(&done.new, "new"),
        part(&done.extended, "there already, with more to add"),
        part(&done.there, "there already, skipped"),
    ];
    let told: Vec<String> = parts.into_iter().flatten().collect();
    match told.as_slice() {
        [] => format!("{file}: the package has no pulls\n"),
        told => format!("{file}: {}.\n", told.join("; ")),
    }
}
