//! Random numbers from a counter: Philox 4x32 with ten rounds (J. Salmon, M. Moraes, R. Dror, D. Shaw, "Parallel random
//! numbers: as easy as 1, 2, 3", 2011).
//!
//! A number is a function of seed and place alone, so no state is handed from draw to draw: the draws may be made in any
//! order, on any number of threads, and one of them can be made again.

const MULTIPLIERS: [u32; 2] = [0xD251_1F53, 0xCD9E_8D57];
const WEYL: [u32; 2] = [0x9E37_79B9, 0xBB67_AE85];
const ROUNDS: usize = 10;

/// A generator: one key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counter {
    key: [u32; 2],
}

/// Upper and lower half of a product.
fn wide(a: u32, b: u32) -> [u32; 2] {
    let product = u64::from(a) * u64::from(b);
    #[expect(clippy::cast_possible_truncation, reason = "the lower half is wanted")]
    let low = product as u32;
    [(product >> 32) as u32, low]
}

impl Counter {
    /// The generator of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        #[expect(clippy::cast_possible_truncation, reason = "the lower half is wanted")]
        let low = seed as u32;
        Self { key: [low, (seed >> 32) as u32] }
    }

    /// The four words at a place of the counter.
    #[must_use]
    pub fn words(self, counter: [u32; 4]) -> [u32; 4] {
        let (mut c, mut key) = (counter, self.key);
        for round in 0..ROUNDS {
            if round > 0 {
                key = [key[0].wrapping_add(WEYL[0]), key[1].wrapping_add(WEYL[1])];
            }
            let [high0, low0] = wide(MULTIPLIERS[0], c[0]);
            let [high1, low1] = wide(MULTIPLIERS[1], c[2]);
            c = [high1 ^ c[1] ^ key[0], low1, high0 ^ c[3] ^ key[1], low0];
        }
        c
    }

    /// An even number between 0 and 1, both ends excluded, for one unknown of one draw.
    #[must_use]
    pub fn even(self, draw: u32, unknown: u32) -> f64 {
        let [a, b, ..] = self.words([draw, unknown, 0, 0]);
        // 52 bits, in the middles of as many equal pieces.
        let bits = (u64::from(a) << 20) | u64::from(b >> 12);
        (bits as f64 + 0.5) / (1_u64 << 52) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_those_of_the_published_test_vectors() {
        // Known answers that come with the authors' own library.
        assert_eq!(
            Counter { key: [0; 2] }.words([0; 4]),
            [0x6627_e8d5, 0xe169_c58d, 0xbc57_ac4c, 0x9b00_dbd8]
        );
        let all = u32::MAX;
        assert_eq!(
            Counter { key: [all; 2] }.words([all; 4]),
            [0x408f_276d, 0x41c8_3b0e, 0xa20b_c7c6, 0x6d54_51fd]
        );
        // Digits of pi.
        assert_eq!(
            Counter { key: [0xa409_3822, 0x299f_31d0] }.words([
                0x243f_6a88,
                0x85a3_08d3,
                0x1319_8a2e,
                0x0370_7344
            ]),
            [0xd16c_fe09, 0x94fd_cceb, 0x5001_e420, 0x2412_6ea1]
        );
    }

    #[test]
    fn even_numbers_are_even() {
        let counter = Counter::new(7);
        let draws: Vec<f64> = (0..10_000).map(|d| counter.even(d, 3)).collect();
        assert!(draws.iter().all(|u| (0.0..1.0).contains(u) && *u > 0.0));
        let mean = draws.iter().sum::<f64>() / 1e4;
        let square = draws.iter().map(|u| u * u).sum::<f64>() / 1e4;
        // Means of u and u^2 are 1/2 and 1/3; standard errors 0.0029 and 0.0030.
        assert!((mean - 0.5).abs() < 0.009 && (square - 1.0 / 3.0).abs() < 0.009, "{mean} {square}");
        // Unknowns are independent: mean of the product 1/4, standard error 0.0022.
        let product = (0..10_000).map(|d| counter.even(d, 3) * counter.even(d, 4)).sum::<f64>() / 1e4;
        assert!((product - 0.25).abs() < 0.007, "{product}");
        assert_ne!(Counter::new(7).even(0, 0), Counter::new(8).even(0, 0));
    }
}
