//! Drawn numbers: the same for the same index, on any thread and machine.

/// A counter-based generator (splitmix64).
#[derive(Clone, Copy, Debug)]
pub struct Draws(u64);

impl Draws {
    /// The numbers of an index.
    #[must_use]
    pub fn of(index: u64) -> Self {
        Self(index.wrapping_mul(0xd134_2543_de82_ef95))
    }

    /// From 0 to 1.
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// From `low` to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// True in so many parts of one.
    pub fn chance(&mut self, part: f64) -> bool {
        self.unit() < part
    }

    /// One of several.
    ///
    /// # Panics
    /// If there is none.
    pub fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[(self.unit() * of.len() as f64) as usize]
    }
}
