//! Each pull as the other pulls forecast it, beside the forecast that knows of none.
//!
//! What the other pulls say follows from the draws of all of them, each weighed by one over how likely it makes the pull (A. Gelfand,
//! D. Dey, H. Chang, "Model determination using predictive distributions", 1992). Where few draws carry that weight, nothing is said.

use super::learned::variance;
use super::observed::Observed;
use super::sampler::counting;
use super::setup::{Expected, Setup};
use rayon::prelude::*;
use solver::forecast::{Counter, Law, SEED};
use solver::strength::{Constant, Constants};

/// So many draws must count.
const ENOUGH: f64 = 30.0;
/// Draws of the forecast that knows of no pull.
const BEFORE: u32 = 64;
/// A mean gain of less is none: engineering judgement.
const LITTLE: f64 = 0.05;
/// From so many pulls on it is told that they scatter less than they are taken to: where their chances, which would be even, with a standard
/// deviation of 0.289, deviate by less than two thirds of that.
const MANY: usize = 10;
const NARROW: f64 = 0.19;
/// Between these chances lies what 90 of 100 pulls do.
const WITHIN: [f64; 2] = [0.05, 0.95];

/// A pull beside two forecasts of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// What it is known by.
    pub number: i64,
    /// Whether the connector broke or opened.
    pub is_limit: bool,
    /// The chance of a lower peak by the forecast that knows of no pull.
    pub before: f64,
    /// The same by that which knows of the other pulls; none where too few draws count.
    pub after: Option<f64>,
    /// The logarithm of how much likelier the latter makes it.
    pub gain: Option<f64>,
    /// The chance that it is a slip, by the draws after all pulls.
    pub slip: f64,
    /// The chance that a pull of that peak is found broken where this one was, by the same; none where no place was told.
    pub found_there: Option<f64>,
}

/// What the pulls say of a calibration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Verdict {
    /// How many that broke or opened could be judged.
    pub judged: usize,
    /// How many of their peaks lie in the range of 90 % before, and after.
    pub within: [usize; 2],
    /// The mean logarithm of how much likelier the others make them.
    pub gain: f64,
    /// What that comes to.
    pub is: Helps,
    /// Whether they scatter less than pulls are taken to.
    pub scatter_less: bool,
}

/// Whether pulls are likelier by what the others say than without a calibration.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Helps {
    /// They are.
    Likelier,
    /// They are about as likely.
    AsBefore,
    /// They are less likely.
    LessLikely,
}

/// All pulls so.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldOut {
    /// Each, in the order of the setups.
    pub pulls: Vec<Judged>,
}

impl Judged {
    /// Whether it lies in the range of 90 % before, and after.
    #[must_use]
    pub fn within(&self) -> [bool; 2] {
        [Some(self.before), self.after]
            .map(|chance| chance.is_some_and(|chance| (WITHIN[0]..=WITHIN[1]).contains(&chance)))
    }
}

impl HeldOut {
    /// Judges the pulls of setups by the draws after all of them.
    pub(super) fn of(setups: &[Setup], drawn: &[Vec<f64>]) -> Self {
        let pulls = setups.iter().flat_map(|setup| {
            let before = expected(setup, &as_assumed());
            let after = expected(setup, drawn);
            let each = setup.pulls.iter().enumerate();
            let judged: Vec<Judged> =
                each.map(|(index, pull)| judged(pull, &of(&before, index), &of(&after, index))).collect();
            judged
        });
        Self { pulls: pulls.collect() }
    }

    /// What those that broke or opened say of the calibration, where more than one could be judged.
    #[must_use]
    pub fn verdict(&self) -> Option<Verdict> {
        let judged: Vec<&Judged> =
            self.pulls.iter().filter(|pull| pull.is_limit && pull.after.is_some()).collect();
        let count = judged.len();
        if count < 2 {
            return None;
        }
        let gain = judged.iter().filter_map(|pull| pull.gain).sum::<f64>() / count as f64;
        let within = [0, 1].map(|after| judged.iter().filter(|pull| pull.within()[after]).count());
        let chances: Vec<f64> = judged.iter().filter_map(|pull| pull.after).collect();
        Some(Verdict {
            judged: count,
            within,
            gain,
            is: match gain {
                gain if gain > LITTLE => Helps::Likelier,
                gain if gain < -LITTLE => Helps::LessLikely,
                _ => Helps::AsBefore,
            },
            scatter_less: count >= MANY && variance(&chances).sqrt() < NARROW,
        })
    }
}

/// The constants as a forecast without calibration draws them: two of them as they may be, the others as computed and entered.
pub(super) fn as_assumed() -> Vec<Vec<f64>> {
    let laws: Vec<Law> = super::prior();
    let counter = Counter::new(SEED);
    let all = (0..BEFORE).map(|draw| {
        let each = Constant::ALL.iter().zip(&laws).zip(0..);
        each.map(|((of, law), unknown)| match of {
            Constant::Flow | Constant::Press => law.value(counter.even(draw, unknown)),
            _ => of.scaled(Constants::default().get(*of)),
        })
        .collect()
    });
    all.collect()
}

/// What every pull of a setup is, under each of these constants.
fn expected(setup: &Setup, constants: &[Vec<f64>]) -> Vec<Vec<Expected>> {
    let each = constants.par_iter().map(|constants| {
        let ends = setup.ends(constants);
        setup.pulls.iter().map(|pull| setup.expected(pull, &ends)).collect()
    });
    each.collect()
}

fn of(expected: &[Vec<Expected>], pull: usize) -> Vec<Expected> {
    expected.iter().map(|at| at[pull]).collect()
}

fn judged(pull: &Observed, before: &[Expected], after: &[Expected]) -> Judged {
    let mean = |of: &dyn Fn(&Expected) -> f64, all: &[Expected]| {
        all.iter().map(of).sum::<f64>() / all.len().max(1) as f64
    };
    let weights: Vec<f64> = after.iter().map(|at| 1.0 / at.likelihood).collect();
    let sum: f64 = weights.iter().sum();
    let enough = counting(&weights) >= ENOUGH.min(0.3 * after.len() as f64);
    let below = after.iter().zip(&weights).map(|(at, weight)| weight * at.below).sum::<f64>() / sum;
    let likely = after.len() as f64 / sum;
    Judged {
        number: pull.number,
        is_limit: pull.is_limit,
        before: mean(&|at| at.below, before),
        after: enough.then_some(below),
        gain: enough.then(|| (likely / mean(&|at| at.likelihood, before)).ln()),
        slip: mean(&|at| at.slip, after),
        found_there: pull.place.map(|_| mean(&|at| at.found_there.unwrap_or(0.0), after)),
    }
}
