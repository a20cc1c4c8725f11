//! Why did it break there, at that load? What may differ from what was entered, weighed against a peak and a broken place.
//!
//! `causes` lists what may vary and over which range; `solved` solves them all, one system for each shape, whatever was seen;
//! `ranking` weighs the outcomes by `solver::causes` and confirms the leading ones by a solve of their own; `telling` makes
//! them an [`Explanation`]. `marking` tells which rigs would have reached the marking.

mod answer;
mod causes;
mod explanation;
mod keys;
mod marking;
mod nearest;
mod picture;
mod ranking;
mod solved;
mod solving;
mod telling;

pub use answer::answer;
pub use explanation::{Closest, Explanation, FORMAT, NearTie, RankedCause};
pub use marking::{MarkingReach, ReachedBy};
pub use picture::picture;
pub use ranking::{explain, rank};
pub use solved::Solved;
pub use solving::coarse_mesh;

use report::places;
use solver::causes::Place;
use study::model::hint::nearest;
use study::model::renamed;

/// The place that a word means.
///
/// # Errors
/// A word that names none: what is allowed, with the nearest first.
pub fn place(word: &str) -> Result<Place, String> {
    places::find(word).ok_or_else(|| {
        let (typed, words) = (word.to_lowercase(), Place::ALL.map(places::word));
        let near = renamed::word(&typed, &words).or_else(|| nearest(&typed, words));
        let near = near.map_or_else(String::new, |n| format!("did you mean {n}? "));
        format!("{near}allowed: {}", Place::ALL.map(places::word).join(", "))
    })
}
