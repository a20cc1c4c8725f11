//! Whether a load may be claimed of a lot, and how many pulls it would take.

use super::normal_curve::quantile;
use super::normal_lot::{Normal, NormalLot};
use super::tolerance::{Bound, confidence, factor};

/// The shares and the confidences that may be asked for.
pub const SHARES_ALLOWED: [f64; 2] = [0.5, 0.9999];
/// See [`SHARES_ALLOWED`].
pub const CONFIDENCES_ALLOWED: [f64; 2] = [0.5, 0.999];

/// More pulls than this are not planned.
pub const MOST_PULLS: usize = 10_000;

/// What is to be claimed: that a share of the lot exceeds a load, with a confidence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// The load, kN.
    pub kn: f64,
    /// The share.
    pub share: f64,
    /// The confidence.
    pub confidence: f64,
}

/// What the pulls say to a claim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Claim {
    /// What was asked.
    pub asked: Asked,
    /// What may be claimed instead of the load.
    pub bound: Option<Bound>,
    /// The confidence that the pulls give to the very claim; none where some ended without a break.
    pub confidence_now: Option<f64>,
    /// How many pulls it takes.
    pub plan: Plan,
}

/// How many pulls a claim takes, with mean and deviation as they are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Plan {
    /// No more: the claim stands.
    Stands,
    /// So many in all, each of them broken.
    Pulls(usize),
    /// More than [`MOST_PULLS`].
    TooMany,
    /// No number does: the mean does not reach the load.
    MeanBelow,
    /// No number does: the mean reaches it, but less than the share of a lot with this mean and deviation does.
    LotBelow,
    /// Not told where pulls ended without a break: what one more of these would tell is not known.
    Ended,
}

impl Claim {
    /// Judges a claim by a lot taken as normal.
    #[must_use]
    pub fn of(normal: &Normal, asked: Asked) -> Self {
        let bound = normal.bound(asked.share, asked.confidence);
        let stands = bound.is_some_and(|bound| bound.kn >= asked.kn);
        let (mean, sd) = (normal.mean_kn(), normal.sd_kn());
        let NormalLot::Broke { moments, .. } = &normal.figures else {
            let plan = if stands { Plan::Stands } else { Plan::Ended };
            return Self { asked, bound, confidence_now: None, plan };
        };
        let far = (mean - asked.kn) / sd;
        let plan = match () {
            () if stands => Plan::Stands,
            () if mean <= asked.kn => Plan::MeanBelow,
            () if far <= quantile(asked.share) => Plan::LotBelow,
            () => pulls_needed(moments.count, far, asked).map_or(Plan::TooMany, Plan::Pulls),
        };
        Self { asked, bound, confidence_now: confidence(moments.count, asked.share, far), plan }
    }
}

/// The fewest pulls, more than there are, whose factor is no larger than what there is room for; none within [`MOST_PULLS`].
fn pulls_needed(count: usize, room: f64, asked: Asked) -> Option<usize> {
    let reaches = |count| factor(count, asked.share, asked.confidence).is_some_and(|k| k <= room);
    // Factors fall with the number of pulls.
    let (mut too_few, mut enough) = (count, MOST_PULLS);
    if too_few >= enough || !reaches(enough) {
        return None;
    }
    while enough - too_few > 1 {
        let middle = too_few + (enough - too_few) / 2;
        if reaches(middle) { enough = middle } else { too_few = middle }
    }
    Some(enough)
}

#[cfg(test)]
mod tests {
    use super::super::pull::{Lot, Pull};
    use super::*;

    fn normal(broke: &[f64], held: &[f64]) -> Normal {
        let pulls = broke.iter().map(|kn| Pull::new(*kn, true));
        Normal::of(&Lot::new(pulls.chain(held.iter().map(|kn| Pull::new(*kn, false))).collect()).unwrap())
            .unwrap()
    }

    fn asked(kn: f64, share: f64) -> Asked {
        Asked { kn, share, confidence: 0.95 }
    }

    #[test]
    fn the_fewest_pulls_are_found() {
        let lot = normal(&[24.1, 23.7, 22.9, 24.6], &[]);
        let (mean, sd) = (lot.mean_kn(), lot.sd_kn());
        let claim = Claim::of(&lot, asked(22.0, 0.95));
        let Plan::Pulls(count) = claim.plan else { panic!("{claim:?}") };
        let bound = |count| mean - factor(count, 0.95, 0.95).unwrap() * sd;
        assert!(bound(count) >= 22.0 && bound(count - 1) < 22.0, "{count}");
        assert!(claim.confidence_now.unwrap() < 0.95 && claim.bound.unwrap().kn < 22.0);
        // What may be claimed instead has just its confidence.
        let instead = Claim::of(&lot, asked(claim.bound.unwrap().kn - 1e-9, 0.95));
        assert_eq!(instead.plan, Plan::Stands);
        assert!((instead.confidence_now.unwrap() - 0.95).abs() < 1e-6);
    }

    #[test]
    fn where_no_number_of_pulls_does_the_reason_is_told() {
        let lot = normal(&[24.1, 23.7, 22.9, 24.6], &[]);
        assert_eq!(Claim::of(&lot, asked(24.0, 0.95)).plan, Plan::MeanBelow);
        assert_eq!(Claim::of(&lot, asked(23.0, 0.99)).plan, Plan::LotBelow);
        let z = quantile(0.95);
        let close = lot.mean_kn() - z * lot.sd_kn() * (1.0 + 1e-4);
        assert_eq!(Claim::of(&lot, asked(close, 0.95)).plan, Plan::TooMany);
        let ended = normal(&[24.1, 23.7, 22.9, 24.6], &[23.0]);
        assert_eq!(Claim::of(&ended, asked(22.0, 0.95)).plan, Plan::Ended);
        assert_eq!(Claim::of(&ended, asked(2.0, 0.95)).plan, Plan::Stands);
    }
}
