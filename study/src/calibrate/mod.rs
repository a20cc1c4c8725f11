//! What pulls tell of the constants that all of them share: lip, pins, friction, strength, where metal flows, how wide pins press.
//!
//! No caliper gives these, and a forecast takes them as computed, as entered or as assumed. Pulls of the same bench tell of them: each
//! [`Setup`] is a model in its rig with its pulls, solved around everything that is not known of it; [`solve`] draws the constants as they
//! may be after these pulls, together, since what two of them do to a peak is often the same. A forecast of a calibrated model
//! ([`Model::calibrated`](crate::model::Model::calibrated)) uses these draws.
//!
//! Every pull is held against what the others say of it, so that a calibration can be judged before another pull is done.
//!
//! Left out: that constants may differ from sample to sample beyond the scatter of their metal, and what a model leaves out alike in
//! all pulls, which ends up in the constants.

mod doubts;
mod held_out;
mod learned;
mod observed;
mod sampler;
mod setup;

pub use doubts::Doubts;
pub use held_out::{HeldOut, Helps, Judged, Verdict};
pub use learned::{Learned, Tied};
pub use observed::Observed;
pub use setup::{ELSEWHERE, SLIPS, Setup};

use crate::unknowns::assumed;
use sampler::Asked;
use solver::forecast::{Calibration, Law};
use solver::strength::{Constant, Constants};

/// So many draws a calibration has.
pub const DRAWS: u32 = 1000;
/// The seed: fixed, so that the same pulls give the same calibration.
const SEED: u64 = 0x6361_6c69_6272;

/// Draws are kept to so many parts of one.
const KEPT_TO: f64 = 1e-7;

/// What pulls have told.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibrated {
    /// The draws of the constants.
    pub calibration: Calibration,
    /// Each constant before and after.
    pub learned: Vec<Learned>,
    /// Pairs of constants that these pulls do not tell apart.
    pub tied: Vec<Tied>,
    /// Each pull, as the others forecast it.
    pub held_out: HeldOut,
    /// What speaks against it.
    pub doubts: Doubts,
    /// Constants that could not be varied, each with the pulls of which nothing is learnt of it so.
    pub not_varied: Vec<(Constant, Vec<i64>)>,
}

/// What is believed of the constants before any pull.
#[must_use]
pub fn prior() -> Vec<Law> {
    Constant::ALL.iter().map(|of| assumed(*of).law).collect()
}

/// Draws the constants as they may be after the pulls of these setups, `draws` of them.
#[must_use]
pub fn solve(setups: &[Setup], draws: u32) -> Calibrated {
    let laws = prior();
    let ln_likelihood =
        |constants: &[f64]| setups.iter().map(|setup| setup.ln_likelihood(constants)).sum::<f64>();
    let drawn = Asked { laws: &laws, ln_likelihood: &ln_likelihood, count: draws, seed: SEED }.draw();
    let held_out = HeldOut::of(setups, &drawn);
    let calibration = Calibration { draws: drawn.iter().map(|values| constants(values)).collect() };
    let (learned, tied) = (learned::learned(&laws, &calibration), learned::tied(&drawn));
    let doubts = Doubts::of(&held_out, &learned, &laws);
    let not_varied = not_varied(setups);
    Calibrated { calibration, learned, tied, held_out, doubts, not_varied }
}

fn not_varied(setups: &[Setup]) -> Vec<(Constant, Vec<i64>)> {
    let of = |constant: Constant| {
        let of = setups.iter().filter(|setup| !setup.varies(constant));
        let mut pulls: Vec<i64> = of.flat_map(|setup| &setup.pulls).map(|pull| pull.number).collect();
        pulls.sort_unstable();
        (constant, pulls)
    };
    Constant::ALL.iter().map(|constant| of(*constant)).filter(|(_, pulls)| !pulls.is_empty()).collect()
}

/// The constants of values on the scales that they are drawn on, as they are kept.
#[must_use]
pub fn constants(scaled: &[f64]) -> Constants {
    let each = Constant::ALL.iter().zip(scaled);
    each.fold(Constants::default(), |all, (of, scaled)| {
        all.with(*of, (of.value(*scaled) / KEPT_TO).round() * KEPT_TO)
    })
}

#[cfg(test)]
mod tests;
