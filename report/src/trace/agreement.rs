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
    format!(
        "{second} shows {} % {side} than {first} above a quarter of the peak ({} samples, scatter {} %){shift}. Their peaks are {} and {} kN: {} kN, \
         give or take {} kN from the cells alone; which of them is right, only a calibration tells.",
        decimals(off.abs(), 1),
        found.samples,
        decimals(100.0 * found.scatter, 1),
        decimals(found.peaks_kn[0], 2),
        decimals(found.peaks_kn[1], 2),
        decimals(mean, 2),
        decimals(half, 2),
    )
}
