//! The published problems, run in the binary: results, the table that is printed and the page that is written.

mod figure;
mod html;
mod page;
mod table;

pub use page::page;
pub use table::table;

use crate::undrawn::{told_chart, told_picture};
use rayon::prelude::*;
use reference::problem::{Outcome, Problem};
use report::caution::CAUTION;
use report::published as words;
use serde_json::{Value, json};
use thiserror::Error;
use viz::{ChartError, PictureError};

/// Why the page could not be made.
#[derive(Debug, Error)]
pub enum PageError {
    /// A chart.
    #[error("{}", told_chart(.0))]
    Chart(#[from] ChartError),
    /// A picture of a problem.
    #[error("{}", words::no_picture(told_picture(.0)))]
    Picture(#[from] PictureError),
}

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
    let mut problems = reference::elastic::elastic();
    problems.extend(reference::contact::contact());
    problems.extend(reference::collapse::collapse());
    problems.extend(reference::elastic_plastic::elastic_plastic());
    problems.extend(reference::strength::strength());
    problems
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
                    "quantity": r.quantity(), "expected": r.expected, "measured": r.measured(),
                    "tolerance": r.tolerance, "points": r.points, "passes": r.passes(),
                })).collect::<Vec<_>>(),
                "remarks": outcome.remarks,
            }),
            Err(reason) => json!({ "name": v.problem.name, "passes": false, "could_not_run": reason }),
        })
        .collect();
    json!({
        "format": "pullmap-verification-1", "passes": all.iter().all(Verified::passes), "problems": problems,
        "caution": CAUTION,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use reference::check::Check;
    use reference::problem_error::ProblemError;

    fn made_up() -> Result<Outcome, ProblemError> {
        Err(ProblemError { problem: "made-up", reason: "it is not a problem".to_owned() })
    }

    const PROBLEM: Problem =
        Problem { name: "made-up", title: "a <made-up> problem", source: "nobody", run: made_up };

    fn with(got: f64) -> Verified {
        let check =
            Check { quantity: "answer".to_owned(), expected: 42.0, got, tolerance: 0.01, reason: "made up" };
        Verified { problem: PROBLEM, result: Ok(Outcome { checks: vec![check], ..Outcome::default() }) }
    }

    #[test]
    fn a_number_that_is_missed_fails_everywhere() {
        assert!(with(42.3).passes());
        for v in [with(43.0), with(f64::NAN), Verified { problem: PROBLEM, result: Err("no".to_owned()) }] {
            assert!(!v.passes());
            let all = [with(42.0), v];
            assert_eq!(as_json(&all)["passes"], false);
            assert_eq!(as_json(&all)["caution"], CAUTION);
            assert!(table(&all).contains("FAIL") && table(&all).contains("1 of 2 published"));
            let page = page(&all).unwrap();
            assert!(page.contains("a &lt;made-up&gt; problem") && page.contains("class=\"fail\""));
        }
    }

    #[test]
    fn a_problem_without_numbers_does_not_pass() {
        assert!(!Verified { problem: PROBLEM, result: Ok(Outcome::default()) }.passes());
    }
}
