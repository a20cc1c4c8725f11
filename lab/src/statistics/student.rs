//! Student's t distribution, central and not.
//!
//! Both by their definition: T = (Z + shift) / S, with Z standard normal and S the square root of a chi-square over its degrees of
//! freedom. Given S the share is one of a normal; that is integrated over the density of S.

use super::normal_curve::below;
use super::quadrature::integral;
use super::root;
use libm::lgamma;
use std::f64::consts::PI;

/// Widths of its density around 1 beyond which S is never met: less than 1e-20 of it lies there.
const REACH: f64 = 12.0;

/// From how large half degrees of freedom on the logarithm of gamma is taken from its series: below 1e-16 off there.
const MANY: f64 = 50.0;

/// Logarithm of the density of S at 1.
fn ln_density_at_1(df: f64) -> f64 {
    let half = 0.5 * df;
    if half < MANY {
        return 2.0_f64.ln() + half * half.ln() - lgamma(half) - half;
    }
    // Stirling; the large terms cancel before they are rounded.
    let s = 1.0 / (half * half);
    let series = (1.0 - s * (1.0 / 30.0 - s * (1.0 / 105.0 - s / 140.0))) / (12.0 * half);
    2.0_f64.ln() + 0.5 * (half / (2.0 * PI)).ln() - series
}

/// Share of (Z + shift) / S below t.
pub(super) fn non_central_below(t: f64, df: f64, shift: f64) -> f64 {
    share(&|s| below(t * s - shift), df, shift / t, 1.0 / t)
}

/// Share of Student's t above t.
pub(super) fn above(t: f64, df: f64) -> f64 {
    share(&|s| below(-t * s), df, 0.0, 1.0 / t)
}

/// The t that a share of Student's t lies above; `share` below one half.
pub(super) fn quantile_above(share: f64, df: f64) -> Option<f64> {
    root::outward(|t| above(t, df) - share, 0.0, 1.0)
}

/// The mean over S of a share that goes from 0 to 1 around `turn`, over a length of about `width`.
fn share(given: &dyn Fn(f64) -> f64, df: f64, turn: f64, width: f64) -> f64 {
    let spread = 1.0 / (2.0 * df).sqrt();
    let (low, high) = ((1.0 - REACH * spread).max(0.0), 1.0 + REACH * spread);
    let at_1 = ln_density_at_1(df);
    let density = |s: f64| {
        let off = s - 1.0;
        let ln = at_1 + (df - 1.0) * off.ln_1p() - 0.5 * df * off * (2.0 + off);
        // One degree of freedom has a density at zero; more have none.
        if s > 0.0 { ln.exp() } else { 0.0 }
    };
    let inside = |s: f64| s.is_finite() && low < s && s < high;
    let width = width.abs();
    let mut points = vec![low, 1.0, high];
    let around = [-8.0, -2.0, 0.0, 2.0, 8.0].map(|k| turn + k * width);
    points.extend(around.into_iter().chain([1.0 - 3.0 * spread, 1.0 + 3.0 * spread]).filter(|s| inside(*s)));
    points.sort_by(f64::total_cmp);
    integral(|s| density(s) * given(s), &points).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_density_of_s_is_whole() {
        for df in [1.0, 2.0, 3.5, 19.0, 99.0, 101.0, 4_000.0, 1e6] {
            let whole = share(&|_| 1.0, df, 1.0, 1.0);
            assert!((whole - 1.0).abs() < 1e-12, "{df}: {whole}");
        }
        let [series, gamma] = [MANY + 1e-9, MANY - 1e-9].map(|half| ln_density_at_1(2.0 * half));
        assert!((series - gamma).abs() < 1e-10, "{series} {gamma}");
    }

    #[test]
    fn tails_of_students_t_have_their_closed_forms() {
        for t in [0.0, 0.3, 2.0, 12.7, 300.0] {
            let one = 0.5 - f64::atan(t) / PI;
            assert!((above(t, 1.0) - one).abs() < 1e-12, "{t}: {}", above(t, 1.0));
            let two = 0.5 - 0.5 * t / (2.0 + t * t).sqrt();
            assert!((above(t, 2.0) - two).abs() < 1e-12, "{t}: {}", above(t, 2.0));
        }
        // Student's t, 2.5 % above, tables; recalculated.
        for (df, t) in
            [(1.0, 12.706_204_736), (4.0, 2.776_445_105), (14.0, 2.144_786_688), (120.0, 1.979_930_405)]
        {
            assert!((quantile_above(0.025, df).unwrap() / t - 1.0).abs() < 1e-9, "{df}");
        }
    }

    #[test]
    fn without_a_shift_both_are_one() {
        for (t, df) in [(0.5, 3.0), (2.5, 17.3), (4.0, 900.0)] {
            assert!((non_central_below(t, df, 0.0) + above(t, df) - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn shifted_shares_are_those_of_an_independent_calculation() {
        // A numerical library's non-central t and its own quadrature of the definition agree on these to 3e-13.
        for (t, df, shift, share) in [
            (2.0, 1.0, 1.0, 0.622_871_964_460_3),
            (37.0, 1.0, 3.289_885_010_148_531, 0.929_171_760_926_4),
            (13.0, 2.0, 2.85, 0.948_019_491_765_9),
            (6.2, 19.0, 9.0, 0.022_280_042_617_4),
            (9.3, 4.0, 3.678, 0.948_199_290_974_3),
            (80.0, 1_000.0, 75.0, 0.992_709_962_519_8),
            (105.5, 3_999.0, 104.03, 0.827_977_712_678_5),
            (-0.5, 5.0, 0.7, 0.122_580_906_937_5),
        ] {
            let found = non_central_below(t, df, shift);
            assert!((found - share).abs() < 1e-10, "{t} {df} {shift}: {found} for {share}");
        }
    }
}
