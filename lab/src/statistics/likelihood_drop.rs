//! How far a likelihood may drop for what few breaks allow to be claimed.
//!
//! The usual half of a chi-square quantile is right for many breaks and too small for few. Here it is what makes intervals and bounds of a normal lot
//! exact when all of m pulls broke: there both hang on Student's t alone. The same drop is taken for a Weibull lot and with pulls
//! that ended without a break, which then count for nothing in m: what they tell stays in the likelihood. The tests hold the
//! coverage of that against drawn lots.

use super::normal_curve::quantile;
use super::student::quantile_above;
use super::tolerance::factor;

/// For an interval with a confidence, of one number with another beside it, by at least two breaks.
pub(super) fn two_sided(breaks: usize, confidence: f64) -> Option<f64> {
    let m = breaks as f64;
    let t = quantile_above(0.5 * (1.0 - confidence), m - 1.0)?;
    Some(0.5 * m * (t * t / (m - 1.0)).ln_1p())
}

/// For a lower bound, with a confidence, of the load that a share of the lot exceeds, by at least two breaks.
pub(super) fn one_sided(breaks: usize, share: f64, confidence: f64) -> Option<f64> {
    let m = breaks as f64;
    // From the mean to the bound in deviations with n; likelihoods are measured by those.
    let d = factor(breaks, share, confidence)? * (m / (m - 1.0)).sqrt();
    let z = quantile(share);
    // One over the best scale beside the bound.
    let a = 1.0 + d * d;
    let u = (d * z + (d * d * z * z + 4.0 * a).sqrt()) / (2.0 * a);
    Some(m * (0.5 * (a * u * u + z * z - 1.0) - d * z * u - u.ln()))
}

#[cfg(test)]
mod tests {
    use super::super::location_scale::{Family, Fit};
    use super::super::moments::Moments;
    use super::*;

    #[test]
    fn of_breaks_alone_the_bound_is_the_exact_one() {
        for peaks in
            [vec![24.1, 23.0], vec![24.1, 23.7, 22.9, 25.2, 24.6], vec![18.0, 19.0, 19.2, 20.4, 21.0, 17.7]]
        {
            let fit = Fit::new(Family::Normal, &peaks, &[]).unwrap();
            let moments = Moments::of(&peaks).unwrap();
            for (share, confidence) in [(0.95, 0.95), (0.99, 0.9), (0.998_65, 0.99)] {
                let drop = one_sided(peaks.len(), share, confidence).unwrap();
                let exact =
                    moments.mean - factor(peaks.len(), share, confidence).unwrap() * moments.sd.unwrap();
                let found = fit.lower(share, drop).unwrap();
                assert!((found - exact).abs() < 1e-7 * exact.abs().max(1.0), "{found} for {exact}");
            }
        }
    }

    #[test]
    fn of_many_breaks_it_is_half_a_chi_square() {
        // Chi-square of one degree of freedom: 3.841 459 is exceeded by 5 %, 2.705 543 by 10 %.
        assert!((two_sided(20_000, 0.95).unwrap() - 0.5 * 3.841_459).abs() < 1e-3);
        assert!((one_sided(20_000, 0.95, 0.95).unwrap() - 0.5 * 2.705_543).abs() < 3e-2);
        assert!(two_sided(5, 0.95).unwrap() > two_sided(6, 0.95).unwrap());
        assert_eq!((two_sided(1, 0.95), one_sided(1, 0.95, 0.95)), (None, None));
    }
}
