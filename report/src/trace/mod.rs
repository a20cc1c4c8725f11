//! A trace of a load cell in words: what was understood of the file and why, what the pull was by it, how two cells agree.

mod agreement;
mod answer;
mod document;
mod errors;
mod on_a_page;
mod pull;
mod rows;
mod understood;

pub use agreement::agreement;
pub use answer::answer;
pub use document::{Document, FileInWords};
pub use errors::{
    NOT_TWO_CELLS, error, error_on_a_page, neither, no_counts, no_decimal, no_overlap, no_part, no_rate,
    no_scale, no_unit,
};
pub use on_a_page::{rows_on_a_page, understood_on_a_page};
pub use pull::headline;
pub use rows::{Row, marks, rows};
pub use understood::understood;

use lab::trace::agreement::Agreement;
use lab::trace::pull::Pull;
use lab::trace::recording::{Peak, Recording};

/// A file that was read, with its pulls: one for each cell.
#[derive(Clone, Debug)]
pub struct Told {
    /// Its name.
    pub file: String,
    /// Hash of its bytes, SHA-256, hexadecimal.
    pub hash: String,
    /// What stands in it.
    pub found: Found,
}

/// What stands in a file.
#[derive(Clone, Debug)]
pub enum Found {
    /// A pull, and what each of its cells says of it.
    Pull(Box<Recording>, Vec<Pull>),
    /// A list of peaks.
    Peaks(Vec<Peak>),
}

/// Two cells on one pull: their files' and columns' names, and how they agree.
#[derive(Clone, Debug)]
pub struct TwoCells {
    /// What the cells are called.
    pub names: [String; 2],
    /// How they agree.
    pub agreement: Agreement,
}

/// Which cell a curve is of.
#[must_use]
pub fn cell_drawn(name: &str, samples: usize) -> String {
    format!("column {name}, {samples} samples")
}

/// Which cells the curves are of.
#[must_use]
pub fn cells_drawn(names: &[String]) -> String {
    format!("columns {}; the first drawn thick", names.join(", "))
}

/// Over the curve.
pub const LOAD: &str = "Load, kN";
/// Under the curve.
pub const TIME: &str = "time, s";
/// Under the curve of a file without a clock.
pub const SAMPLES: &str = "sample";
/// Over the list of marks.
pub const MARKS: &str = "On the curve";
