//! The inverse question: given a peak load and a broken place, what would have given them?
//!
//! A cause is one thing that may differ from what was entered, over the range that it may have had: a [`Scan`] of a few
//! solved outcomes. Between them every part's limit is interpolated by itself, so that the switch from one weakest part to
//! the next is found where their limits cross. [`Observed`] says how well an outcome fits what was seen; integrated over a
//! scan against the chance of each value that gives the cause's evidence, and all evidences together a ranking.
//!
//! Bayes' rule with stated chances, no more: the ranking orders what to look at first. It knows only the causes that it was
//! given, and says so by telling when none of them reaches the load.

mod drawn;
pub mod judgement;
mod observed;
mod outcome;
mod place;
mod scan;

pub use drawn::{Drawn, Draws};
pub use judgement::Judgement;
pub use observed::Observed;
pub use outcome::{Ending, Outcome, Parts};
pub use place::Place;
pub use scan::{Prior, Reach, Scan, Weighed, WeighedPair, outcomes_of_pair, reach_of_pair, weigh_pair};

#[cfg(test)]
mod tests;
