//! Words of the live page's charts over one parameter.

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gaps_are_told() {
        assert_eq!(reading("-4 mm", None, Some((20.0, "lip"))), "-4 mm: 20.0 kN, lip.");
        assert_eq!(reading("-1 mm", None, None), "-1 mm: impossible.");
        assert_eq!(reading("1", Some(0.434), None), "1: 43 %.");
    }
}
