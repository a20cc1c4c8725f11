//! Whether two groups have different means: Welch's t test, which takes no deviations as equal; and where a mean lies, by Student's t.

use super::moments::Moments;
use super::pull::Lot;
use super::student::{above, quantile_above};
use super::tolerance::CONFIDENCE;

/// The first group against the second.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Welch {
    /// The first.
    pub first: Moments,
    /// The second.
    pub second: Moments,
    /// Mean of the first minus mean of the second, kN.
    pub difference_kn: f64,
    /// From where to where it may lie, with [`CONFIDENCE`], kN.
    pub interval_kn: [f64; 2],
    /// It over its standard deviation.
    pub t: f64,
    /// Degrees of freedom of that, as Welch and Satterthwaite have them.
    pub degrees_of_freedom: f64,
    /// The chance of a difference at least as large, either way, where the lots have one mean.
    pub p: f64,
}

/// Why two groups are not compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoWelch {
    /// Pulls ended without a break: their peaks are no strengths.
    Ended,
    /// A group has fewer than two pulls.
    TooFew,
    /// Both groups have no spread at all.
    AllEqual,
}

/// From where to where a mean lies, with [`CONFIDENCE`], by Student's t; none of fewer than two, or where they have no spread.
#[must_use]
pub fn mean_interval(of: &Moments) -> Option<[f64; 2]> {
    let sd = of.sd.filter(|sd| *sd > 0.0)?;
    let t = quantile_above(0.5 * (1.0 - CONFIDENCE), of.count as f64 - 1.0)?;
    let half = t * sd / (of.count as f64).sqrt();
    Some([of.mean - half, of.mean + half])
}

impl Welch {
    /// Of two lots.
    ///
    /// # Errors
    /// They cannot be compared.
    pub fn of(first: &Lot, second: &Lot) -> Result<Self, NoWelch> {
        if [first, second].iter().any(|lot| !lot.held_kn().is_empty()) {
            return Err(NoWelch::Ended);
        }
        let moments = |lot: &Lot| Moments::of(&lot.breaks_kn()).ok_or(NoWelch::TooFew);
        Self::of_moments(moments(first)?, moments(second)?)
    }

    fn of_moments(first: Moments, second: Moments) -> Result<Self, NoWelch> {
        let share = |of: &Moments| of.sd.map(|sd| sd * sd / of.count as f64).ok_or(NoWelch::TooFew);
        let (a, b) = (share(&first)?, share(&second)?);
        let error = (a + b).sqrt();
        if error == 0.0 {
            return Err(NoWelch::AllEqual);
        }
        let part = |share: f64, of: &Moments| (share / (a + b)).powi(2) / (of.count as f64 - 1.0);
        let df = 1.0 / (part(a, &first) + part(b, &second));
        let difference = first.mean - second.mean;
        let t = difference / error;
        let half = quantile_above(0.5 * (1.0 - CONFIDENCE), df).ok_or(NoWelch::AllEqual)? * error;
        Ok(Self {
            first,
            second,
            difference_kn: difference,
            interval_kn: [difference - half, difference + half],
            t,
            degrees_of_freedom: df,
            p: (2.0 * above(t.abs(), df)).min(1.0),
        })
    }

    /// Whether the interval leaves zero out, and with it p is below 5 %.
    #[must_use]
    pub fn differs(&self) -> bool {
        self.p < 1.0 - CONFIDENCE
    }
}

#[cfg(test)]
mod tests {
    use super::super::pull::Pull;
    use super::*;

    fn moments(count: usize, mean: f64, sd: f64) -> Moments {
        Moments { count, mean, sd: Some(sd), sd_of_these: sd, min: mean, max: mean }
    }

    #[test]
    fn the_librarys_example_is_met() {
        // Example of a numeric library's manual, from memory: pooled t 1.8403, p .0955; Welch t 2.5922, df 7.9925, p .0320.
        let (first, second) = (moments(4, 25.0, 0.8185), moments(8, 21.0, 4.208));
        let found = Welch::of_moments(first, second).unwrap();
        let off = |found: f64, told: f64| assert!((found - told).abs() <= 1e-3, "{found} for {told}");
        off(found.t, 2.5922);
        off(found.degrees_of_freedom, 7.9925);
        off(found.p, 0.0320);
        off(found.interval_kn[0], 0.4410);
        off(found.interval_kn[1], 7.5590);
        assert!(found.differs());
        // One deviation for both would not have noticed.
        let pooled = ((3.0 * 0.8185_f64.powi(2) + 7.0 * 4.208_f64.powi(2)) / 10.0).sqrt();
        let t = 4.0 / (pooled * (0.25 + 0.125_f64).sqrt());
        off(t, 1.8403);
        off(2.0 * above(t, 10.0), 0.0955);
    }

    #[test]
    fn the_interval_and_the_chance_agree_and_turn_with_the_groups() {
        for (mean, sd) in [(24.0, 0.5), (23.0, 2.0), (20.0, 0.1)] {
            let (a, b) = (moments(5, mean, sd), moments(7, 23.4, 0.8));
            let [found, turned] = [Welch::of_moments(a, b).unwrap(), Welch::of_moments(b, a).unwrap()];
            let [low, high] = found.interval_kn;
            assert_eq!(found.differs(), low > 0.0 || high < 0.0, "{found:?}");
            assert!((found.p - turned.p).abs() < 1e-14 && found.difference_kn == -turned.difference_kn);
        }
    }

    #[test]
    fn groups_that_cannot_be_compared_are_told() {
        let lot =
            |peaks: &[f64], broke| Lot::new(peaks.iter().map(|kn| Pull::new(*kn, broke)).collect()).unwrap();
        let (three, one, equal) =
            (lot(&[24.0, 25.0, 23.0], true), lot(&[24.0], true), lot(&[24.0, 24.0], true));
        assert_eq!(Welch::of(&three, &one), Err(NoWelch::TooFew));
        assert_eq!(Welch::of(&equal, &equal), Err(NoWelch::AllEqual));
        assert_eq!(Welch::of(&three, &lot(&[24.0, 25.0], false)), Err(NoWelch::Ended));
        assert!(Welch::of(&three, &equal).is_ok());
    }
}
