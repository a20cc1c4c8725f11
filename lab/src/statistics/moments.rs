//! Mean and standard deviation without loss of digits: shifted, compensated, in two passes.

/// What one looks at first of a few numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moments {
    /// How many there are.
    pub count: usize,
    /// Their mean.
    pub mean: f64,
    /// Standard deviation with n - 1: an estimate of the lot's. None of a single number.
    pub sd: Option<f64>,
    /// Standard deviation with n: of these numbers alone, smaller than that of the lot on average.
    pub sd_of_these: f64,
    /// The least.
    pub min: f64,
    /// The most.
    pub max: f64,
}

impl Moments {
    /// Of numbers that are finite; none of no numbers.
    #[must_use]
    pub fn of(values: &[f64]) -> Option<Self> {
        let first = *values.first()?;
        let count = values.len();
        let n = count as f64;
        // What lies far from zero keeps its digits when it is measured from one of its own; all equal have no spread at all then.
        let shift = sum(values.iter().map(|v| v - first)) / n;
        let off = || values.iter().map(|v| (v - first) - shift);
        // What rounding left of the sum of deviations is taken out of their squares.
        let left = sum(off());
        let squares = (sum(off().map(|d| d * d)) - left * left / n).max(0.0);
        Some(Self {
            count,
            mean: first + shift,
            sd: (count > 1).then(|| (squares / (n - 1.0)).sqrt()),
            sd_of_these: (squares / n).sqrt(),
            min: values.iter().copied().fold(first, f64::min),
            max: values.iter().copied().fold(first, f64::max),
        })
    }

    /// Standard deviation (n - 1) over mean: none of a single number, or where the mean is not above zero.
    #[must_use]
    pub fn coefficient_of_variation(&self) -> Option<f64> {
        self.sd.filter(|_| self.mean > 0.0).map(|sd| sd / self.mean)
    }
}

/// A sum that carries what rounding drops along (Neumaier 1974).
pub(super) fn sum(values: impl IntoIterator<Item = f64>) -> f64 {
    let (mut total, mut dropped) = (0.0_f64, 0.0);
    for value in values {
        let next = total + value;
        dropped += if total.abs() >= value.abs() { (total - next) + value } else { (value - next) + total };
        total = next;
    }
    total + dropped
}

#[cfg(test)]
mod tests {
    use super::super::published::{LEW, MAVRO, MICHELSO, alternating};
    use super::*;

    /// Autocorrelation of neighbours, as the certified values have it.
    fn lag_1(values: &[f64]) -> f64 {
        let mean = Moments::of(values).unwrap().mean;
        let products = values.windows(2).map(|pair| (pair[0] - mean) * (pair[1] - mean));
        sum(products) / sum(values.iter().map(|v| (v - mean) * (v - mean)))
    }

    fn close(found: f64, certified: f64) {
        assert!((found - certified).abs() <= 1e-9 * certified.abs().max(1.0), "{found} for {certified}");
    }

    #[test]
    fn certified_moments_are_met() {
        // NIST StRD, univariate summary statistics: certified mean, standard deviation (n - 1), lag-1 autocorrelation.
        let numacc_1 = vec![10_000_001.0, 10_000_003.0, 10_000_002.0];
        let cases: [(&str, Vec<f64>, [f64; 3]); 6] = [
            ("NumAcc1", numacc_1, [10_000_002.0, 1.0, -0.5]),
            ("NumAcc2", alternating(1.2, [1.1, 1.3]), [1.2, 0.1, -0.999]),
            ("NumAcc3", alternating(1_000_000.2, [1_000_000.1, 1_000_000.3]), [1_000_000.2, 0.1, -0.999]),
            ("Michelso", MICHELSO.to_vec(), [299.8524, 0.079_010_547_819_051_8, 0.535_199_668_621_283]),
            ("Mavro", MAVRO.to_vec(), [2.001_856, 0.000_429_123_454_003_053, 0.937_989_183_438_248]),
            ("Lew", LEW.to_vec(), [-177.435, 277.332_168_044_316, -0.307_304_800_605_679]),
        ];
        for (name, values, [mean, sd, lag]) in cases {
            let moments = Moments::of(&values).unwrap();
            close(moments.mean, mean);
            let found = moments.sd.unwrap();
            assert!((found / sd - 1.0).abs() <= 1e-9, "{name}: {found} for {sd}");
            close(lag_1(&values), lag);
        }
    }

    #[test]
    fn both_standard_deviations_differ_by_their_divisor() {
        let moments = Moments::of(&[23.0, 24.0, 25.5, 22.1]).unwrap();
        let ratio = moments.sd.unwrap() / moments.sd_of_these;
        assert!((ratio - (4.0_f64 / 3.0).sqrt()).abs() < 1e-14);
        assert_eq!((moments.min, moments.max), (22.1, 25.5));
    }

    #[test]
    fn equal_numbers_have_no_spread_and_one_number_has_none_that_is_known() {
        let equal = Moments::of(&[0.1 + 0.2; 7]).unwrap();
        assert_eq!((equal.sd, equal.mean), (Some(0.0), 0.1 + 0.2));
        let one = Moments::of(&[24.0]).unwrap();
        assert_eq!((one.sd, one.coefficient_of_variation(), one.mean), (None, None, 24.0));
        assert_eq!(Moments::of(&[]), None);
        assert_eq!(Moments::of(&[-1.0, -2.0]).unwrap().coefficient_of_variation(), None);
    }
}
