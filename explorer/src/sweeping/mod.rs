//! The files of a sweep.
//!
//! `record` keeps what is finished so that a stopped sweep goes on and a finished one answers at once, each point a line of
//! `line`, under the `names` of a sweep's files; `table` and `chart` are what is written at the end.

mod chart;
mod error;
mod line;
mod names;
mod record;
mod table;

pub use chart::chart;
pub use error::{Held, OtherSweep, RecordProblem, SweepError};
pub use names::{ABOUT, ROWS, TABLE};
pub use record::{Record, checked};
pub use table::csv;
