//! What fails first, and how sure that is: from a checked model to the forecast that is printed, drawn and written.
//!
//! `study` solves the connector as it is and at the `ends` of every unknown,
//! `forecast` puts the result into the form of the JSON, `words` into sentences, `picture` into a drawing.

mod ends;
mod forecast;
mod picture;
mod study;
mod words;

pub use forecast::{Against, Forecast, Kilonewtons, Varied};
pub use picture::picture;
pub use study::{Study, study};
pub use words::{answer, summary};
