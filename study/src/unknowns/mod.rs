//! What is not known exactly, in one place: every range that the model states, and what is assumed where it states none.
//!
//! Two questions ask for it. Before a pull: how far may the forecast be off, with everything about as entered? That is
//! `scatter`, a list of [`Unknown`]s that forecasts draw from and maps vary. After a pull: what may have been other than
//! told, so that it broke there? What the model states is asked in the same [`Unknown`]s; where it states nothing a
//! mistake may be larger than scatter, and `suspected` holds these wider ranges, each with its reason.
//!
//! Numbers without a source are common practice or engineering judgement, and are said to be. What is unknown, and on what its
//! range stands, are types: their words are another's business.

mod constants;
mod scatter;
pub mod suspected;
mod unknown;

pub use constants::{BEYOND, assumed, draws_together};
pub use scatter::{CLEARANCE_MM, METAL_SCATTER, OFFSET_MM, STRAP_SCATTER, unknowns};
pub use unknown::{BODIES, Basis, Body, Strength, Unknown, UnknownOf, UnknownValue, clearance_key};
