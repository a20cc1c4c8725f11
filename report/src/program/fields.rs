//! Field files that cannot be made.

use std::fmt::Display;

/// That they cannot, and why.
#[must_use]
pub fn failed(why: impl Display) -> String {
    format!("the field files could not be made: {why}")
}

/// There is nothing to write, or too much.
pub const NO_BODIES: &str = "a fields file needs between 1 and 255 bodies with at least one triangle each";
/// The container of the arrays is refused.
pub const NO_CONTAINER: &str = "cannot build the .npz container";
/// An array is refused by its container.
pub const NOT_FILLED: &str = "cannot fill the .npz container";

/// Rows of an array of a body, too many or too few.
#[must_use]
pub fn rows(body: &str, array: &str, found: usize, expected: usize) -> String {
    format!("{body}: {array} has {found} rows, expected {expected}")
}

/// A triangle with a node that is not there.
#[must_use]
pub fn node(body: &str, triangle: usize) -> String {
    format!("{body}: triangle {triangle} names a node beyond the last")
}

/// A triangle with a rule that is not there.
#[must_use]
pub fn unknown_rule(body: &str, triangle: usize, points: u8) -> String {
    format!("{body}: triangle {triangle} uses a rule of {points} points, which is not given")
}

/// A rule that is none.
#[must_use]
pub fn rule(points: usize) -> String {
    format!("the rule of {points} points is empty, given twice, or its weights do not sum to one half")
}

/// A number that cannot be.
#[must_use]
pub fn value(body: &str, array: &str) -> String {
    format!("{body}: {array} holds a number that is not finite or out of range")
}
