//! A forecast beside the simulated pull of the same case: limit by limit, and what makes the two differ.
//!
//! [`beside`] pulls the connector and lines up what both say ([`Row`]). Where a limit of the frame differs, [`Factors`] takes the
//! difference apart: the same connector is pulled again with one assumption of the forecast after the other put back.

mod course;
mod factors;
mod row;
mod rows;

pub use factors::{Factor, Factors};
pub use row::{Reason, Row, Seen, TOLD, What};
pub use rows::{Beside, beside};
