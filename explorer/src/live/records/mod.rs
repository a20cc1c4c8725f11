//! What a bench has recorded, in the page: traces that are read, and the logbook. Everything is done by what the commands
//! `trace`, `log` and `lot` are made of.

mod trace;

pub use trace::{TRACE, read_trace};

use lab::force_unit::ForceUnit;
use serde_json::{Value as Json, json};

/// What a page must know to ask for records: the units of a trace.
pub fn told() -> Json {
    json!({ "units": ForceUnit::ALL.map(ForceUnit::sign) })
}
