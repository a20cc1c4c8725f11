//! The words of pictures: names, legends, axes and alternative texts, a file for each kind of picture.

pub mod bedding;
pub mod comparison;
pub mod convergence;
pub mod explain;
pub mod forecast;
pub mod map;
pub mod parameter;
pub mod seats;
pub mod sketch;
pub mod still;
pub mod sweep;

/// The word for the part that gives at the lowest load.
pub const FAILS_FIRST: &str = "fails first";

/// The line that says by which program, of what and from which inputs a picture is: `models` are short names.
#[must_use]
pub fn source_line(models: &str, hash: &str) -> String {
    format!("pullmap {} · {models} · inputs {hash}", env!("CARGO_PKG_VERSION"))
}
