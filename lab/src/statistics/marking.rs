//! How believable a marking is by few pulls, down to one, where the spread of the lot is taken as known.
//!
//! The lot is taken as normal with a standard deviation that is a stated part v of its mean. If just a share p of it held the marking M,
//! its mean would be M / (1 - z_p v). The chance that so many pulls of that lot would have a lower mean than was found is the
//! confidence that at least p of the lot holds the marking; it equals the chance of that after the pulls, when every mean was as
//! likely before. It rises with each peak, so a pull that ended without a break may stand in it with the load that it was ended at:
//! the confidence is then at least what is told.

use super::moments::{Moments, sum};
use super::normal_curve::{below, quantile};
use super::pull::Lot;
use super::tolerance::{CONFIDENCE, SHARES};
use statrs::function::gamma::checked_gamma_ur;

/// The part of its mean that a lot's standard deviation is taken for, and from where to where it may lie: engineering judgement.
pub const SPREADS: [f64; 3] = [0.02, 0.04, 0.08];

/// The least and the most that may be stated for it.
pub const SPREADS_ALLOWED: [f64; 2] = [0.005, 0.25];

/// What the pulls say of a marking.
#[derive(Clone, Debug, PartialEq)]
pub struct Belief {
    /// The marking, kN.
    pub marking_kn: f64,
    /// Mean of all peaks, kN: those of pulls that ended without a break as they are.
    pub mean_kn: f64,
    /// Whether pulls ended without a break, so that each confidence is at least what it is.
    pub at_least: bool,
    /// How many pulls broke below the marking.
    pub broke_below: usize,
    /// For each spread.
    pub by_spread: Vec<BySpread>,
    /// Standard deviation of the breaks (n - 1) over their mean; none of fewer than two.
    pub found_spread: Option<f64>,
}

/// What the pulls say where the spread is so large.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BySpread {
    /// Standard deviation of the lot over its mean.
    pub spread: f64,
    /// The confidence that at least each of [`SHARES`] of the lot holds the marking.
    pub confidence: [f64; 3],
    /// With [`CONFIDENCE`] no larger share of the lot lies below the marking.
    pub share_below: f64,
    /// How the breaks speak against the spread, where they do: fewer than 5 in 100 lots that have it would so.
    pub against: Option<Against>,
}

/// How breaks speak against a spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// They lie farther apart.
    Wider,
    /// They lie closer together.
    Closer,
}

impl Belief {
    /// Of a marking by the pulls of a lot, with the usual spreads or one that is stated.
    #[must_use]
    pub fn of(lot: &Lot, marking_kn: f64, stated: Option<f64>) -> Self {
        let spreads = stated.map_or_else(|| SPREADS.to_vec(), |spread| vec![spread]);
        let n = lot.count() as f64;
        let mean_kn = sum(lot.pulls().iter().map(|pull| pull.peak_kn)) / n;
        let over = mean_kn / marking_kn;
        let breaks = lot.breaks_kn();
        let at_least = breaks.len() < lot.count();
        let moments = Moments::of(&breaks);
        let found_spread = moments.and_then(|moments| moments.coefficient_of_variation());
        let by_spread = spreads.into_iter().map(|spread| {
            let confidence = SHARES.map(|share| {
                let mean = 1.0 / (1.0 - quantile(share) * spread);
                below(n.sqrt() * (over - mean) / (spread * mean))
            });
            // The same turned round: z of the share that is held with the confidence.
            let z = ((over - 1.0) / spread - quantile(CONFIDENCE) / n.sqrt()) / over;
            let against =
                found_spread.and_then(|found| speaks_against(breaks.len(), found / spread, at_least));
            BySpread { spread, confidence, share_below: below(-z), against }
        });
        Self {
            marking_kn,
            mean_kn,
            at_least,
            broke_below: breaks.iter().filter(|kn| **kn < marking_kn).count(),
            by_spread: by_spread.collect(),
            found_spread,
        }
    }
}

/// Whether a deviation so many times the stated one is rare, by the chi-square distribution, 2.5 % on either side. Where pulls ended
/// without a break the breaks lie closer together than the lot does: then only what is wider tells.
fn speaks_against(breaks: usize, times: f64, ended: bool) -> Option<Against> {
    let half_df = 0.5 * (breaks as f64 - 1.0);
    // None of breaks that are all equal: what was rounded off tells nothing.
    let beyond = checked_gamma_ur(half_df, half_df * times * times).ok()?;
    let rare = 0.5 * (1.0 - CONFIDENCE);
    match () {
        () if beyond < rare => Some(Against::Wider),
        () if beyond > 1.0 - rare && !ended => Some(Against::Closer),
        () => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::drawn::Draws;
    use super::super::pull::Pull;
    use super::*;

    fn lot(broke: &[f64], held: &[f64]) -> Lot {
        let pulls =
            |peaks: &[f64], broke| peaks.iter().map(move |kn| Pull::new(*kn, broke)).collect::<Vec<_>>();
        Lot::new([pulls(broke, true), pulls(held, false)].concat()).unwrap()
    }

    #[test]
    fn one_pull_at_the_mean_of_a_lot_that_just_holds_leaves_it_even() {
        let v = 0.04;
        let just = 22.0 / (1.0 - quantile(0.95) * v);
        let found = Belief::of(&lot(&[just], &[]), 22.0, Some(v));
        assert!((found.by_spread[0].confidence[0] - 0.5).abs() < 1e-12, "{found:?}");
        assert_eq!((found.broke_below, found.at_least, found.by_spread.len()), (0, false, 1));
        // The larger the share asked for, the less confidence.
        let [a, b, c] = found.by_spread[0].confidence;
        assert!(a > b && b > c);
    }

    #[test]
    fn the_share_below_goes_with_the_confidence() {
        for peaks in [vec![24.0], vec![24.0, 25.1, 26.0], vec![21.0, 20.4]] {
            for v in SPREADS {
                let found = Belief::of(&lot(&peaks, &[]), 22.0, Some(v)).by_spread[0];
                let share = 1.0 - found.share_below;
                let mean = 1.0 / (1.0 - quantile(share) * v);
                let n = peaks.len() as f64;
                let over = peaks.iter().sum::<f64>() / n / 22.0;
                let confidence = below(n.sqrt() * (over - mean) / (v * mean));
                assert!((confidence - 0.95).abs() < 1e-9, "{peaks:?} {v}: {confidence}");
            }
        }
    }

    #[test]
    fn a_lot_that_just_does_not_hold_is_believed_no_more_often_than_told() {
        let (v, marking) = (0.04, 22.0);
        let mean = marking / (1.0 - quantile(0.95) * v);
        let mut draws = Draws::new(3);
        let lots = 4000;
        let believed = (0..lots).filter(|_| {
            let peaks: Vec<f64> = (0..3).map(|_| mean * (1.0 + v * draws.normal())).collect();
            Belief::of(&lot(&peaks, &[]), marking, Some(v)).by_spread[0].confidence[0] >= 0.9
        });
        let part = believed.count() as f64 / f64::from(lots);
        assert!((part - 0.1).abs() < 0.015, "{part}");
    }

    #[test]
    fn ended_pulls_bound_from_below_and_breaks_below_the_marking_are_counted() {
        let by = |broke: &[f64], held: &[f64]| Belief::of(&lot(broke, held), 22.0, None);
        let found = by(&[24.0, 21.9], &[21.0]);
        assert_eq!((found.at_least, found.broke_below, found.by_spread.len()), (true, 1, 3));
        let higher = by(&[24.0, 21.9], &[23.0]);
        for (a, b) in found.by_spread.iter().zip(&higher.by_spread) {
            assert!(a.confidence.iter().zip(b.confidence).all(|(a, b)| *a < b));
        }
    }

    #[test]
    fn breaks_speak_against_a_spread_that_is_not_theirs() {
        let by = |broke: &[f64], held: &[f64], stated| Belief::of(&lot(broke, held), 22.0, stated);
        let against = |broke: &[f64], held: &[f64], stated| -> Vec<Option<Against>> {
            by(broke, held, stated).by_spread.iter().map(|by| by.against).collect()
        };
        assert_eq!(against(&[24.0, 25.0, 24.5], &[], None), [None; 3]);
        assert_eq!((against(&[24.0], &[], None), by(&[24.0], &[], None).found_spread), (vec![None; 3], None));
        assert_eq!(against(&[24.0; 3], &[], None), [None; 3]);
        assert_eq!(against(&[1e4, 0.001], &[], None), [Some(Against::Wider); 3]);
        assert_eq!(against(&[18.0, 25.0, 30.0], &[], None), [Some(Against::Wider); 3]);
        let close: Vec<f64> = (0..30).map(|i| 24.0 + 0.05 * f64::from(i % 10)).collect();
        assert_eq!(against(&close, &[], Some(0.08)), [Some(Against::Closer)]);
        assert_eq!(against(&close, &[24.5], Some(0.08)), [None]);
        // Of lots that have the spread, 1 in 20 is noted.
        let mut draws = Draws::new(9);
        let noted = (0..4000).filter(|_| {
            let peaks: Vec<f64> = (0..6).map(|_| 24.0 * (1.0 + 0.02 * draws.normal())).collect();
            against(&peaks, &[], Some(0.02))[0].is_some()
        });
        let part = noted.count() as f64 / 4000.0;
        assert!((part - 0.05).abs() < 0.012, "{part}");
    }
}
