//! Contacts that cannot be solved.

use solver::contact::engagement::EngagementError;
use solver::contact::quadratic::QuadraticError;

/// Why no forces balance.
pub(super) fn quadratic(error: &QuadraticError) -> String {
    let told = match error {
        QuadraticError::Shape { what, found, expected } => {
            format!("{what} has {found} entries, expected {expected}")
        }
        QuadraticError::NotFinite { what, index } => {
            format!("{what} holds a number that is not finite, entry {index}")
        }
        QuadraticError::NotSymmetric { row, column } => {
            format!("the matrix is not symmetric at ({row}, {column})")
        }
        QuadraticError::NotConvex => "the matrix is not positive definite".to_owned(),
        QuadraticError::DependentRows { row } => {
            format!("equality row {row} is zero or depends on the rows before it")
        }
        QuadraticError::Infeasible => "no point meets the equality rows and the signs".to_owned(),
        QuadraticError::OutOfSteps { steps } => format!("no answer after {steps} steps"),
        QuadraticError::NotOptimal { optimality, tolerance, steps } => {
            format!("optimality {optimality:.1e} after {steps} steps, wanted {tolerance:.1e}")
        }
    };
    format!("quadratic programme: {told}")
}

/// Why the load at which the gate engages was not found.
#[must_use]
pub fn engagement(error: &EngagementError) -> String {
    let told = match error {
        EngagementError::Shape { gaps, openings, motions } => {
            format!("{gaps} gaps, {openings} openings and {motions} rigid rows; their numbers must agree")
        }
        EngagementError::NotFinite { row } => format!("row {row} holds a number that is not finite"),
        EngagementError::NegativeGap { row, gap_mm } => {
            format!("gap {row} is {gap_mm} mm, allowed: zero or more")
        }
        EngagementError::NoAnswer => "the linear programme ended without an answer".to_owned(),
    };
    format!("engagement: {told}")
}
