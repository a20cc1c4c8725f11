//! The range of a forecast: what the load at which a connector gives, and the part that fails, do when everything that is
//! not known exactly is drawn at random.
//!
//! A full solve for each of ten thousand draws would take an hour. So the connector is solved as it is and with one
//! unknown at a time at either end of its range ([`endings`]); the logarithm of every part's load is then carried to any
//! draw by adding what each unknown does alone ([`Response`]); the draws ([`Range`]) come from a counter-based generator
//! ([`Counter`]), so that a draw is the same whichever thread makes it.
//!
//! Loads are ratios of strengths to shares, hence logarithms: what two unknowns do to a ratio multiplies.
//!
//! Left out: what two unknowns do together beyond that. A test holds the cheap response against full solves.

mod calibration;
mod endings;
mod grid;
mod law;
mod normal;
mod philox;
mod quantile;
mod range;
mod response;

pub use calibration::Calibration;
pub use endings::{Capacities, Ending, Endings, endings};
pub use grid::Grid;
pub use law::Law;
pub use normal::{normal_cumulative, normal_quantile};
pub use philox::Counter;
pub use range::{Chance, DRAWS, Matters, Range, SEED};
pub use response::{Arm, Response, Sum};

#[cfg(test)]
mod tests;
