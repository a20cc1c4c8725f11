//! Two cells on one pull, in a sentence.

use super::TwoCells;
use crate::numbers::decimals;

/// How they agree.
#[must_use]
pub fn agreement(of: &TwoCells) -> String {
    let found = &of.agreement;
    let [first, second] = &of.names;
    let (mean, half) = found.peak_kn();
    let shift =
        found.shift_s.map_or_else(String::new, |s| format!(", its clock moved by {} s", decimals(s, 3)));
    let off = 100.0 * (found.ratio - 1.0);
    let side = if off < 0.0 { "less" } else { "more" };
    let peaks = [0, 1].map(|i| decimals(found.peaks_kn[i], 2));
    let together = if found.at_least {
        "one of them is a lower bound, so they have no mean".to_owned()
    } else {
        format!("{} kN, give or take {} kN from the cells alone", decimals(mean, 2), decimals(half, 2))
    };
    format!(
        "{second} shows {} % {side} than {first} above a quarter of the peak ({} samples, scatter {} %){shift}. Their peaks are {} and {} kN: {together}; \
         which of them is right, only a calibration tells.",
        decimals(off.abs(), 1),
        found.samples,
        decimals(100.0 * found.scatter, 1),
        peaks[0],
        peaks[1],
    )
}
