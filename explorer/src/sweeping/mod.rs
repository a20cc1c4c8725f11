//! A sweep: one or two keys of a model through a range, everything else as it is.
//!
//! `vary` reads what was asked for, `plan` lays out the points, `run` computes them (each by `point`), `record` keeps what
//! is finished so that a stopped sweep goes on and a finished one answers at once, `table`, `answer` and `chart` tell the result.

mod answer;
mod chart;
mod mistake;
mod plan;
mod point;
mod record;
mod run;
mod table;
mod vary;

pub use answer::{sentence, table as short_table};
pub use chart::chart;
pub use mistake::{Held, OtherSweep, SweepError, SweepMistake};
pub use plan::Plan;
pub use point::{Found, PartLimit};
pub use record::{ABOUT, ROWS, Record, TABLE, checked};
pub use run::{Outcome, Row, run};
pub use table::csv;
pub use vary::{MANY_POINTS, MOST_POINTS, Values, Varied, read};
