//! Words of the live page's charts over one parameter.

use crate::letters::small;
use crate::numbers::kilonewtons;

/// Names of the lines: the highest load, and the load at which the first part fails.
pub const LINES: [&str; 2] = ["highest load", "first part fails"];
/// The word at the value that the connector has.
pub const NOW: &str = "now";
/// The words where the connector cannot have a value.
pub const REFUSED: &str = "does not fit";

/// What the upright axis counts: in general, and where the first part to give is the end everywhere.
#[must_use]
pub fn upright(share: bool) -> [&'static str; 2] {
    if share { ["gate's share, %"; 2] } else { ["load, kN", "breaks at, kN"] }
}

/// The name of the chart.
#[must_use]
pub fn name(share: bool, parameter: &str) -> String {
    format!("{} over {parameter}", if share { "gate's share" } else { "forecast" })
}

/// A value of the parameter, already written with its unit, and what came of it: the gate's share (0 to 1), or a load in kN with
/// the part that gives.
#[must_use]
pub fn reading(value: &str, share: Option<f64>, fails: Option<(f64, &str)>) -> String {
    let told = match (share, fails) {
        (Some(share), _) => format!("{:.0} %", 100.0 * share),
        (None, Some((kn, part))) => format!("{}, {part}", kilonewtons(kn)),
        (None, None) => "impossible".to_owned(),
    };
    format!("{value}: {told}.")
}

/// What a chart says whose measure is the same everywhere, or hardly another one: `told`, lowest and highest, which may be alike;
/// `range`: the values of the parameter, with their unit; `gaps`: whether some of them do not fit.
#[must_use]
pub fn flat(share: bool, parameter: &str, range: &str, gaps: bool, [low, high]: [&str; 2]) -> String {
    let what = if share { "The gate's share" } else { "The forecast" };
    let parameter = small(parameter);
    let (changes, told) = match low == high {
        true => ("does not change", low.to_owned()),
        false => ("hardly changes", format!("{low} to {high}")),
    };
    let gaps = if gaps { ", apart from values that do not fit" } else { "" };
    format!("{what} {changes} with {parameter} within the plotted range, {range}{gaps}: {told}.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flat_chart_says_so_with_its_value() {
        let told = |low, high| flat(true, "Notch depth", "3 to 9 mm", false, [low, high]);
        let words =
            "The gate's share does not change with notch depth within the plotted range, 3 to 9 mm: 43.0 %.";
        assert_eq!(told("43.0 %", "43.0 %"), words);
        assert!(told("42.8 %", "43.3 %").ends_with(
            "hardly changes with notch depth within the plotted range, 3 to 9 mm: 42.8 % to 43.3 %."
        ));
        let gaps = flat(true, "Notch depth", "3 to 9 mm", true, ["42.8 %", "42.8 %"]);
        assert!(gaps.ends_with("3 to 9 mm, apart from values that do not fit: 42.8 %."), "{gaps}");
    }

    #[test]
    fn gaps_are_told() {
        assert_eq!(reading("-4 mm", None, Some((20.0, "lip"))), "-4 mm: 20.0 kN, lip.");
        assert_eq!(reading("-1 mm", None, None), "-1 mm: impossible.");
        assert_eq!(reading("1", Some(0.434), None), "1: 43 %.");
    }
}
