//! Sizes of stills.

/// A size of still.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StillSize {
    /// Pixels across and down; zero for all usual sizes.
    pub pixels: [u32; 2],
}

impl StillSize {
    /// Whether all usual sizes are meant.
    #[must_use]
    pub fn is_all(self) -> bool {
        self.pixels == [0, 0]
    }
}
