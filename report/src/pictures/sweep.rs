//! Words of the charts of a sweep.

use crate::failure_modes;
use crate::numbers::{kilonewtons, kilonewtons_alone};
use solver::strength::FailureMode;
use std::fmt::Write;

/// Headings of the chart over one key: share, moment, limits.
pub const HEADINGS: [&str; 3] = [
    "gate's share of the pull, %",
    "moment at mid spine, N m",
    "load on the connector, kN: the limit of each part, and the forecast",
];
/// Headings of the maps over two keys: forecast, share.
pub const MAP_HEADINGS: [&str; 2] = ["forecast, kN", "gate's share of the pull, %"];
/// What dashed lines mean on the first of them.
pub const DASHED: &str = "dashed: where another part fails first";
/// The name of the curve of the highest loads.
pub const FORECAST: &str = "forecast";
/// What stands where no point could be computed.
pub const NOT_COMPUTED: &str = "could not be computed";

/// What stands on the ground where a part fails first: with one key, and with two, where every name stands on its ground.
#[must_use]
pub fn on_ground(part: FailureMode, keys: usize) -> String {
    match keys {
        1 => format!("{} first", failure_modes::run_on(part)),
        _ => failure_modes::run_on(part).to_owned(),
    }
}

/// What is said of parts whose curves are not drawn; nothing where all are.
#[must_use]
pub fn more(parts: usize) -> Option<String> {
    (parts > 0).then(|| format!("{parts} parts that hold more are in the table"))
}

/// The alternative text. `parts`: first and last limit of each curve drawn, kN; `changes`: where on the axis which part begins to
/// fail first.
#[must_use]
pub fn description(
    sentence: &str,
    key: &str,
    parts: &[(&str, [f64; 2])],
    changes: &[(f64, &str)],
    caution: &str,
) -> String {
    let mut out = format!("{sentence} Over {key}:");
    for (name, [first, last]) in parts {
        let _ = write!(out, " {name} from {} to {};", kilonewtons_alone(*first), kilonewtons(*last));
    }
    for (at, to) in changes {
        let _ = write!(out, " from {at:.2} on the {to} fails first;");
    }
    let _ = write!(out, " {caution}");
    out
}
