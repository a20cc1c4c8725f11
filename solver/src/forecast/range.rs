//! Ten thousand pulls on the cheap response, and what they come to.

use super::quantile::quantile;
use super::response::{Pull, Response};
use crate::strength::{Ends, FailureMode};
use rayon::prelude::*;

/// Number of draws: 5 % and 95 % of them are then known to about a quarter of a percent of chance.
pub const DRAWS: u32 = 10_000;
/// The seed: fixed, so that the same input gives the same answer.
pub const SEED: u64 = 0x70_75_6c_6c_6d_61_70;

/// How often a part fails first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chance {
    /// The part.
    pub what: FailureMode,
    /// Share of the draws, 0 to 1.
    pub chance: f64,
}

/// What one unknown does to the range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Matters {
    /// Index of the unknown; of those that are drawn together the first.
    pub unknown: usize,
    /// Its share of the variance of ln(highest load), of all unknowns taken one at a time, 0 to 1.
    pub share: f64,
}

/// What the draws come to.
#[derive(Clone, Debug, PartialEq)]
pub struct Range {
    /// Highest loads of the pulls, kN, rising.
    pub peak_kn: Vec<f64>,
    /// How often each part fails first, the likeliest first; those that never do are left out.
    pub chances: Vec<Chance>,
    /// How often a pull breaks, opens, or ends at the strap.
    pub ends: [(Ends, f64); 3],
    /// What matters, the most important unknown first.
    pub matters: Vec<Matters>,
}

impl Range {
    /// Draws `draws` pulls. The same seed gives the same pulls, whatever the number of threads.
    ///
    /// ```
    /// use solver::forecast::{Arm, Ending, Endings, Law, Range, Response};
    /// use solver::strength::{FailureMode, LimitKind};
    ///
    /// // One part that breaks at 20 kN, or at 18 to 22 kN over what is not known of it; a hook that holds 5 kN.
    /// let at = |kn: f64| Endings {
    ///     parts: vec![Ending { what: FailureMode::Lip, kind: LimitKind::Breaks, at_kn: Some(kn) }],
    ///     open_hook_kn: 5.0,
    /// };
    /// let law = Law::Even { low: -1.0, high: 1.0 };
    /// let arm = Arm { law, middle: 0.0, low: Some(at(18.0)), high: Some(at(22.0)), kinked: false };
    /// let range = Range::draw(&Response::new(&at(20.0), vec![arm]), 1000, 1);
    /// let [low, high] = [0.05, 0.95].map(|p| range.quantile_kn(p));
    /// assert!(low > 18.0 && low < 18.5 && high > 21.5 && high < 22.0);
    /// ```
    #[must_use]
    pub fn draw(response: &Response, draws: u32, seed: u64) -> Self {
        // What is drawn together counts as one: none of it does anything alone.
        let count = response.together_from().map_or(response.unknowns(), |from| from + 1);
        let of = |i: usize| if i + 1 == count { i..response.unknowns() } else { i..i + 1 };
        let middles = response.middles();
        let drawn: Vec<(Pull, Vec<f64>)> = (0..draws)
            .into_par_iter()
            .map(|draw| {
                let values = response.draw(draw, seed);
                // What each unknown does alone.
                let mut one = middles.clone();
                let alone = (0..count)
                    .map(|i| {
                        one[of(i)].copy_from_slice(&values[of(i)]);
                        let ln = response.pull(&one).peak_kn.max(f64::MIN_POSITIVE).ln();
                        one[of(i)].copy_from_slice(&middles[of(i)]);
                        ln
                    })
                    .collect();
                (response.pull(&values), alone)
            })
            .collect();
        let all = f64::from(draws.max(1));
        let mut peak_kn: Vec<f64> = drawn.iter().map(|d| d.0.peak_kn).collect();
        peak_kn.sort_unstable_by(f64::total_cmp);
        let share = |of: &dyn Fn(&Pull) -> bool| drawn.iter().filter(|d| of(&d.0)).count() as f64 / all;
        let mut chances: Vec<Chance> = response
            .names()
            .iter()
            .enumerate()
            .map(|(i, what)| Chance { what: *what, chance: share(&|p| p.first == i) })
            .filter(|c| c.chance > 0.0)
            .collect();
        chances.sort_by(|a, b| b.chance.total_cmp(&a.chance));
        let variances: Vec<f64> = (0..count).map(|i| variance(&drawn, i)).collect();
        let sum: f64 = variances.iter().sum();
        let mut matters: Vec<Matters> = variances
            .iter()
            .enumerate()
            .map(|(unknown, v)| Matters { unknown, share: if sum > 0.0 { v / sum } else { 0.0 } })
            .collect();
        matters.sort_by(|a, b| b.share.total_cmp(&a.share));
        let ends = [Ends::Breaks, Ends::Opens, Ends::Strap].map(|end| (end, share(&|p| p.ends == end)));
        Self { peak_kn, chances, ends, matters }
    }

    /// The load below which lies the chance `p` of the draws, kN.
    #[must_use]
    pub fn quantile_kn(&self, p: f64) -> f64 {
        quantile(&self.peak_kn, p)
    }

    /// Share of the draws that reach a load in kN.
    #[must_use]
    pub fn reaches(&self, kn: f64) -> f64 {
        let below = self.peak_kn.partition_point(|b| *b < kn);
        1.0 - below as f64 / self.peak_kn.len().max(1) as f64
    }
}

fn variance(drawn: &[(Pull, Vec<f64>)], unknown: usize) -> f64 {
    let count = drawn.len().max(1) as f64;
    let mean = drawn.iter().map(|d| d.1[unknown]).sum::<f64>() / count;
    drawn.iter().map(|d| (d.1[unknown] - mean).powi(2)).sum::<f64>() / count
}
