//! Loads as every answer and picture writes them.

/// A load in kN with its unit: to hundredths below one kilonewton, where a tenth would hide it, to tenths from there on. The one
/// rule of sentences and labels; tables keep to tenths, so that their points stand below each other.
#[must_use]
pub fn kilonewtons(kn: f64) -> String {
    format!("{} kN", kilonewtons_alone(kn))
}

/// The same without its unit, for ranges.
#[must_use]
pub fn kilonewtons_alone(kn: f64) -> String {
    // What rounds to nought has no sign.
    let kn = if kn.abs() < 0.005 { 0.0 } else { kn };
    if kn.abs() < 0.995 && kn != 0.0 { format!("{kn:.2}") } else { format!("{kn:.1}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_loads_keep_their_second_digit() {
        let told = [0.16, -0.01, 0.999, 12.345, -0.001].map(kilonewtons);
        assert_eq!(told, ["0.16 kN", "-0.01 kN", "1.0 kN", "12.3 kN", "0.0 kN"]);
    }
}
