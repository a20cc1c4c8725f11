//! Words of the pictures of a pull until failure.

use crate::caution::CAUTION;
use crate::numbers::kilonewtons;
use crate::pull_to_failure::{ended, headline, rows};
use study::pull_to_failure::Pulled;

/// Over the curve.
pub const CURVE: &str = "Load, kN";
/// Under the curve: what its axis counts.
pub const STRETCH: &str = "stretch between the load centres, mm";
/// Over the gate's share.
pub const SHARE: &str = "Gate's share of the load, %";
/// Under the gate's share.
pub const LOAD: &str = "load, kN";
/// Over the limits of the forecast.
pub const FORECAST: &str = "The forecast's limits";
/// Over the list of marks.
pub const MARKS: &str = "On the curve";
/// What the dashed branch is.
pub const HOOK: &str = "dashed: the open hook, its gate gone";

/// The gate begins to carry.
pub const ENGAGES: &str = "gate begins to carry";
/// The frame yields.
pub const YIELDS: &str = "first yield";
/// Some stretch stays.
pub const OFFSET: &str = "0.2 mm stay";
/// The gate no longer shuts.
pub const NO_LONGER_SHUTS: &str = "gate no longer shuts";
/// The knee.
pub const KNEE: &str = "knee";
/// The highest load.
pub const PEAK: &str = "highest load";
/// The hook's highest load.
pub const HOOK_AT_MOST: &str = "open hook at most";

/// A mark with its load.
#[must_use]
pub fn mark(what: &str, load_kn: f64) -> String {
    format!("{what} {}", kilonewtons(load_kn).replace(' ', "\u{a0}"))
}

/// The end of a pull.
#[must_use]
pub fn end(pulled: &Pulled<'_>, load_kn: f64) -> String {
    mark(&ended(&pulled.course.end), load_kn)
}

/// The alternative text of the chart.
#[must_use]
pub fn description(pulled: &Pulled<'_>) -> String {
    let rows: Vec<String> = rows(pulled)
        .into_iter()
        .filter(|row| row.load_kn.is_some())
        .map(|row| format!("{}: {}", row.what, row.value))
        .collect();
    format!("Load over stretch. {} {}. {CAUTION}", headline(pulled), rows.join("; "))
}
