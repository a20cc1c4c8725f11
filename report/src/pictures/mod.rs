//! The words of pictures: names, legends, axes and alternative texts, a file for each kind of picture.

pub mod bedding;
pub mod comparison;
pub mod convergence;
pub mod forecast;
pub mod map;
pub mod parameter;
pub mod seats;
pub mod sketch;
pub mod sweep;

/// The word for the part that gives at the lowest load.
pub const FAILS_FIRST: &str = "fails first";
/// The name of a picture that weighs causes.
#[must_use]
pub fn explain_name(connector: &str) -> String {
    format!("{connector}: what would explain the break")
}
