//! The trade's rating: mean minus three standard deviations, and the confidence that it really has.

use super::moments::Moments;
use super::tolerance::{SHARES, confidence};

/// Standard deviations that the rating lies below the mean.
const SIGMAS: f64 = 3.0;

/// Breaks that the trade's procedure asks for at least (trade text "Three Sigma Rating System").
pub const BREAKS_ASKED: usize = 5;

/// A rating.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// The load, kN.
    pub kn: f64,
    /// The confidence that each of [`SHARES`] of the lot exceeds it, whatever mean and deviation the lot has.
    pub confidence: [f64; 3],
}

/// The rating by either standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThreeSigma {
    /// By that with n - 1.
    pub by_sd: Rating,
    /// By that with n.
    pub by_sd_of_these: Rating,
}

impl ThreeSigma {
    /// Of at least two pulls that broke; none of fewer.
    #[must_use]
    pub fn of(moments: &Moments) -> Option<Self> {
        let sd = moments.sd?;
        let n = moments.count as f64;
        let rating = |k: f64| {
            let [a, b, c] = SHARES.map(|share| confidence(moments.count, share, k));
            Some(Rating { kn: moments.mean - k * sd, confidence: [a?, b?, c?] })
        };
        Some(Self { by_sd: rating(SIGMAS)?, by_sd_of_these: rating(SIGMAS * ((n - 1.0) / n).sqrt())? })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moments(count: usize, mean: f64, sd: f64) -> Moments {
        let n = count as f64;
        let sd_of_these = sd * ((n - 1.0) / n).sqrt();
        Moments { count, mean, sd: Some(sd), sd_of_these, min: mean, max: mean }
    }

    #[test]
    fn the_trades_example_is_met() {
        // Trade text "Three Sigma Rating System", from memory: 20 parts, mean 6000 lbf, deviation 100 lbf: rated 5700.
        let found = ThreeSigma::of(&moments(20, 6000.0, 100.0)).unwrap();
        assert_eq!(found.by_sd.kn, 5700.0);
        assert!(found.by_sd_of_these.kn > found.by_sd.kn);
        let of_these = moments(20, 6000.0, 100.0).sd_of_these;
        assert!((found.by_sd_of_these.kn - (6000.0 - 3.0 * of_these)).abs() < 1e-9);
    }

    #[test]
    fn the_rating_has_the_confidence_that_the_non_central_t_gives() {
        // Derived by the non-central t; independently recalculated. 95, 99 and 99.865 % of the lot.
        for (count, told) in [
            (3, [0.729, 0.551, 0.380]),
            (5, [0.854, 0.653, 0.416]),
            (10, [0.958, 0.775, 0.445]),
            (20, [0.995, 0.885, 0.462]),
        ] {
            let found = ThreeSigma::of(&moments(count, 24.0, 0.7)).unwrap();
            for (confidence, told) in found.by_sd.confidence.into_iter().zip(told) {
                assert!((confidence - told).abs() <= 1e-3, "{count}: {confidence} for {told}");
            }
            let less = found.by_sd.confidence.into_iter().zip(found.by_sd_of_these.confidence);
            assert!(less.into_iter().all(|(sd, of_these)| of_these < sd));
        }
        assert_eq!(ThreeSigma::of(&Moments::of(&[24.0]).unwrap()), None);
    }
}
