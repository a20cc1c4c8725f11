//! One-sided tolerance bounds of a normal lot: exact, by the non-central t distribution.
//!
//! Mean and standard deviation (n - 1) of n pulls are known, those of the lot are not. Mean minus k standard deviations lies below
//! the load that a share p of the lot exceeds with the chance that a non-central t of n - 1 degrees of freedom, shifted by z_p
//! times the root of n, stays below k times the root of n (ISO 16269-6; NIST e-Handbook 7.2.6.3).

use super::normal_curve::quantile;
use super::root;
use super::student::non_central_below;

/// Share of a normal lot above its mean minus three standard deviations, 99.865 %.
pub const ABOVE_THREE_SIGMA: f64 = 0.998_650_101_968_37;

/// Shares that bounds are told for.
pub const SHARES: [f64; 3] = [0.95, 0.99, ABOVE_THREE_SIGMA];

/// Confidence that bounds and intervals are told with.
pub const CONFIDENCE: f64 = 0.95;

/// A load that a share of the lot exceeds, with a confidence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// Share of the lot.
    pub share: f64,
    /// Confidence: of so many lots that are judged so, the bound lies low enough.
    pub confidence: f64,
    /// The load, kN; below zero where so few pulls allow no load to be told.
    pub kn: f64,
}

/// The chance that mean minus k standard deviations (n - 1) of `count` pulls lies below the load that `share` of the lot exceeds;
/// none of fewer than two pulls.
#[must_use]
pub fn confidence(count: usize, share: f64, k: f64) -> Option<f64> {
    let n = count as f64;
    (count > 1).then(|| non_central_below(k * n.sqrt(), n - 1.0, quantile(share) * n.sqrt()))
}

/// How many standard deviations (n - 1) below the mean of `count` pulls the bound lies; none of fewer than two pulls.
#[must_use]
pub fn factor(count: usize, share: f64, confident: f64) -> Option<f64> {
    let from = quantile(share);
    let off = |k: f64| confidence(count, share, k).map_or(f64::NAN, |found| found - confident);
    let step = 2.0 / (count as f64).sqrt();
    root::outward(off, from, if off(from) < 0.0 { step } else { -step })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::statistics::normal_curve::below;

    #[test]
    fn factors_are_those_of_the_tables() {
        // ISO 16269-6; NIST e-Handbook 7.2.6.3; digits from memory, recalculated. Confidence 95 %.
        let counts = [3, 5, 6, 10, 20, 30];
        for (share, factors) in [
            (0.90, [6.155, 3.407, 3.006, 2.355, 1.926, 1.777]),
            (0.95, [7.656, 4.203, 3.708, 2.911, 2.396, 2.220]),
            (0.99, [10.553, 5.741, 5.062, 3.981, 3.295, 3.064]),
            (ABOVE_THREE_SIGMA, [13.465, 7.293, 6.428, 5.058, 4.197, 3.909]),
        ] {
            for (count, k) in counts.into_iter().zip(factors) {
                let found = factor(count, share, 0.95).unwrap();
                assert!((found - k).abs() <= 5e-4, "{count} {share}: {found} for {k}");
            }
        }
        // NIST e-Handbook 7.2.6.3, from memory and recalculated: 43 values, cover 90 %, confidence 99 %.
        let found = factor(43, 0.90, 0.99).unwrap();
        assert!((found - 1.8740).abs() <= 5e-4, "{found}");
    }

    #[test]
    fn a_factor_gives_its_confidence_and_falls_with_more_pulls() {
        let mut last = f64::INFINITY;
        for count in [2, 3, 7, 50, 800, 5_000, 100_000] {
            let k = factor(count, 0.99, 0.95).unwrap();
            assert!((confidence(count, 0.99, k).unwrap() - 0.95).abs() < 1e-10, "{count}");
            assert!(k < last && k > quantile(0.99), "{count}: {k}");
            last = k;
        }
        assert!((last - quantile(0.99)).abs() < 0.015);
        assert!((below(3.0) - ABOVE_THREE_SIGMA).abs() < 1e-14);
        assert_eq!((factor(1, 0.95, 0.95), confidence(1, 0.95, 3.0)), (None, None));
    }
}
