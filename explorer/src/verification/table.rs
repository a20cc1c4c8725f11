//! The table that `verify` prints.

use super::Verified;
use std::fmt::Write;

/// A number with as many digits as it needs to be told from its neighbour.
pub(super) fn number(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    if !(1e-3..1e6).contains(&value.abs()) {
        return format!("{value:.4e}");
    }
    let digits = match value.abs() {
        v if v >= 1000.0 => 1,
        v if v >= 10.0 => 3,
        _ => 5,
    };
    format!("{value:.digits$}")
}

fn verdict(passes: bool) -> &'static str {
    if passes { "pass" } else { "FAIL" }
}

/// All problems with their numbers, and a closing line.
#[must_use]
pub fn table(all: &[Verified]) -> String {
    // Writing to a string cannot fail.
    let mut out = String::new();
    for v in all {
        let _ = writeln!(out, "{}\n  {}\n  source: {}", v.problem.name, v.problem.title, v.problem.source);
        match &v.result {
            Err(reason) => {
                let _ = writeln!(out, "  FAIL  could not be run: {reason}");
            }
            Ok(outcome) => {
                for c in &outcome.checks {
                    let _ = writeln!(
                        out,
                        "  {}  {:<58} expected {:>12}  got {:>12}  difference {:>9}  allowed {:.1e}",
                        verdict(c.passes()),
                        c.quantity,
                        number(c.expected),
                        number(c.got),
                        format!("{:+.1e}", c.difference()),
                        c.tolerance
                    );
                }
                for r in &outcome.rates {
                    let _ = writeln!(
                        out,
                        "  {}  {:<58} rate {:.2}, theory {} within {}",
                        verdict(r.passes()),
                        r.quantity(),
                        r.measured(),
                        r.expected,
                        r.tolerance
                    );
                }
                for remark in &outcome.remarks {
                    let _ = writeln!(out, "        {remark}");
                }
            }
        }
    }
    let failed = all.iter().filter(|v| !v.passes()).count();
    let _ = writeln!(out, "{} of {} published problems are met.", all.len() - failed, all.len());
    out
}
