//! What a reference problem is, and what comes out of running one.

use crate::check::{Check, Rate};
use crate::problem_error::ProblemError;
use crate::view::View;

/// A published problem.
#[derive(Clone, Copy)]
pub struct Problem {
    /// A short name of our own, in words with dashes.
    pub name: &'static str,
    /// What it is, in one line.
    pub title: &'static str,
    /// Where the expected numbers come from: author, title, year; or "closed form" with its author.
    pub source: &'static str,
    /// Solves it and compares.
    pub run: fn() -> Result<Outcome, ProblemError>,
}

/// What a problem gave.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outcome {
    /// Numbers compared with published ones.
    pub checks: Vec<Check>,
    /// How errors fall with refinement.
    pub rates: Vec<Rate>,
    /// Remarks worth printing (an effectivity, a deviation of an approximate formula).
    pub remarks: Vec<String>,
    /// What the problem, or one of its cases, looks like; `None` where a formula is all there is.
    pub view: Option<View>,
}

impl Outcome {
    /// True when all checks and rates pass, and there is at least one.
    #[must_use]
    pub fn passes(&self) -> bool {
        !(self.checks.is_empty() && self.rates.is_empty())
            && self.checks.iter().all(Check::passes)
            && self.rates.iter().all(Rate::passes)
    }
}
