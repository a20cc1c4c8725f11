//! Where a function is zero, between two places at which its signs differ.

/// Tries before the middle of what is left is taken.
const MOST: usize = 200;

/// A zero between two places, to the last digits; none where the signs there are the same or no numbers.
///
/// Inverse quadratic steps where they are safe, halves elsewhere (Chandrupatla 1997).
pub(super) fn between(f: impl Fn(f64) -> f64, from: f64, to: f64) -> Option<f64> {
    let (mut a, mut b) = (from, to);
    let (mut at_a, mut at_b) = (f(a), f(b));
    if at_a == 0.0 {
        return Some(a);
    }
    if at_b == 0.0 {
        return Some(b);
    }
    if at_a.is_nan() || at_b.is_nan() || at_a.signum() == at_b.signum() {
        return None;
    }
    let mut part = 0.5;
    for _ in 0..MOST {
        let new = a + part * (b - a);
        let at_new = f(new);
        let (c, at_c);
        if (at_new > 0.0) == (at_a > 0.0) {
            (c, at_c) = (a, at_a);
        } else {
            (c, at_c) = (b, at_b);
            (b, at_b) = (a, at_a);
        }
        (a, at_a) = (new, at_new);
        let (best, least) = if at_a.abs() < at_b.abs() { (a, at_a) } else { (b, at_b) };
        let near = 2.0 * f64::EPSILON * best.abs() + f64::MIN_POSITIVE;
        let least_part = near / (b - c).abs();
        if least == 0.0 || least_part.is_nan() || least_part > 0.5 {
            return Some(best);
        }
        let (xi, phi) = ((a - b) / (c - b), (at_a - at_b) / (at_c - at_b));
        part = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            at_a / (at_b - at_a) * at_c / (at_b - at_c)
                + (c - a) / (b - a) * at_a / (at_c - at_a) * at_b / (at_c - at_b)
        } else {
            0.5
        };
        part = part.clamp(least_part, 1.0 - least_part);
    }
    Some(0.5 * (a + b))
}

/// A zero on the way from a place, in steps that double; none where the sign never changes.
pub(super) fn outward(f: impl Fn(f64) -> f64, from: f64, step: f64) -> Option<f64> {
    let sign = f(from);
    if sign == 0.0 {
        return Some(from);
    }
    let (mut near, mut far) = (from, from + step);
    for _ in 0..MOST {
        let there = f(far);
        if !there.is_finite() {
            return None;
        }
        if there * sign.signum() <= 0.0 {
            return between(f, near, far);
        }
        (near, far) = (far, far + 2.0 * (far - near));
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zeros_are_found_to_the_last_digits() {
        assert!((between(|x| x * x - 2.0, 0.0, 2.0).unwrap() - 2.0_f64.sqrt()).abs() < 1e-15);
        assert!((between(|x| x.powi(3), -1.0, 3.0).unwrap()).abs() < 1e-5);
        assert!((between(|x| (x - 0.3).tanh() * 1e6, -50.0, 90.0).unwrap() - 0.3).abs() < 1e-14);
        assert_eq!(between(|x| x * x + 1.0, -1.0, 1.0), None);
        assert_eq!(between(|_| f64::NAN, -1.0, 1.0), None);
        assert!((outward(|x| x - 1e6, 1.0, 0.5).unwrap() - 1e6).abs() < 1e-8);
        assert!((outward(|x| x + 37.0, 1.0, -0.5).unwrap() + 37.0).abs() < 1e-13);
        assert_eq!(outward(|_| 1.0, 0.0, 1.0), None);
    }
}
