//! A lot taken as normal: its mean, its spread, and what may be claimed of it.

use super::likelihood_drop::{one_sided, two_sided};
use super::location_scale::{Family, Fit, NoMaximum};
use super::moments::Moments;
use super::pull::Lot;
use super::three_sigma::ThreeSigma;
use super::tolerance::{Bound, CONFIDENCE, SHARES, factor};

/// Figures of a normal lot.
///
/// Where every pull broke they are the textbook's, and the bounds are exact. Where some ended without a break mean and deviation
/// are those of the largest likelihood, to which such a pull adds that it would have held at least its peak, and the bounds those
/// where the likelihood has dropped by what is exact for the breaks alone: in drawn lots they hold as often as they claim, or more
/// often. The rating of three deviations is not told then: it is a rule for breaks, and a deviation of the likelihood has neither
/// n - 1 nor n.
#[derive(Clone, Debug, PartialEq)]
pub enum NormalLot {
    /// Every pull broke.
    Broke {
        /// Mean and deviations, kN.
        moments: Moments,
        /// From where to where the lot's mean may lie, with [`CONFIDENCE`], kN.
        mean_interval_kn: [f64; 2],
        /// Mean minus three deviations.
        three_sigma: ThreeSigma,
    },
    /// Some ended without a break.
    Censored {
        /// Likeliest mean, kN.
        mean_kn: f64,
        /// From where to where the lot's mean may lie, with [`CONFIDENCE`], kN.
        mean_interval_kn: [f64; 2],
        /// Likeliest standard deviation, kN: as that with n, smaller than that of the lot on average.
        sd_kn: f64,
    },
}

/// A lot taken as normal, ready to be asked for bounds.
#[derive(Clone, Debug)]
pub struct Normal {
    /// Its figures.
    pub figures: NormalLot,
    breaks: usize,
    fit: Fit,
}

impl Normal {
    /// Of a lot with at least two breaks that differ.
    ///
    /// # Errors
    /// There are none such.
    pub fn of(lot: &Lot) -> Result<Self, NoMaximum> {
        Self::of_loads(&lot.breaks_kn(), &lot.held_kn())
    }

    fn of_loads(broke_kn: &[f64], held_kn: &[f64]) -> Result<Self, NoMaximum> {
        let fit = Fit::new(Family::Normal, broke_kn, held_kn)?;
        let breaks = broke_kn.len();
        let drop = two_sided(breaks, CONFIDENCE).ok_or(NoMaximum::OneBreak)?;
        let mean_interval_kn = fit.around_location(drop).unwrap_or([f64::NEG_INFINITY, f64::INFINITY]);
        let figures = if held_kn.is_empty() {
            let moments = Moments::of(broke_kn).ok_or(NoMaximum::NoBreak)?;
            let three_sigma = ThreeSigma::of(&moments).ok_or(NoMaximum::OneBreak)?;
            NormalLot::Broke { moments, mean_interval_kn, three_sigma }
        } else {
            NormalLot::Censored { mean_kn: fit.location(), mean_interval_kn, sd_kn: fit.scale() }
        };
        Ok(Self { figures, breaks, fit })
    }

    /// The load that a share of the lot exceeds, with a confidence; none where it lies farther than numbers go.
    #[must_use]
    pub fn bound(&self, share: f64, confidence: f64) -> Option<Bound> {
        let kn = match &self.figures {
            NormalLot::Broke { moments, .. } => {
                moments.mean - factor(self.breaks, share, confidence)? * moments.sd?
            }
            NormalLot::Censored { .. } => {
                self.fit.lower(share, one_sided(self.breaks, share, confidence)?)?
            }
        };
        Some(Bound { share, confidence, kn })
    }

    /// The bounds that are told: for each of [`SHARES`], with [`CONFIDENCE`].
    #[must_use]
    pub fn bounds(&self) -> Vec<Bound> {
        SHARES.into_iter().filter_map(|share| self.bound(share, CONFIDENCE)).collect()
    }

    /// Mean, kN.
    #[must_use]
    pub fn mean_kn(&self) -> f64 {
        match &self.figures {
            NormalLot::Broke { moments, .. } => moments.mean,
            NormalLot::Censored { mean_kn, .. } => *mean_kn,
        }
    }

    /// From where to where the lot's mean may lie, kN.
    #[must_use]
    pub fn mean_interval_kn(&self) -> [f64; 2] {
        match &self.figures {
            NormalLot::Broke { mean_interval_kn, .. } | NormalLot::Censored { mean_interval_kn, .. } => {
                *mean_interval_kn
            }
        }
    }

    /// Standard deviation, kN: with n - 1, or the likeliest where pulls ended without a break.
    #[must_use]
    pub fn sd_kn(&self) -> f64 {
        match &self.figures {
            NormalLot::Broke { moments, .. } => moments.sd.unwrap_or(moments.sd_of_these),
            NormalLot::Censored { sd_kn, .. } => *sd_kn,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::drawn::Draws;
    use super::super::normal_curve::quantile;
    use super::*;

    #[test]
    fn an_ended_pull_is_no_break_and_never_lowers_what_is_claimed_below_what_it_would_as_one() {
        let broke = [24.1, 23.7, 22.9, 25.2];
        let alone = Normal::of_loads(&broke, &[]).unwrap();
        let with = Normal::of_loads(&broke, &[21.5]).unwrap();
        let as_a_break = Normal::of_loads(&[24.1, 23.7, 22.9, 25.2, 21.5], &[]).unwrap();
        // Held at 21.5: hardly news. Broken there: a weaker and wider lot.
        assert!(
            (with.mean_kn() - alone.mean_kn()).abs() < 0.05 && as_a_break.mean_kn() < alone.mean_kn() - 0.3
        );
        assert!(matches!(with.figures, NormalLot::Censored { .. }));
        // Held higher, the lot is taken for stronger.
        let higher = Normal::of_loads(&broke, &[26.5]).unwrap();
        assert!(higher.mean_kn() > with.mean_kn());
    }

    #[test]
    fn the_likeliest_mean_and_deviation_solve_their_equations() {
        // Tobin 1958: with hazard h at each ended pull, sum of z over breaks plus sum of h is zero, and so on.
        let (broke, held) = ([24.1, 23.7, 22.9, 25.2], [23.0, 24.5]);
        let lot = Normal::of_loads(&broke, &held).unwrap();
        let (mean, sd) = (lot.mean_kn(), lot.sd_kn());
        let z = |kn: &f64| (kn - mean) / sd;
        let h = |kn: &f64| super::super::normal_curve::hazard(z(kn));
        let first: f64 = broke.iter().map(z).sum::<f64>() + held.iter().map(h).sum::<f64>();
        let second: f64 = broke.iter().map(|kn| z(kn).powi(2) - 1.0).sum::<f64>()
            + held.iter().map(|kn| z(kn) * h(kn)).sum::<f64>();
        assert!(first.abs() < 1e-9 && second.abs() < 1e-9, "{first} {second}");
    }

    /// How a pull ends before it breaks.
    #[derive(Clone, Copy, Debug)]
    enum Ends {
        /// At one load, above which a share of the lot breaks.
        At(f64),
        /// At a load drawn for it as breaks are, in so many of all pulls.
        Drawn(f64),
    }

    /// The part of so many drawn lots whose bound lies low enough.
    fn coverage(lots: usize, count: usize, ends: Ends) -> f64 {
        let mut draws = Draws::new(7);
        let (mut held_low, mut judged) = (0.0, 0.0);
        let truth = 24.0 - quantile(0.95);
        for _ in 0..lots {
            let (mut broke, mut held) = (Vec::new(), Vec::new());
            for _ in 0..count {
                let load = 24.0 + draws.normal();
                let end = match ends {
                    Ends::At(share) => 24.0 - quantile(share),
                    Ends::Drawn(share) if draws.share() < share => 24.0 + draws.normal(),
                    Ends::Drawn(_) => f64::INFINITY,
                };
                if end < load { held.push(end) } else { broke.push(load) }
            }
            if let Ok(lot) = Normal::of_loads(&broke, &held) {
                judged += 1.0;
                held_low += f64::from(u8::from(lot.bound(0.95, 0.95).is_none_or(|bound| bound.kn <= truth)));
            }
        }
        held_low / judged
    }

    #[test]
    fn bounds_hold_as_often_as_they_claim_with_pulls_that_ended_early() {
        for (count, ends) in [
            (5, Ends::At(0.25)),
            (20, Ends::At(0.25)),
            (20, Ends::At(0.6)),
            (5, Ends::Drawn(0.5)),
            (20, Ends::Drawn(0.5)),
        ] {
            let part = coverage(500, count, ends);
            assert!((0.92..=1.0).contains(&part), "{count} {ends:?}: {part}");
        }
    }
}
