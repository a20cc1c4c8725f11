//! How an unknown is spread.

use super::normal::{normal_cumulative, normal_quantile};

/// Where the values of an unknown lie, in its own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// A normal distribution that is cut off at both ends of a range.
    Normal {
        /// Its middle.
        middle: f64,
        /// Its standard deviation before cutting, above zero.
        sigma: f64,
        /// Where it is cut off below.
        low: f64,
        /// Where it is cut off above.
        high: f64,
    },
    /// Every value of a range is as likely as any other.
    Even {
        /// Where the range begins.
        low: f64,
        /// Where it ends.
        high: f64,
    },
}

/// Standard deviation of a normal law that is cut off at two of its deviations, over that deviation:
/// sqrt(1 - 2 * 2 * phi(2) / (2 Phi(2) - 1)).
const CUT_AT_TWO: f64 = 0.879_625_661_034_239_8;

impl Law {
    /// "Middle, this much more or less": normal, two standard deviations either way and nothing beyond.
    #[must_use]
    pub fn plus_minus(middle: f64, by: f64) -> Self {
        Self::Normal { middle, sigma: 0.5 * by, low: middle - by, high: middle + by }
    }

    /// A stated standard deviation: normal, cut off at two deviations of the uncut law, which is drawn wider by as much as the
    /// cut narrows it. What is drawn then scatters as stated.
    #[must_use]
    pub fn deviating(middle: f64, deviation: f64) -> Self {
        Self::plus_minus(middle, 2.0 * deviation / CUT_AT_TWO)
    }

    /// The ends of the range.
    #[must_use]
    pub fn ends(self) -> [f64; 2] {
        match self {
            Self::Normal { low, high, .. } | Self::Even { low, high } => [low, high],
        }
    }

    /// The same law on a narrower range.
    #[must_use]
    pub fn cut_to(self, [from, to]: [f64; 2]) -> Self {
        match self {
            Self::Normal { middle, sigma, low, high } => {
                Self::Normal { middle, sigma, low: low.max(from), high: high.min(to) }
            }
            Self::Even { low, high } => Self::Even { low: low.max(from), high: high.min(to) },
        }
    }

    /// The value below which lies the chance `p`, 0 to 1.
    #[must_use]
    pub fn value(self, p: f64) -> f64 {
        match self {
            Self::Even { low, high } => low + p * (high - low),
            Self::Normal { middle, sigma, low, high } => {
                let below = |x: f64| normal_cumulative((x - middle) / sigma);
                let (from, to) = (below(low), below(high));
                (middle + sigma * normal_quantile(from + p * (to - from))).clamp(low, high)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn laws_keep_their_range_and_middle() {
        let law = Law::plus_minus(10.0, 2.0);
        assert!((law.value(0.5) - 10.0).abs() < 1e-9);
        assert_eq!(law.ends(), [8.0, 12.0]);
        assert!((law.value(0.0) - 8.0).abs() < 1e-9 && (law.value(1.0) - 12.0).abs() < 1e-9);
        // Cut at two standard deviations: a chance of 0.841 345 of the whole is (0.841 345 - 0.022 750) / 0.954 500.
        assert!((law.value((0.841_344_746 - 0.022_750_132) / 0.954_499_736) - 11.0).abs() < 1e-8);
        assert_eq!(Law::Even { low: 2.0, high: 4.0 }.value(0.25), 2.5);
        // A stated deviation is the one that even draws have.
        let stated = Law::deviating(1.0, 0.04);
        let draws = (0..20_000).map(|i| stated.value((f64::from(i) + 0.5) / 20_000.0) - 1.0);
        let deviation = (draws.map(|d| d * d).sum::<f64>() / 20_000.0).sqrt();
        assert!((deviation / 0.04 - 1.0).abs() < 1e-4, "{deviation}");
        let cut = law.cut_to([9.5, 30.0]);
        assert_eq!(cut.ends(), [9.5, 12.0]);
        assert!(cut.value(1e-9) >= 9.5);
    }
}
