//! What a pull bench keeps of its pulls. No mesh, no sentence: numbers, and types that `report` puts into words.
//!
//! `trace` reads what a load cell wrote; `logbook` is the one file that keeps samples, pulls and forecasts; `statistics` tells what a
//! few pulls allow to be said, `lots` takes them from the logbook, and
//! `scores` holds forecasts against the pulls that followed them.

pub mod force_unit;
pub mod logbook;
pub mod lots;
pub mod scores;
pub mod statistics;
pub mod trace;
