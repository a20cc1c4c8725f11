//! Why did it break there, at that load? What may differ from what was entered, weighed against a peak and a broken place.
//!
//! `causes` lists what may vary and over which range; `solved` solves them all, one system for each shape, whatever was seen;
//! `ranking` weighs the outcomes by `solver::causes` and confirms the leading ones by a solve of their own; `lines` makes
//! them an [`Explanation`], `miss` says why a line's load is not the one measured, `verdict` what it all comes to. `marking` tells which rigs would have reached the marking.

mod causes;
mod explanation;
mod keys;
mod lines;
mod marking;
mod mesh;
mod miss;
mod nearest;
mod ranking;
mod set_key;
mod solved;
mod verdict;

pub use causes::{
    CauseOf, Family, Kind, Loads, Moved, Rounded, RoundedRange, Size, Stated, Stood, Unit, ValueKind,
};
pub use explanation::{Closest, Difference, Differs, Explanation, Miss, NearTie, RankedCause};
pub use marking::{MarkingReach, ReachedBy, Rigs};
pub use mesh::coarse_mesh;
pub use ranking::{explain, rank};
pub use set_key::{KeyValue, SetKey};
pub use solved::Solved;
pub use verdict::Verdict;
