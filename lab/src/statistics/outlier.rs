//! Whether one pull lies far from the others: Grubbs' test, two-sided, for one outlier in a normal lot.

use super::moments::Moments;
use super::student::{above, quantile_above};

/// Chance that a lot without any outlier is noted for one.
pub const OUTLIER_LEVEL: f64 = 0.05;

/// Fewest pulls of which one is judged: of three, two that are written alike make the third an outlier wherever it lies.
pub const LEAST_JUDGED: usize = 4;

/// The pull that lies farthest from the mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Farthest {
    /// Which one, from 0.
    pub index: usize,
    /// Its peak, kN.
    pub kn: f64,
    /// How many standard deviations (n - 1) it lies from the mean.
    pub sds: f64,
    /// From how many on it counts as an outlier.
    pub critical_sds: f64,
    /// The chance of one at least as far among so many pulls of a normal lot: exact while it is small, an upper bound else.
    pub chance: f64,
    /// Whether it is judged: not of fewer than [`LEAST_JUDGED`], nor where all lie within two units of the last digit they are written
    /// with: rounding alone moves each by half of one.
    pub judged: bool,
}

impl Farthest {
    /// Whether it counts as an outlier.
    #[must_use]
    pub fn is_outlier(&self) -> bool {
        self.judged && self.sds > self.critical_sds
    }
}

/// The farthest of at least three pulls that broke and are not all equal; none of others.
///
/// The farthest of n lies G deviations from the mean; t = G sqrt(n (n - 2) / ((n - 1)^2 - n G^2)) is a Student's t of n - 2 degrees of
/// freedom, and 2 n times its tail is the chance (Grubbs 1969; NIST e-Handbook 1.3.5.17.1).
#[must_use]
pub fn farthest(peaks_kn: &[f64]) -> Option<Farthest> {
    let moments = Moments::of(peaks_kn)?;
    let sd = moments.sd.filter(|sd| *sd > 0.0 && peaks_kn.len() > 2)?;
    let off = |kn: f64| (kn - moments.mean).abs();
    // The first of equals.
    let first_of_farthest =
        |best: (usize, f64), (i, kn): (usize, &f64)| if off(*kn) > off(best.1) { (i, *kn) } else { best };
    let (index, kn) = peaks_kn.iter().enumerate().fold((0, peaks_kn[0]), first_of_farthest);
    let n = moments.count as f64;
    let sds = off(kn) / sd;
    let room = ((n - 1.0).powi(2) - n * sds * sds).max(0.0);
    let t = sds * (n * (n - 2.0) / room).sqrt();
    let chance = if t.is_finite() { (2.0 * n * above(t, n - 2.0)).min(1.0) } else { 0.0 };
    let critical = quantile_above(OUTLIER_LEVEL / (2.0 * n), n - 2.0)?.powi(2);
    let critical_sds = (n - 1.0) / n.sqrt() * (critical / (n - 2.0 + critical)).sqrt();
    let judged = peaks_kn.len() >= LEAST_JUDGED && moments.max - moments.min > 2.0 * last_digit_kn(peaks_kn);
    Some(Farthest { index, kn, sds, critical_sds, chance, judged })
}

/// The unit of the last digit that any of these is written with, kN: that of the one with the most decimals.
fn last_digit_kn(peaks_kn: &[f64]) -> f64 {
    let decimals = |kn: &f64| kn.to_string().split_once('.').map_or(0, |(_, part)| part.len());
    let most = peaks_kn.iter().map(decimals).max().unwrap_or_default();
    // A hair more, so that two units of it that arithmetic has moved are no more than two.
    (1.0 + 1e-9) * 0.1_f64.powi(i32::try_from(most).unwrap_or(i32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_outlier_is_noted_as_the_handbook_notes_it() {
        // NIST e-Handbook 1.3.5.17.1, from memory: eight masses, G = 2.4687 beyond the two-sided critical 2.1266 at 5 % (n = 8).
        let masses = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];
        let found = farthest(&masses).unwrap();
        assert!(found.is_outlier() && found.index == 7 && found.chance < 1e-4, "{found:?}");
        assert!((found.sds - 2.4688).abs() < 2e-4, "{}", found.sds);
        assert!((found.critical_sds - 2.1266).abs() < 2e-4, "{}", found.critical_sds);
    }

    #[test]
    fn critical_numbers_are_those_of_the_table() {
        // Grubbs 1969, table 1, two-sided 5 % (2.5 % one-sided), from memory; recalculated.
        for (count, critical) in [(3, 1.1543), (4, 1.4812), (5, 1.7150), (10, 2.2900), (20, 2.7082)] {
            let mut peaks = vec![24.0; count];
            peaks[count - 1] = 25.0;
            let found = farthest(&peaks).unwrap();
            assert!((found.critical_sds - critical).abs() < 2e-3, "{count}: {}", found.critical_sds);
        }
    }

    #[test]
    fn no_verdict_stands_on_three_pulls_or_on_the_last_digit() {
        for peaks in
            [&[24.0, 24.0, 25.0][..], &[20.0, 20.0, 20.0, 20.0, 20.01], &[20.1, 20.1, 20.1, 20.1, 20.1, 20.3]]
        {
            let found = farthest(peaks).unwrap();
            assert!(
                !found.judged && !found.is_outlier() && found.sds > found.critical_sds - 1e-9,
                "{found:?}"
            );
        }
        let found = farthest(&[20.1, 20.1, 20.1, 20.1, 20.1, 20.4]).unwrap();
        assert!(found.judged && found.is_outlier(), "{found:?}");
    }

    #[test]
    fn the_chance_and_the_critical_number_agree() {
        for peaks in [vec![24.0, 24.1, 23.8, 22.0], vec![24.0, 23.0, 24.9, 25.3, 22.2, 20.9]] {
            let found = farthest(&peaks).unwrap();
            assert_eq!(found.is_outlier(), found.chance < OUTLIER_LEVEL, "{found:?}");
        }
        assert_eq!((farthest(&[24.0, 25.0]), farthest(&[24.0; 6])), (None, None));
    }
}
