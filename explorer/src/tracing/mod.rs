//! Traces of load cells: files read, and their curves drawn.

mod curve;
mod file;

pub use curve::curve;
pub use file::{TraceFileError, read};
