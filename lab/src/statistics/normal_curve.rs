//! The standard normal distribution.

use libm::erfc;
use statrs::function::erf::erfc_inv;
use std::f64::consts::{FRAC_1_SQRT_2, PI, SQRT_2};

/// Beyond this many standard deviations the tail is taken from its series: its own number would have no digits left.
const FAR: f64 = 25.0;

/// Share below z.
pub(super) fn below(z: f64) -> f64 {
    0.5 * erfc(-z * FRAC_1_SQRT_2)
}

/// The z that a share lies below: minus infinity at 0, infinity at 1.
pub(super) fn quantile(share: f64) -> f64 {
    let lower = share.min(1.0 - share);
    let near = -SQRT_2 * erfc_inv(2.0 * lower);
    // A last step to the digits that the first guess lacks.
    let z = if near.is_finite() { near - (below(near) - lower) / ln_density(near).exp() } else { near };
    if share > 0.5 { -z } else { z }
}

/// Logarithm of the density.
pub(super) fn ln_density(z: f64) -> f64 {
    -0.5 * z * z - 0.5 * (2.0 * PI).ln()
}

/// Logarithm of the share above z, anywhere.
pub(super) fn ln_above(z: f64) -> f64 {
    if z < FAR {
        return below(-z).ln();
    }
    ln_density(z) - z.ln() + far_series(z).ln()
}

/// Density over the share above z: how fast the tail goes.
pub(super) fn hazard(z: f64) -> f64 {
    if z < FAR { ln_density(z).exp() / below(-z) } else { z / far_series(z) }
}

/// The share above z over density / z, far out: the asymptotic series, whose first term left out is below 1e-9 there.
fn far_series(z: f64) -> f64 {
    let s = 1.0 / (z * z);
    1.0 - s * (1.0 - 3.0 * s * (1.0 - 5.0 * s * (1.0 - 7.0 * s)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_and_their_quantiles_agree() {
        // Abramowitz and Stegun, table 26.5, recalculated.
        for (share, z) in [
            (0.95, 1.644_853_626_951_472_7),
            (0.99, 2.326_347_874_040_841),
            (0.998_650_101_968_369_9, 3.0),
            (0.5, 0.0),
        ] {
            assert!((quantile(share) - z).abs() < 1e-12, "{share}: {}", quantile(share));
            assert!((below(z) - share).abs() < 1e-15);
        }
        for share in [1e-12, 1e-6, 0.2, 0.7] {
            assert!((below(quantile(share)) / share - 1.0).abs() < 1e-12, "{share}");
        }
    }

    #[test]
    fn the_far_tail_joins_the_near_one() {
        for f in [ln_above, hazard] {
            let [near, far] = [FAR - 1e-9, FAR + 1e-9].map(f);
            assert!((far / near - 1.0).abs() < 1e-8, "{near} {far}");
        }
        // ln Q(40), recalculated with 50 digits.
        assert!((ln_above(40.0) + 804.608_442_013_753_8).abs() < 1e-9, "{}", ln_above(40.0));
    }
}
