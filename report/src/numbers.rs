//! Numbers as every answer and picture writes them.

/// A load in kN with its unit: to hundredths below one kilonewton, where a tenth would hide it, to tenths from there on. The one
/// rule of sentences and labels; tables keep to tenths, so that their points stand below each other.
#[must_use]
pub fn kilonewtons(kn: f64) -> String {
    format!("{} kN", kilonewtons_alone(kn))
}

/// The same without its unit, for ranges.
#[must_use]
pub fn kilonewtons_alone(kn: f64) -> String {
    // What rounds to zero has no sign.
    let kn = if kn.abs() < 0.005 { 0.0 } else { kn };
    if kn.abs() < 0.995 && kn != 0.0 { format!("{kn:.2}") } else { format!("{kn:.1}") }
}

/// A number as tables for programs have it: zero has no sign.
#[must_use]
pub fn unsigned_zero(value: f64) -> f64 {
    if value == 0.0 { 0.0 } else { value }
}

/// A number with so many decimals; what rounds to zero has no sign.
#[must_use]
pub fn decimals(value: f64, count: usize) -> String {
    let text = format!("{value:.count$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        _ => text,
    }
}

/// A number to three significant digits: what is measured is known no better.
#[must_use]
pub fn digits(value: f64) -> String {
    if value <= 0.0 || !value.is_finite() {
        return plain(value);
    }
    let scale = 10_f64.powi(2 - value.log10().floor() as i32);
    plain((value * scale).round() / scale)
}

/// A number for people: at most six significant digits, no trailing zeros, no exponent at sizes met here.
///
/// Not-a-number and infinity come out as `nan` and `inf`; a slip that is far out of all bounds has an exponent.
#[must_use]
pub fn plain(value: f64) -> String {
    if !value.is_finite() || value == 0.0 || value.abs() >= 1e15 || value.abs() < 1e-9 {
        return match value {
            nan if nan.is_nan() => "nan".to_owned(),
            0.0 => "0".to_owned(),
            far if far.is_finite() => format!("{far:e}"),
            infinite => format!("{infinite}"),
        };
    }
    // Truncation is wanted: the decimal exponent of a number inside the bounds above is a small whole number.
    #[allow(clippy::cast_possible_truncation, reason = "between -9 and 15 by the test above")]
    let digits_before = value.abs().log10().floor() as i32 + 1;
    let decimals = usize::try_from((6 - digits_before).max(0)).unwrap_or(0);
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A number as it is typed: to hundredths at most, without zeros at its end.
#[must_use]
pub fn typed(value: f64) -> String {
    plain((100.0 * value).round() / 100.0)
}

/// A share in percent, never 0 % or 100 % of what is not.
#[must_use]
pub fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    if percent > 0.0 && percent < 0.95 {
        "under 1 %".to_owned()
    } else if percent < 100.0 && percent > 99.05 {
        "over 99 %".to_owned()
    } else {
        format!("{percent:.0} %")
    }
}

/// How likely something is, in percent. What was drawn so often or weighed among so much is never certain: no 0 % and no 100 %.
#[must_use]
pub fn likelihood(share: f64) -> String {
    percent(share.clamp(1e-6, 1.0 - 1e-6))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_drawn_is_never_certain() {
        let told = [0.0, 0.003, 0.0096, 0.5, 0.99, 0.995, 1.0].map(likelihood);
        assert_eq!(told, ["under 1 %", "under 1 %", "1 %", "50 %", "99 %", "over 99 %", "over 99 %"]);
    }

    #[test]
    fn a_typed_number_has_no_zeros_at_its_end() {
        assert_eq!(
            [typed(10.0), typed(1.35), typed(12.5), typed(17.792_886)],
            ["10", "1.35", "12.5", "17.79"]
        );
    }

    #[test]
    fn plain_numbers() {
        assert_eq!(plain(0.1 + 0.2), "0.3");
        assert_eq!(plain(14.0), "14");
        assert_eq!(plain(71_700.0), "71700");
        assert_eq!(plain(-31.75), "-31.75");
        assert_eq!(plain(1_234_567.0), "1234567");
        assert_eq!(plain(0.0), "0");
        assert_eq!(plain(f64::NAN), "nan");
        assert_eq!(plain(100.0), "100");
        assert_eq!(
            (plain(1e300), plain(-1e-300), plain(-0.0)),
            ("1e300".into(), "-1e-300".into(), "0".into())
        );
        assert_eq!(plain(f64::NEG_INFINITY), "-inf");
    }

    #[test]
    fn what_rounds_to_zero_has_no_sign() {
        let told = [-0.004, 0.004, -0.0, -0.006, -12.346].map(|value| decimals(value, 2));
        assert_eq!(told, ["0.00", "0.00", "0.00", "-0.01", "-12.35"]);
        assert_eq!((decimals(-0.4, 0), decimals(-0.6, 0)), ("0".to_owned(), "-1".to_owned()));
        let signs = [-0.0, 0.0, -1e-9].map(|value| unsigned_zero(value).is_sign_negative());
        assert_eq!(signs, [false, false, true]);
    }

    #[test]
    fn small_loads_keep_their_second_digit() {
        let told = [0.16, -0.01, 0.999, 12.345, -0.001].map(kilonewtons);
        assert_eq!(told, ["0.16 kN", "-0.01 kN", "1.0 kN", "12.3 kN", "0.0 kN"]);
    }
}
