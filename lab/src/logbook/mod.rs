//! The logbook: one SQLite file with samples, pulls, traces and forecasts, to which only is added.
//!
//! `migrations` has the tables and their guards, `open` the file; `field` and `record` say what is recorded, `value` holds every value to
//! its bounds, wherever it comes from; `write` records, `read` tells what stands there now (amendments over what was first told), `filter`
//! which pulls are asked for. `package` is the open form for sharing, `export` and `import` give and take it, `table` is the same for a
//! spreadsheet. `traced` is what a trace says of a peak, `calibrations` what pulls have told of the constants of forecasts.

mod calibrations;
pub mod content;
pub mod dates;
mod error;
mod export;
pub mod field;
mod filter;
mod import;
mod migrations;
mod open;
pub mod package;
pub mod peak;
mod pull;
mod read;
pub mod record;
mod table;
mod traced;
mod value;
mod write;

#[cfg(test)]
mod tests;

pub use calibrations::{KeptCalibration, LONGEST_NAME, calibration_name};
pub use error::LogbookError;
pub use field::Field;
pub use filter::Filter;
pub use import::{Imported, Sound};
pub use open::{DEFAULT_FILE, Logbook};
pub use pull::{Amendment, Beside, Forecast, Pull, Recorded};
pub use read::Unreadable;
pub use record::{Mistake, Plan, Pulled, Record};
pub use table::table;
pub use traced::{Cell, Doubt, End, NoTracedPeak, Traced};
pub use value::{NamedFile, Problem};
pub use write::{LONGEST_WHY, reason};
