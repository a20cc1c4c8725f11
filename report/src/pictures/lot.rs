//! Words of the picture of a lot.

use crate::letters::typeset;
use crate::lot::{against_marking, claimed, ended, exact, is_a_load, marking, share, title};
use crate::numbers::{kilonewtons, typed};
use lab::statistics::{Belief, Figures, NormalLot};

/// The name of the picture.
#[must_use]
pub fn name(found: &Figures) -> String {
    format!("{}: what may be claimed of it", title(found))
}

/// The line under the title. `unlike`: whether they were pulled in rigs that differ, or are of other kinds or markings; `not_drawn`: groups
/// for which there is no row.
#[must_use]
pub fn subtitle(found: &Figures, unlike: bool, not_drawn: usize) -> String {
    let unlike = if unlike { "; rigs, kinds or markings differ: no one lot" } else { "" };
    let more = match not_drawn {
        0 => String::new(),
        1 => "; 1 more group is not drawn".to_owned(),
        more => format!("; {more} more groups are not drawn"),
    };
    format!("{}{unlike}{more}", ended(found))
}

/// What stands beneath: what the pulls say of the marking, and what speaks against that; empty without one.
#[must_use]
pub fn note(found: &Figures) -> String {
    let breaks = found.lot.breaks_kn().len();
    let told = |belief| std::iter::once(marking(belief)).chain(against_marking(belief, breaks));
    found
        .belief
        .as_ref()
        .map(|belief| typeset(&told(belief).collect::<Vec<_>>().join(" ")))
        .unwrap_or_default()
}

/// What stands over the pulls.
pub const PULLS: &str = "pulls";
/// What stands over the pulls of the other group.
pub const OTHERS: &str = "the others";
/// What the axis counts.
pub const AXIS: &str = "kN";
/// What a filled mark is, and an open one with an arrow.
pub const KEY: [&str; 2] = ["broke", "ended without a break: holds at least so much"];

/// The heading over bounds.
pub const BOUNDS: &str = "load that so much of the lot breaks above, with 95\u{a0}% confidence";
/// The heading over ratings.
pub const RATINGS: &str = "mean minus three standard deviations";

/// The name of a bound's row, of a normal lot and of a Weibull lot.
#[must_use]
pub fn bound(part: f64) -> [String; 2] {
    ["normal", "Weibull"].map(|kind| typeset(&format!("{}, {kind}", share(part))))
}

/// The heading over the mean, and the name of its row.
#[must_use]
pub fn mean(figures: &NormalLot) -> [&'static str; 2] {
    let row = match figures {
        NormalLot::Broke { .. } => "mean",
        NormalLot::Censored { .. } => "likeliest mean",
    };
    ["mean of the pulls, and where that of the lot lies, with 95\u{a0}% confidence", row]
}

/// The name of the row of a rating: by the deviation with n - 1, or with n.
#[must_use]
pub fn rating(by_sd: bool) -> &'static str {
    if by_sd { "by n \u{2212} 1" } else { "by n" }
}

/// A load as a row tells it, above zero.
#[must_use]
pub fn value(kn: f64) -> String {
    typeset(&kilonewtons(kn))
}

/// A load that may be claimed as a row tells it.
#[must_use]
pub fn claimed_value(kn: f64) -> String {
    if is_a_load(kn) { typeset(&claimed(kn)) } else { crate::lot::NO_LOAD.to_owned() }
}

/// The name at the line of a marking.
#[must_use]
pub fn marked(belief: &Belief) -> String {
    typeset(&format!("marking {} kN", typed(belief.marking_kn)))
}

/// The name at the line of a claim.
#[must_use]
pub fn claim(kn: f64, part: f64) -> String {
    typeset(&format!("claim {} kN for {}", exact(kn), share(part)))
}
