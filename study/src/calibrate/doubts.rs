//! What speaks against a calibration.

use super::held_out::{HeldOut, Helps};
use super::learned::Learned;
use solver::forecast::Law;
use solver::strength::Constant;

/// A pull that is a slip with this chance or more is taken for one.
const SLIP: f64 = 0.5;
/// One slip is nothing; of more than this part of the pulls, the constants are not what they tell of.
const MANY_SLIPS: f64 = 0.15;
/// A place that is that of the break with less than this chance is another one.
const HARDLY_THERE: f64 = 0.3;
/// Of more than this part of the places that were told, they contradict the calibration.
const MANY_ELSEWHERE: f64 = 0.4;
/// A constant of which 5 of 100 draws are this near to an end of what was assumed, and the middle so near, stands there: as parts of it.
const AT: f64 = 0.03;
const NEAR: f64 = 0.2;
/// With fewer pulls nothing is said of how they go together.
const ENOUGH: usize = 4;

/// What speaks against a calibration.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Doubts {
    /// Pulls that no constants within what is assumed explain, in order.
    pub slips: Vec<i64>,
    /// Pulls that were found broken elsewhere than where the calibrated forecast has them break, in order.
    pub elsewhere: Vec<i64>,
    /// Whether these are many.
    pub places_contradict: bool,
    /// Constants that stand at an end of what was assumed: whether at the high one.
    pub at_an_end: Vec<(Constant, bool)>,
    /// Whether the pulls are less likely on average by what the others say than without a calibration.
    pub harms: bool,
    /// Whether so many pulls are slips that nothing is learnt.
    pub many_slips: bool,
}

impl Doubts {
    pub(super) fn of(held_out: &HeldOut, learned: &[Learned], laws: &[Law]) -> Self {
        let numbers = |is: &dyn Fn(&super::Judged) -> bool| {
            let mut all: Vec<i64> = held_out.pulls.iter().filter(|p| is(p)).map(|p| p.number).collect();
            all.sort_unstable();
            all
        };
        let slips = numbers(&|pull| pull.slip > SLIP);
        let told = held_out.pulls.iter().filter(|pull| pull.found_there.is_some()).count();
        let elsewhere = numbers(&|pull| {
            pull.slip <= SLIP && pull.found_there.is_some_and(|chance| chance < HARDLY_THERE)
        });
        let at_an_end = learned.iter().zip(laws).filter_map(|(one, law)| {
            // Even ones reach their ends as a rule.
            let Law::Normal { low, high, .. } = *law else { return None };
            let [from, middle, to] = one.after.map(|value| (one.constant.scaled(value) - low) / (high - low));
            let is_low = from < AT && middle < NEAR;
            let is_high = to > 1.0 - AT && middle > 1.0 - NEAR;
            (is_low || is_high).then_some((one.constant, is_high))
        });
        let many = |is_limit: bool| {
            let of = held_out.pulls.iter().filter(|pull| pull.is_limit == is_limit);
            let (all, slips) =
                of.fold((0, 0), |(all, slips), p| (all + 1, slips + usize::from(p.slip > SLIP)));
            slips > 1 && slips as f64 > MANY_SLIPS * f64::from(all)
                || is_limit && slips > 0 && slips == all as usize
        };
        let harms =
            held_out.verdict().is_some_and(|found| found.judged >= ENOUGH && found.is == Helps::LessLikely);
        Self {
            many_slips: many(true) || many(false),
            places_contradict: elsewhere.len() > 1 && elsewhere.len() as f64 > MANY_ELSEWHERE * told as f64,
            at_an_end: at_an_end.collect(),
            harms,
            slips,
            elsewhere,
        }
    }

    /// Whether it may be kept: the pulls go together under one set of constants.
    #[must_use]
    pub fn allow(&self) -> bool {
        !self.many_slips && !self.harms && !self.places_contradict
    }
}
