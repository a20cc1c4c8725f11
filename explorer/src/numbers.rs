//! How what was typed is written in a heading.

use crate::model_file::quantity::plain;

/// A number as it is typed: to hundredths at most, without noughts at its end.
#[must_use]
pub fn typed(value: f64) -> String {
    plain((100.0 * value).round() / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typed_number_has_no_noughts_at_its_end() {
        assert_eq!(
            [typed(10.0), typed(1.35), typed(12.5), typed(17.792_886)],
            ["10", "1.35", "12.5", "17.79"]
        );
    }
}
