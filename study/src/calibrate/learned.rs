//! What is known of a constant after the pulls, beside what was assumed before.

use solver::forecast::{Calibration, Law};
use solver::strength::Constant;

/// A constant before and after the pulls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Learned {
    /// Which.
    pub constant: Constant,
    /// The value that 5 of 100 draws stay below before, the mean (of a factor the geometric one), and that of 95.
    pub before: [f64; 3],
    /// The same after.
    pub after: [f64; 3],
    /// The part of the variance that the pulls took, 0 to 1, on the scale that it is drawn on.
    pub told: f64,
}

impl Learned {
    /// Whether the pulls tell something of it by itself.
    #[must_use]
    pub fn is_told(&self) -> bool {
        self.told >= TOLD
    }
}

/// Two constants that the pulls do not tell apart: only together they are known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tied {
    /// Which two.
    pub pair: [Constant; 2],
    /// Their correlation, on the scales that they are drawn on.
    pub correlation: f64,
}

/// From this part of its variance on a constant counts as told.
const TOLD: f64 = 0.25;
/// From this correlation on two constants are said to be tied.
const TIED: f64 = 0.6;
/// The chances of the two ends that are told.
const ENDS: [f64; 2] = [0.05, 0.95];
/// Even draws of what is assumed, by which its variance is taken.
const EVEN: u32 = 2000;

pub(super) fn variance(values: &[f64]) -> f64 {
    let count = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / count;
    values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / count
}

/// The values of one constant.
fn of(drawn: &[Vec<f64>], index: usize) -> Vec<f64> {
    drawn.iter().map(|values| values[index]).collect()
}

/// Each constant before and after.
pub(super) fn learned(laws: &[Law], calibration: &Calibration) -> Vec<Learned> {
    let mean = calibration.mean();
    let each = Constant::ALL.iter().zip(laws);
    each.map(|(constant, law)| {
        let even: Vec<f64> = (0..EVEN).map(|i| law.value((f64::from(i) + 0.5) / f64::from(EVEN))).collect();
        let after: Vec<f64> =
            calibration.draws.iter().map(|draw| constant.scaled(draw.get(*constant))).collect();
        let told = (1.0 - variance(&after) / variance(&even)).clamp(0.0, 1.0);
        let [low, high] = ENDS.map(|p| calibration.quantile(*constant, p));
        let [before_low, before_high] = ENDS.map(|p| constant.value(law.value(p)));
        let before = constant.value(even.iter().sum::<f64>() / f64::from(EVEN));
        Learned {
            constant: *constant,
            before: [before_low, before, before_high],
            after: [low, mean.get(*constant), high],
            told,
        }
    })
    .collect()
}

/// Pairs that are tied, the closest first.
pub(super) fn tied(drawn: &[Vec<f64>]) -> Vec<Tied> {
    let columns: Vec<Vec<f64>> = (0..Constant::ALL.len()).map(|index| of(drawn, index)).collect();
    let correlation = |a: &[f64], b: &[f64]| {
        let count = a.len().max(1) as f64;
        let [a_mean, b_mean] = [a, b].map(|values| values.iter().sum::<f64>() / count);
        let together = a.iter().zip(b).map(|(a, b)| (a - a_mean) * (b - b_mean)).sum::<f64>() / count;
        together / (variance(a) * variance(b)).sqrt()
    };
    let mut all = Vec::new();
    for (i, a) in Constant::ALL.iter().enumerate() {
        for (j, b) in Constant::ALL.iter().enumerate().skip(i + 1) {
            let correlation = correlation(&columns[i], &columns[j]);
            if correlation.abs() >= TIED {
                all.push(Tied { pair: [*a, *b], correlation });
            }
        }
    }
    all.sort_by(|a, b| b.correlation.abs().total_cmp(&a.correlation.abs()));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_told_and_what_is_tied_is_that_of_the_draws() {
        let laws: Vec<Law> = super::super::prior();
        // Lip and strength run against each other on a tenth of their ranges; the others are as before.
        let drawn: Vec<Vec<f64>> = (0..1000)
            .map(|i| {
                let even = |times: f64| (f64::from(i) * times + 0.5) / 1000.0 % 1.0;
                let x = even(1.0);
                let mut values: Vec<f64> = laws
                    .iter()
                    .zip([1.0, 17.0, 37.0, 1.0, 91.0, 123.0])
                    .map(|(law, t)| law.value(even(t)))
                    .collect();
                values[0] = 0.1 * laws[0].value(x);
                values[3] = -0.1 * laws[3].value(x);
                values
            })
            .collect();
        let calibration =
            Calibration { draws: drawn.iter().map(|values| super::super::constants(values)).collect() };
        let found = learned(&laws, &calibration);
        assert!((found[0].told - 0.99).abs() < 0.002 && found[1].told < 0.01, "{found:?}");
        assert!((found[1].after[0] / found[1].before[0] - 1.0).abs() < 0.01);
        let pairs = tied(&drawn);
        assert_eq!(pairs.len(), 1, "{pairs:?}");
        assert!(pairs[0].pair == [Constant::Lip, Constant::Strength] && pairs[0].correlation < -0.999);
    }
}
