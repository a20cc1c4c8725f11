//! What speaks against a calibration.

use super::held_out::HeldOut;
use super::learned::Learned;
use solver::forecast::Law;
use solver::strength::Constant;

/// A pull that is a slip with this chance or more is taken for one.
const SLIP: f64 = 0.5;
/// One slip is nothing; of more than this part of the pulls, the constants are not what they tell of.
const MANY_SLIPS: f64 = 0.15;
/// A place that is that of the break with less than this chance is another one.
const ELSEWHERE: f64 = 0.3;
/// Of more than this part of the places that were told, they contradict the calibration.
const MANY_ELSEWHERE: f64 = 0.4;
/// The middle of a constant this near to an end of what was assumed, as a part of it, stands there.
const NEAR: f64 = 0.12;
/// With fewer pulls nothing is said of how they go together.
const ENOUGH: usize = 4;
/// The mean gain below which the pulls do not go together.
const HARM: f64 = -0.05;

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
    /// Whether each pull is less likely by what the others say than without a calibration.
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
        let elsewhere =
            numbers(&|pull| pull.slip <= SLIP && pull.found_there.is_some_and(|chance| chance < ELSEWHERE));
        let at_an_end = learned.iter().zip(laws).filter_map(|(one, law)| {
            // Even ones reach their ends as a rule.
            let Law::Normal { low, high, .. } = *law else { return None };
            let middle = one.constant.scaled(one.after[1]);
            let part = (middle - low) / (high - low);
            (!(NEAR..=1.0 - NEAR).contains(&part)).then_some((one.constant, part > 0.5))
        });
        let gains: Vec<f64> = held_out.limits().filter_map(|pull| pull.gain).collect();
        let harms = gains.len() >= ENOUGH && gains.iter().sum::<f64>() < HARM * gains.len() as f64;
        Self {
            many_slips: slips.len() > 1 && slips.len() as f64 > MANY_SLIPS * held_out.pulls.len() as f64
                || slips.len() == held_out.pulls.len(),
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
