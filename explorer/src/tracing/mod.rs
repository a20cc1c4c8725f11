//! Traces of load cells: files read, and their curves drawn.

mod cells;
mod curve;
mod file;

pub use cells::one_file;
pub use curve::{PICTURES, curve};
pub use file::{LARGEST, TraceFileError, read, told};
