//! What a forecast leaves out.

use crate::unknowns::{Basis, Unknown};

/// Something that could not be varied, or not over all of its range.
#[derive(Clone, Debug, PartialEq)]
pub enum LeftOut {
    /// The limit of the lip by finite elements, which gave none for this shape: the formula by hand decides.
    LipByElements,
    /// An unknown of which neither end gives a connector that can be solved.
    NeitherEnd(Unknown),
    /// A range of the model of which only a part was varied: nearer its ends no connector or rig could be solved, or its notch holds
    /// the pin there where it does not here, or the other way round.
    CutShort {
        /// The unknown on its whole range.
        unknown: Unknown,
        /// What was varied, in the terms of its law.
        reach: [f64; 2],
    },
}

impl LeftOut {
    /// What is left out of an unknown's range where only `reach` of it could be solved. Of an assumed range that is nothing to tell.
    pub(super) fn cut_short(unknown: &Unknown, reach: [f64; 2]) -> Option<Self> {
        let [low, high] = unknown.law.ends();
        let near = 1e-6 * (high - low);
        let cut = reach[0] > low + near || reach[1] < high - near;
        (cut && unknown.basis == Basis::Stated).then(|| Self::CutShort { unknown: unknown.clone(), reach })
    }
}
