//! Where something is largest, how large a plastic strain is, and whether that is a result.

use crate::locations::frame;
use study::pull_to_failure::Pulled;

/// What stands after the place of a strain that is none.
const NOT_A_RESULT: &str = "beside contact or corner, not to be relied on";

/// The place of a point of the undeformed frame, in words.
#[must_use]
pub fn place(pulled: &Pulled<'_>, at: [f64; 2]) -> String {
    frame(pulled.place(at))
}

/// The place of a largest strain or stress, and whether it is a result.
pub(super) fn at_or_beside(pulled: &Pulled<'_>, at: [f64; 2]) -> String {
    let place = place(pulled, at);
    if pulled.ready.trusts(at) { place } else { format!("{place}; {NOT_A_RESULT}") }
}

/// A plastic strain.
pub(super) fn strain(strain: f64) -> String {
    let percent = 100.0 * strain;
    if percent > 0.0 && percent < 0.1 { "under 0.1 %".to_owned() } else { format!("{percent:.1} %") }
}
