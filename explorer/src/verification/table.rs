//! The table that `verify` prints.

use super::Verified;
use report::published::table as words;

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

/// All problems with their numbers, and a closing line.
#[must_use]
pub fn table(all: &[Verified]) -> String {
    let mut out = String::new();
    for v in all {
        out.push_str(&words::head(v.problem.name, v.problem.title, v.problem.source));
        match &v.result {
            Err(reason) => out.push_str(&words::not_run(reason)),
            Ok(outcome) => {
                for c in &outcome.checks {
                    let numbers = [c.expected, c.got].map(number);
                    out.push_str(&words::number(
                        c.passes(),
                        &c.quantity,
                        numbers,
                        c.difference(),
                        c.tolerance,
                    ));
                }
                for r in &outcome.rates {
                    let theory = [r.expected, r.tolerance];
                    out.push_str(&words::rate(r.passes(), &r.quantity(), r.measured(), theory));
                }
                for remark in &outcome.remarks {
                    out.push_str(&format!("        {remark}\n"));
                }
            }
        }
    }
    out + &words::met(all.iter().filter(|v| v.passes()).count(), all.len())
}
