//! Maximum likelihood of a location and a scale from breaks and from pulls that ended without one, and what the profile of the
//! likelihood bounds.
//!
//! With z = (y - location) / scale, a break adds the logarithm of density(z) / scale, and a pull without a break that of the share
//! above z: it would have held at least so much. Both logarithms are concave, so the likelihood has one maximum where it has any.

use super::moments::{Moments, sum};
use super::{normal_curve, root};

/// Of what shape the lot is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Family {
    /// Normal.
    Normal,
    /// Smallest extreme value: what the logarithm of a Weibull variable is.
    SmallestExtreme,
}

/// Powers of e stop growing here: far beyond any z that matters, and sums of them stay numbers.
const MOST: f64 = 300.0;

impl Family {
    fn ln_density(self, z: f64) -> f64 {
        match self {
            Self::Normal => normal_curve::ln_density(z),
            Self::SmallestExtreme => z - z.min(MOST).exp(),
        }
    }

    fn ln_above(self, z: f64) -> f64 {
        match self {
            Self::Normal => normal_curve::ln_above(z),
            Self::SmallestExtreme => -z.min(MOST).exp(),
        }
    }

    fn slope_of_density(self, z: f64) -> f64 {
        match self {
            Self::Normal => -z,
            Self::SmallestExtreme => 1.0 - z.min(MOST).exp(),
        }
    }

    fn slope_of_above(self, z: f64) -> f64 {
        match self {
            Self::Normal => -normal_curve::hazard(z),
            Self::SmallestExtreme => -z.min(MOST).exp(),
        }
    }

    /// The z that a share lies above.
    pub fn exceeded_by(self, share: f64) -> f64 {
        match self {
            Self::Normal => -normal_curve::quantile(share),
            Self::SmallestExtreme => (-share.ln()).ln(),
        }
    }
}

/// Why a likelihood has no maximum that tells a spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoMaximum {
    /// No pull ended in a break: the likelihood rises without end as the lot is taken to be stronger.
    NoBreak,
    /// One did: it tells no spread.
    OneBreak,
    /// All breaks came at one load, as they were written down: the likelihood rises without end as the spread shrinks.
    AllEqual,
}

/// A likelihood at its maximum. Values are kept from the mean of the breaks, in units of their deviation.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    family: Family,
    broke: Vec<f64>,
    held: Vec<f64>,
    centre: f64,
    unit: f64,
    location: f64,
    /// One over the scale.
    rate: f64,
    most: f64,
}

impl Fit {
    /// Seeks the maximum.
    pub fn new(family: Family, broke: &[f64], held: &[f64]) -> Result<Self, NoMaximum> {
        let moments = Moments::of(broke).ok_or(NoMaximum::NoBreak)?;
        let unit = moments.sd.ok_or(NoMaximum::OneBreak)?;
        // Digits that a spread is told by would be those that rounding left.
        if unit <= 1e-12 * moments.mean.abs() {
            return Err(NoMaximum::AllEqual);
        }
        let from_centre = |values: &[f64]| values.iter().map(|y| (y - moments.mean) / unit).collect();
        let mut fit = Self {
            family,
            broke: from_centre(broke),
            held: from_centre(held),
            centre: moments.mean,
            unit,
            location: 0.0,
            rate: 1.0,
            most: 0.0,
        };
        let slope = |ln_rate: f64| {
            let rate = ln_rate.exp();
            rate * fit.slope_by_rate(fit.location_at(rate), 0.0, rate)
        };
        let rate = toward_zero(slope, 0.0, 0.25).ok_or(NoMaximum::AllEqual)?.exp();
        (fit.location, fit.rate) = (fit.location_at(rate), rate);
        fit.most = fit.ln_likelihood_at(fit.location, 0.0, fit.rate);
        Ok(fit)
    }

    /// The location of the maximum.
    pub fn location(&self) -> f64 {
        self.centre + self.unit * self.location
    }

    /// The scale of the maximum.
    pub fn scale(&self) -> f64 {
        self.unit / self.rate
    }

    /// The logarithm of the likelihood there.
    pub fn ln_likelihood(&self) -> f64 {
        self.most - self.breaks() * self.unit.ln()
    }

    /// How many breaks it rests on.
    fn breaks(&self) -> f64 {
        self.broke.len() as f64
    }

    /// The value that a share of the lot exceeds, at the maximum.
    pub fn exceeded_by(&self, share: f64) -> f64 {
        self.location() + self.family.exceeded_by(share) * self.scale()
    }

    /// The value below the one that `share` exceeds at which the likelihood, with the best scale beside it, has dropped by so much.
    pub fn lower(&self, share: f64, drop: f64) -> Option<f64> {
        self.quantile_bound(self.family.exceeded_by(share), drop, -1.0)
    }

    /// The same above it.
    pub fn upper(&self, share: f64, drop: f64) -> Option<f64> {
        self.quantile_bound(self.family.exceeded_by(share), drop, 1.0)
    }

    /// Both for the location itself.
    pub fn around_location(&self, drop: f64) -> Option<[f64; 2]> {
        Some([self.quantile_bound(0.0, drop, -1.0)?, self.quantile_bound(0.0, drop, 1.0)?])
    }

    /// The scales on both sides at which the likelihood, with the best location beside, has dropped by so much.
    pub fn around_scale(&self, drop: f64) -> Option<[f64; 2]> {
        let spare = |ln_rate: f64| {
            let rate = ln_rate.exp();
            drop - (self.most - self.ln_likelihood_at(self.location_at(rate), 0.0, rate))
        };
        let step = (drop / self.breaks()).sqrt();
        let [low, high] = [step, -step].map(|step| root::outward(spare, self.rate.ln(), step));
        Some([self.unit / low?.exp(), self.unit / high?.exp()])
    }

    fn quantile_bound(&self, z: f64, drop: f64, side: f64) -> Option<f64> {
        let spare = |value: f64| match self.rate_at(value, z) {
            Some(rate) => drop - (self.most - self.ln_likelihood_at(value, z, rate)),
            None => f64::NAN,
        };
        let best = self.location + z / self.rate;
        let step = side * (drop / self.breaks()).sqrt() * (1.0 + z.abs()) / self.rate;
        root::outward(spare, best, step).map(|value| self.centre + self.unit * value)
    }

    /// With the value at z and the rate.
    fn ln_likelihood_at(&self, value: f64, z: f64, rate: f64) -> f64 {
        let at = |y: &f64| z + rate * (y - value);
        let broke = sum(self.broke.iter().map(|y| self.family.ln_density(at(y))));
        let held = sum(self.held.iter().map(|y| self.family.ln_above(at(y))));
        broke + held + self.breaks() * rate.ln()
    }

    fn slope_by_rate(&self, value: f64, z: f64, rate: f64) -> f64 {
        let slopes = self.slopes(value, z, rate).map(|(slope, y)| slope * (y - value));
        sum(slopes) + self.breaks() / rate
    }

    fn slopes(&self, value: f64, z: f64, rate: f64) -> impl Iterator<Item = (f64, f64)> + '_ {
        let at = move |y: f64| z + rate * (y - value);
        let broke = self.broke.iter().map(move |y| (self.family.slope_of_density(at(*y)), *y));
        broke.chain(self.held.iter().map(move |y| (self.family.slope_of_above(at(*y)), *y)))
    }

    /// The best location beside a rate.
    fn location_at(&self, rate: f64) -> f64 {
        if self.family == Family::SmallestExtreme {
            // Closed: the mean of e^z over the breaks is 1. Measured from the largest, so that no power overflows.
            let largest = self.broke.iter().chain(&self.held).copied().fold(f64::MIN, f64::max);
            let powers = sum(self.broke.iter().chain(&self.held).map(|y| (rate * (y - largest)).exp()));
            return largest + (powers / self.breaks()).ln() / rate;
        }
        if self.held.is_empty() {
            return sum(self.broke.iter().copied()) / self.breaks();
        }
        let slope = |value: f64| -sum(self.slopes(value, 0.0, rate).map(|(slope, _)| slope));
        toward_zero(slope, self.location, 0.25 / rate).unwrap_or(self.location)
    }

    /// The best rate beside a value at z.
    fn rate_at(&self, value: f64, z: f64) -> Option<f64> {
        let slope = |ln_rate: f64| {
            let rate = ln_rate.exp();
            rate * self.slope_by_rate(value, z, rate)
        };
        // As far away as bounds are.
        Some(toward_zero(slope, self.rate.ln(), 1.0 / self.breaks().sqrt())?.exp())
    }
}

/// The zero of a falling function, sought upward where it is above zero at first, else downward.
fn toward_zero(f: impl Fn(f64) -> f64, from: f64, step: f64) -> Option<f64> {
    let step = if f(from) > 0.0 { step } else { -step };
    root::outward(f, from, step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_ended_pulls_a_normal_fit_is_mean_and_deviation() {
        let peaks = [24.1, 23.7, 22.9, 25.2, 24.6];
        let fit = Fit::new(Family::Normal, &peaks, &[]).unwrap();
        let moments = Moments::of(&peaks).unwrap();
        assert!((fit.location() - moments.mean).abs() < 1e-12);
        assert!((fit.scale() - moments.sd_of_these).abs() < 1e-12);
        let n = 5.0;
        let most = -0.5 * n * (1.0 + (2.0 * std::f64::consts::PI).ln()) - n * moments.sd_of_these.ln();
        assert!((fit.ln_likelihood() - most).abs() < 1e-12);
        // The likelihood of the mean alone drops by n/2 ln(1 + t^2 / (n - 1)).
        let [low, high] = fit.around_location(0.5 * n * (1.0 + 2.776_445_f64.powi(2) / 4.0).ln()).unwrap();
        let half = 2.776_445 * moments.sd.unwrap() / n.sqrt();
        assert!((low - (moments.mean - half)).abs() < 1e-9 && (high - (moments.mean + half)).abs() < 1e-9);
    }

    #[test]
    fn the_maximum_is_one_and_bounds_lie_around_it() {
        let (broke, held) = ([24.1, 23.7, 22.9, 25.2], [24.0, 26.0]);
        for family in [Family::Normal, Family::SmallestExtreme] {
            let fit = Fit::new(family, &broke, &held).unwrap();
            let at = |location: f64, scale: f64| {
                let z = |y: &f64| (y - location) / scale;
                broke.iter().map(|y| family.ln_density(z(y)) - scale.ln()).sum::<f64>()
                    + held.iter().map(|y| family.ln_above(z(y))).sum::<f64>()
            };
            let (location, scale) = (fit.location(), fit.scale());
            assert!((at(location, scale) - fit.ln_likelihood()).abs() < 1e-10);
            for (by, times) in [(0.01, 1.0), (-0.01, 1.0), (0.0, 1.01), (0.0, 0.99), (0.01, 0.99)] {
                assert!(at(location + by, times * scale) < fit.ln_likelihood());
            }
            // Along a bound nothing is likelier than what it was dropped to.
            let low = fit.lower(0.95, 2.0).unwrap();
            let z = family.exceeded_by(0.95);
            let best =
                (1..4000).map(|i| 0.005 * f64::from(i)).map(|s| at(low - z * s, s)).fold(f64::MIN, f64::max);
            assert!((fit.ln_likelihood() - best - 2.0).abs() < 1e-3, "{best}");
            assert!(low < fit.exceeded_by(0.95) && fit.exceeded_by(0.95) < fit.upper(0.95, 2.0).unwrap());
            let [from, to] = fit.around_scale(2.0).unwrap();
            assert!(from < scale && scale < to);
        }
    }

    #[test]
    fn where_there_is_no_maximum_the_reason_is_told() {
        let fit = |broke: &[f64], held: &[f64]| Fit::new(Family::Normal, broke, held).map(|fit| fit.scale());
        assert_eq!(fit(&[], &[24.0, 25.0]), Err(NoMaximum::NoBreak));
        assert_eq!(fit(&[24.0], &[25.0]), Err(NoMaximum::OneBreak));
        assert_eq!(fit(&[24.0, 24.0], &[20.0]), Err(NoMaximum::AllEqual));
        assert!(fit(&[24.0, 24.1], &[90.0; 40]).is_ok());
    }
}
