//! A lot of the two-parameter Weibull kind: the share exp(-(load / scale)^shape) exceeds a load.

use super::likelihood_drop::{one_sided, two_sided};
use super::location_scale::{Family, Fit, NoMaximum};
use super::moments::sum;
use super::pull::Lot;
use super::tolerance::{Bound, CONFIDENCE, SHARES};

/// A number and the interval that holds it with [`CONFIDENCE`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The likeliest value.
    pub value: f64,
    /// From where to where it may lie.
    pub interval: [f64; 2],
}

/// A load that a share of the lot exceeds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exceeded {
    /// The share.
    pub share: f64,
    /// The load, kN.
    pub load_kn: Estimate,
    /// The load that the share exceeds with a confidence, one-sided: what may be claimed.
    pub bound: Bound,
}

/// A Weibull lot by maximum likelihood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weibull {
    /// Shape: the larger, the closer together.
    pub shape: Estimate,
    /// Scale, kN: 63.2 % of the lot break below.
    pub scale_kn: Estimate,
    /// Logarithm of the likelihood at its maximum, loads in kN.
    pub ln_likelihood: f64,
    /// Loads that [`SHARES`] of the lot exceed.
    pub exceeded: [Exceeded; 3],
}

impl Weibull {
    /// The likeliest of a lot, pulls that ended without a break included.
    ///
    /// # Errors
    /// The likelihood has no maximum.
    pub fn of(lot: &Lot) -> Result<Self, NoMaximum> {
        Self::of_loads(&lot.breaks_kn(), &lot.held_kn())
    }

    pub(super) fn of_loads(broke_kn: &[f64], held_kn: &[f64]) -> Result<Self, NoMaximum> {
        let logs = |loads: &[f64]| -> Vec<f64> { loads.iter().map(|kn| kn.ln()).collect() };
        let fit = Fit::new(Family::SmallestExtreme, &logs(broke_kn), &logs(held_kn))?;
        let interval = two_sided(broke_kn.len(), CONFIDENCE).ok_or(NoMaximum::OneBreak)?;
        // A bound that is not found lies farther than numbers go.
        let [low, high] = fit.around_scale(interval).unwrap_or([0.0, f64::INFINITY]);
        let around = fit.around_location(interval).unwrap_or([f64::NEG_INFINITY, f64::INFINITY]);
        let exceeded = SHARES.map(|share| {
            let lower =
                |drop: Option<f64>| drop.and_then(|drop| fit.lower(share, drop)).map_or(0.0, f64::exp);
            let high = fit.upper(share, interval).map_or(f64::INFINITY, f64::exp);
            let load_kn =
                Estimate { value: fit.exceeded_by(share).exp(), interval: [lower(Some(interval)), high] };
            let kn = lower(one_sided(broke_kn.len(), share, CONFIDENCE));
            Exceeded { share, load_kn, bound: Bound { share, confidence: CONFIDENCE, kn } }
        });
        Ok(Self {
            shape: Estimate { value: 1.0 / fit.scale(), interval: [1.0 / high, 1.0 / low] },
            scale_kn: Estimate { value: fit.location().exp(), interval: around.map(f64::exp) },
            ln_likelihood: fit.ln_likelihood() - sum(broke_kn.iter().map(|kn| kn.ln())),
            exceeded,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::drawn::Draws;
    use super::super::published::BEARINGS;
    use super::*;

    #[test]
    fn the_ball_bearings_are_met() {
        // Lieblein and Zelen 1956; Lawless; from memory, recalculated.
        let found = Weibull::of_loads(&BEARINGS, &[]).unwrap();
        for (value, published) in
            [(found.shape.value, 2.1018), (found.scale_kn.value, 81.875), (found.ln_likelihood, -113.692)]
        {
            assert!((value / published - 1.0).abs() <= 1e-4, "{value} for {published}");
        }
    }

    #[test]
    fn a_pull_without_a_break_raises_what_the_lot_is_taken_for() {
        let broke = [24.1, 23.7, 22.9, 25.2];
        let [alone, with] = [&[][..], &[25.5, 25.0]].map(|held| Weibull::of_loads(&broke, held).unwrap());
        assert!(with.scale_kn.value > alone.scale_kn.value);
        // Held at next to nothing it tells next to nothing.
        let held_little = Weibull::of_loads(&broke, &[1.0]).unwrap();
        assert!((held_little.shape.value / alone.shape.value - 1.0).abs() < 1e-9);
        for exceeded in with.exceeded {
            let [low, high] = exceeded.load_kn.interval;
            let value = exceeded.load_kn.value;
            assert!(0.0 < low && low < exceeded.bound.kn && exceeded.bound.kn < value && value < high);
        }
    }

    /// How often, of so many drawn lots, the interval of shape and of scale and the bound of the load that 95 % exceed hold: three
    /// counts, and the lots without a maximum.
    fn coverage(lots: usize, count: usize, held_share: f64, shape: f64) -> [usize; 4] {
        let mut draws = Draws::new(20_261_130);
        let mut held_by = [0; 4];
        let exact = (-0.95_f64.ln()).powf(1.0 / shape);
        for _ in 0..lots {
            let (mut broke, mut held) = (Vec::new(), Vec::new());
            for _ in 0..count {
                let load = (-draws.share().ln()).powf(1.0 / shape);
                // Ended at a load that is drawn for each pull by itself, so that about `held_share` end before they break.
                let ends = if draws.share() < 2.0 * held_share {
                    (-draws.share().ln()).powf(1.0 / shape)
                } else {
                    f64::MAX
                };
                if ends < load { held.push(ends) } else { broke.push(load) }
            }
            match Weibull::of_loads(&broke, &held) {
                Err(_) => held_by[3] += 1,
                Ok(found) => {
                    let holds = |estimate: Estimate, truth: f64| {
                        estimate.interval[0] <= truth && truth <= estimate.interval[1]
                    };
                    held_by[0] += usize::from(holds(found.shape, shape));
                    held_by[1] += usize::from(holds(found.scale_kn, 1.0));
                    held_by[2] += usize::from(found.exceeded[0].bound.kn <= exact);
                }
            }
        }
        held_by
    }

    #[test]
    fn intervals_hold_what_they_claim_of_few_pulls_and_with_a_quarter_ended_early() {
        // 4,000 lots each of 3, 5, 10 and 20, and of 5, 10, 20 and 50 with a quarter ended early, gave 94.2 to 95.8 %.
        let lots = 500;
        for (count, held_share) in [(20, 0.25), (5, 0.0), (3, 0.0)] {
            let [shape, scale, bound, none] = coverage(lots, count, held_share, 25.0);
            assert_eq!(none, 0);
            for held in [shape, scale, bound] {
                let part = held as f64 / lots as f64;
                assert!((0.92..=0.98).contains(&part), "{count} {held_share}: {part}");
            }
        }
    }
}
