//! The words of pictures: names, legends, axes and alternative texts, a file for each kind of picture.

pub mod bedding;
pub mod calibration;
pub mod comparison;
pub mod convergence;
pub mod explain;
pub mod forecast;
pub mod levers;
pub mod lot;
pub mod map;
pub mod parameter;
pub mod pull;
pub mod reach;
pub mod seats;
pub mod sketch;
pub mod still;
pub mod sweep;

use std::fmt::Display;

/// The word for the part that gives at the lowest load.
pub const FAILS_FIRST: &str = "fails first";

/// The line that says by which program, of what and from which inputs a picture is: `models` are short names.
#[must_use]
pub fn source_line(models: &str, hash: &str) -> String {
    format!("pullmap {} · {models} · inputs {hash}", env!("CARGO_PKG_VERSION"))
}

/// A picture that cannot be made, and why.
#[must_use]
pub fn failed(why: impl Display) -> String {
    format!("the picture could not be made: {why}")
}

/// A picture of a size that none can have, pixels.
#[must_use]
pub fn no_size(width: f64, height: f64) -> String {
    format!("a picture of {width} x {height} pixels cannot be drawn; allowed are 1 to 16384 each way")
}

/// A picture that cannot be packed.
pub const NO_PNG: &str = "the PNG could not be written";

/// A chart that cannot be drawn, and why.
#[must_use]
pub fn no_chart(why: &str) -> String {
    format!("the chart could not be drawn: {why}")
}

/// Values that no chart can be drawn through.
pub const NO_RISING_VALUES: &str = "it needs two values that rise";
