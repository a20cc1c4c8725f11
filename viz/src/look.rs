//! What all pictures share: paper, ink, one accent, sizes of type. Units are those of a picture 1200 high.

use crate::colour::Rgba;

/// Warm paper.
pub(crate) const PAPER: Rgba = Rgba::hex(0xf6_f0e4);
/// Slightly darker paper, for bodies that carry no field.
pub(crate) const PAPER_SHADE: Rgba = Rgba::hex(0xe6_dccb);
/// Lines and main type; 13:1 against paper.
pub(crate) const INK: Rgba = Rgba::hex(0x1c_2831);
/// Second-rank type; 5.5:1 against paper.
pub(crate) const QUIET: Rgba = Rgba::hex(0x62_6059);
/// The accent: what the reader should find first; 5.3:1 against paper.
pub(crate) const ACCENT: Rgba = Rgba::hex(0x0d_6b66);

/// Headline.
pub(crate) const HEADLINE: f64 = 46.0;
/// Numbers at callouts.
pub(crate) const NUMBER: f64 = 40.0;
/// Labels: a fortieth of the height.
pub(crate) const LABEL: f64 = 30.0;
/// Caution and source.
pub(crate) const SMALL: f64 = 22.0;
/// Space around the picture.
pub(crate) const MARGIN: f64 = 56.0;

/// Smallest number of the form 1, 2, 2.5, 3, 4, 5, 6 or 8 times a power of ten that is at least `x`; 1 when `x` is not
/// positive.
pub(crate) fn round_up(x: f64) -> f64 {
    if !(x > 0.0 && x.is_finite()) {
        return 1.0;
    }
    let power = 10.0_f64.powf(x.log10().floor());
    let lead = [1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0];
    lead.iter().map(|m| m * power).find(|m| *m >= x * (1.0 - 1e-12)).unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_up_gives_ruler_numbers() {
        for (x, up) in [(287.0, 300.0), (300.0, 300.0), (0.11, 0.2), (523.0, 600.0), (9.1, 10.0), (0.0, 1.0)]
        {
            assert!((round_up(x) - up).abs() < 1e-9, "{x}: {}", round_up(x));
        }
    }
}
