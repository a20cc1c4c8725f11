//! How often something happens, by how often it did: the exact interval of Clopper and Pearson.
//!
//! Either end is the share at which as few, or as many, as were seen have half of what the confidence leaves.

use super::root;
use super::tolerance::CONFIDENCE;
use libm::lgamma;

/// So many of so many.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// How often it happened.
    pub hits: usize,
    /// Of how many.
    pub of: usize,
    /// From where to where the share of all lies, with [`CONFIDENCE`] at least.
    pub interval: [f64; 2],
}

impl Share {
    /// So many of so many; none of none.
    #[must_use]
    pub fn new(hits: usize, of: usize) -> Option<Self> {
        if of == 0 || hits > of {
            return None;
        }
        let half = 0.5 * (1.0 - CONFIDENCE);
        let low = match hits {
            0 => 0.0,
            hits => root::between(|p| at_least(hits, of, p) - half, 0.0, 1.0)?,
        };
        let high = match of - hits {
            0 => 1.0,
            misses => root::between(|p| at_least(misses, of, 1.0 - p) - half, 0.0, 1.0)?,
        };
        Some(Self { hits, of, interval: [low, high] })
    }
}

/// The chance of so many or more.
fn at_least(hits: usize, of: usize, p: f64) -> f64 {
    if p <= 0.0 || p >= 1.0 {
        return f64::from(u8::from(p >= 1.0));
    }
    let ln_choose = |k: f64| {
        let n = of as f64;
        lgamma(n + 1.0) - lgamma(k + 1.0) - lgamma(n - k + 1.0)
    };
    let chance = |k: usize| {
        let (k, n) = (k as f64, of as f64);
        (ln_choose(k) + k * p.ln() + (n - k) * (-p).ln_1p()).exp()
    };
    (hits..=of).map(chance).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_are_those_of_closed_forms() {
        // None of n: 1 - 0.025^(1/n); all of n its mirror.
        for n in [1, 5, 12, 100] {
            let end = 1.0 - 0.025_f64.powf(1.0 / n as f64);
            let [none, all] = [0, n].map(|hits| Share::new(hits, n).unwrap().interval);
            assert!(none[0] == 0.0 && (none[1] - end).abs() < 1e-12, "{n}: {none:?}");
            assert!(all[1] == 1.0 && (all[0] - (1.0 - end)).abs() < 1e-12, "{n}: {all:?}");
        }
        // One of two: p^2 and 2 p (1 - p) + p^2 are solved by hand.
        let [low, high] = Share::new(1, 2).unwrap().interval;
        assert!((low - (1.0 - 0.975_f64.sqrt())).abs() < 1e-12 && (high - 0.975_f64.sqrt()).abs() < 1e-12);
        assert_eq!((Share::new(0, 0), Share::new(3, 2)), (None, None));
    }

    #[test]
    fn it_covers_at_least_its_confidence_whatever_the_share() {
        for of in [3, 8, 20] {
            let intervals: Vec<[f64; 2]> =
                (0..=of).map(|hits| Share::new(hits, of).unwrap().interval).collect();
            for i in 1..100 {
                let p = f64::from(i) / 100.0;
                let holds = |hits: &usize| intervals[*hits][0] <= p && p <= intervals[*hits][1];
                let exactly = |hits: usize| {
                    at_least(hits, of, p) - if hits < of { at_least(hits + 1, of, p) } else { 0.0 }
                };
                let covered: f64 = (0..=of).filter(holds).map(exactly).sum();
                assert!(covered >= CONFIDENCE - 1e-12, "{p} of {of}: {covered}");
            }
        }
    }
}
