//! What a reference problem is, and what comes out of running one.

use crate::view::View;
use thiserror::Error;

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

/// One number compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// What is compared, with unit.
    pub quantity: String,
    /// The published number.
    pub expected: f64,
    /// What was computed.
    pub got: f64,
    /// Largest difference that passes: relative to `expected`, or absolute when `expected` is zero.
    pub tolerance: f64,
    /// Why this tolerance and no tighter one.
    pub reason: &'static str,
}

/// Errors over meshes of falling size, and the rate they should fall with.
#[derive(Clone, Debug, PartialEq)]
pub struct Rate {
    /// Which error.
    pub quantity: String,
    /// Mesh sizes (1 / sqrt(number of elements)) with the error on each.
    pub points: Vec<(f64, f64)>,
    /// The rate that theory gives.
    pub expected: f64,
    /// How far the measured rate may be off.
    pub tolerance: f64,
}

/// Why a problem could not be run.
#[derive(Clone, Debug, Error)]
#[error("{problem}: {reason}")]
pub struct ProblemError {
    /// Which problem.
    pub problem: &'static str,
    /// What went wrong.
    pub reason: String,
}

impl Check {
    /// Difference, relative to the expected number unless that is zero.
    #[must_use]
    pub fn difference(&self) -> f64 {
        if self.expected == 0.0 { self.got } else { (self.got - self.expected) / self.expected.abs() }
    }

    /// True when the difference is within the tolerance (never for NaN).
    #[must_use]
    pub fn passes(&self) -> bool {
        self.difference().abs() <= self.tolerance
    }
}

impl Rate {
    /// Least-squares slope of log error over log size.
    #[must_use]
    pub fn measured(&self) -> f64 {
        let logs: Vec<(f64, f64)> = self.points.iter().map(|(h, e)| (h.ln(), e.ln())).collect();
        let n = logs.len() as f64;
        let mean = |f: fn(&(f64, f64)) -> f64| logs.iter().map(f).sum::<f64>() / n;
        let (mx, my) = (mean(|p| p.0), mean(|p| p.1));
        let top: f64 = logs.iter().map(|(x, y)| (x - mx) * (y - my)).sum();
        let bottom: f64 = logs.iter().map(|(x, _)| (x - mx) * (x - mx)).sum();
        top / bottom
    }

    /// True when the measured rate is close enough to theory (never for NaN).
    #[must_use]
    pub fn passes(&self) -> bool {
        (self.measured() - self.expected).abs() <= self.tolerance
    }
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
