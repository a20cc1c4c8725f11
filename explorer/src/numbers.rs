//! How loads are written, in one place.

/// A load in kN with its unit: to hundredths below one kilonewton, where a tenth would hide it, to tenths from there on.
#[must_use]
pub fn load(kn: f64) -> String {
    // What rounds to nought has no sign.
    let kn = if kn.abs() < 0.005 { 0.0 } else { kn };
    if kn.abs() < 0.995 && kn != 0.0 { format!("{kn:.2} kN") } else { format!("{kn:.1} kN") }
}

/// A number as it is typed: to hundredths at most, without noughts at its end.
#[must_use]
pub fn typed(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_loads_keep_their_second_digit() {
        assert_eq!(load(0.16), "0.16 kN");
        assert_eq!(load(0.999), "1.0 kN");
        assert_eq!(load(12.345), "12.3 kN");
        assert_eq!(load(-0.001), "0.0 kN");
    }

    #[test]
    fn a_typed_number_has_no_noughts_at_its_end() {
        assert_eq!(
            [typed(10.0), typed(1.35), typed(12.5), typed(17.792_886)],
            ["10", "1.35", "12.5", "17.79"]
        );
    }
}
