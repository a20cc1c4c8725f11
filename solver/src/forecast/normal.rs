//! The normal distribution: its cumulative chance, and the place of a given chance.

use std::f64::consts::PI;

/// Beyond this many standard deviations nothing is left in double precision.
const FAR: f64 = 8.0;
/// Halvings of the search for a quantile: to 16 / 2^55.
const HALVINGS: usize = 55;

/// Density of the standard normal distribution.
fn density(x: f64) -> f64 {
    (-0.5 * x * x).exp() / (2.0 * PI).sqrt()
}

/// Chance that a standard normal number is below `x`: 1/2 + density (x + x^3/3 + x^5/(3 5) + ...), absolute error below
/// 1e-14.
#[must_use]
pub fn normal_cumulative(x: f64) -> f64 {
    if x.abs() >= FAR {
        return if x > 0.0 { 1.0 } else { 0.0 };
    }
    let (mut sum, mut term, mut odd) = (x, x, 1.0);
    while term.abs() > 1e-17 {
        odd += 2.0;
        term *= x * x / odd;
        sum += term;
    }
    (0.5 + density(x) * sum).clamp(0.0, 1.0)
}

/// The standard normal number below which lies the chance `p`, held within +-8.
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    let (mut low, mut high) = (-FAR, FAR);
    let mut x = 0.0;
    // Newton's steps, kept inside the bracket by halving.
    for _ in 0..HALVINGS {
        let error = normal_cumulative(x) - p;
        if error > 0.0 {
            high = x;
        } else {
            low = x;
        }
        let step = error / density(x);
        if step.abs() < 1e-12 {
            break;
        }
        let next = x - step;
        x = if next > low && next < high { next } else { 0.5 * (low + high) };
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_those_of_the_tables() {
        for (x, p) in [
            (0.0, 0.5),
            (1.0, 0.841_344_746_068_543),
            (-2.0, 0.022_750_131_948_179),
            (4.0, 0.999_968_328_758),
        ] {
            assert!((normal_cumulative(x) - p).abs() < 1e-12, "{x}");
        }
        for (p, x) in [
            (0.5, 0.0),
            (0.95, 1.644_853_626_951_47),
            (0.001, -3.090_232_306_167_81),
            (0.975, 1.959_963_984_540_05),
        ] {
            assert!((normal_quantile(p) - x).abs() < 1e-9, "{p}: {}", normal_quantile(p));
        }
        assert!((normal_quantile(0.0) + FAR).abs() < 1e-6);
    }
}
