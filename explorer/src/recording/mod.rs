//! What is recorded in a logbook, of the command line and of the page: fields as they were typed, a model that stands for a sample, the
//! forecast before a pull, the result after it.

mod fields;
mod model;
mod pulls;

pub use fields::{Told, all_right, is_place, of_result, of_rig, of_sample};
pub use model::OfSample;
pub use pulls::{finish, first_then, forecast_of, needed, peak_of_trace, planned, result_of};
