//! What of a request is allowed: its version, and how much it may hold.

/// Version of the protocol.
pub const VERSION: u32 = 2;
/// More keys than any state has.
pub const MOST_KEYS: usize = 400;
/// Longer than any key, in bytes.
pub const LONGEST_KEY: usize = 100;
/// Fewest and most values of a range.
pub const VALUES: std::ops::RangeInclusive<usize> = 3..=41;
/// Smallest and largest side of a still, pixels; an 8K screen is 7680 wide.
pub const SIDE: std::ops::RangeInclusive<u32> = 240..=7680;
/// Most pixels of a still: 4K and its uprights, with room.
pub const MOST_PIXELS: u64 = 12_000_000;
/// Largest enlargement.
pub const MOST_ENLARGED: f64 = 10_000.0;
/// States that may stand beside the one that the page opens with.
pub const MOST_KEPT: usize = 4;
/// Letters of a kept state's name.
pub const MOST_LETTERS: usize = 80;
