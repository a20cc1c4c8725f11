//! The published problems, run in the binary: results, the table that is printed and the page that is written.

mod page;
mod table;

pub use page::page;
pub use table::table;

use rayon::prelude::*;
use reference::problem::{Outcome, Problem};
use serde_json::{Value, json};

/// A problem with what it gave.
pub struct Verified {
    /// The problem.
    pub problem: Problem,
    /// What it gave, or why it could not be run.
    pub result: Result<Outcome, String>,
}

impl Verified {
    /// True when every number and rate is met.
    #[must_use]
    pub fn passes(&self) -> bool {
        self.result.as_ref().is_ok_and(Outcome::passes)
    }
}

/// Runs all published problems, in their order.
#[must_use]
pub fn verify() -> Vec<Verified> {
    reference::elastic::elastic()
        .into_par_iter()
        .map(|problem| Verified { result: (problem.run)().map_err(|e| e.to_string()), problem })
        .collect()
}

/// The results as JSON.
#[must_use]
pub fn as_json(all: &[Verified]) -> Value {
    let problems: Vec<Value> = all
        .iter()
        .map(|v| match &v.result {
            Ok(outcome) => json!({
                "name": v.problem.name,
                "title": v.problem.title,
                "source": v.problem.source,
                "passes": v.passes(),
                "checks": outcome.checks.iter().map(|c| json!({
                    "quantity": c.quantity, "expected": c.expected, "got": c.got, "difference": c.difference(),
                    "tolerance": c.tolerance, "reason": c.reason, "passes": c.passes(),
                })).collect::<Vec<_>>(),
                "rates": outcome.rates.iter().map(|r| json!({
                    "quantity": r.quantity, "expected": r.expected, "measured": r.measured(),
                    "tolerance": r.tolerance, "points": r.points, "passes": r.passes(),
                })).collect::<Vec<_>>(),
                "remarks": outcome.remarks,
            }),
            Err(reason) => json!({ "name": v.problem.name, "passes": false, "could_not_run": reason }),
        })
        .collect();
    json!({ "format": "pullmap-verification-1", "passes": all.iter().all(Verified::passes), "problems": problems })
}
