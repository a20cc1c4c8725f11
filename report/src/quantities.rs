//! Numbers with their units, ranges, and what is wrong with a text that is none.

use crate::numbers::plain;
use crate::reason::Reason;
use study::model::SpreadKind;
use study::model::quantity::{Dimension, QuantityError};

/// A number with its unit: `14 mm`, `0.2` for a plain ratio.
#[must_use]
pub fn with_unit(value: f64, dimension: Dimension) -> String {
    format!("{} {}", plain(value), dimension.base_unit()).trim_end().to_owned()
}

/// What is allowed, as every message says it: `0.3 to 30 mm`.
#[must_use]
pub fn range_in_words([low, high]: [f64; 2], dimension: Dimension) -> String {
    format!("{} to {}", plain(low), with_unit(high, dimension))
}

/// A value with what is known of its range, as people write it and as it is read again: `4 ± 0.2`, `12 to 15`; `None` where the
/// range is that of a metal.
#[must_use]
pub fn with_range(middle: f64, range: SpreadKind) -> Option<String> {
    match range {
        SpreadKind::PlusMinus(more) => Some(format!("{} \u{b1} {}", plain(middle), plain(more))),
        SpreadKind::Between(low, high) => Some(format!("{} to {}", plain(low), plain(high))),
        SpreadKind::UnknownMaterial => None,
    }
}

/// How a number of a dimension may be typed, in quotes as a file has it: alone, with more or less, between two.
#[must_use]
pub fn examples(dimension: Dimension) -> [String; 3] {
    let [alone, more, between] = examples_typed(dimension);
    let alone = if dimension == Dimension::Ratio { alone } else { format!("\"{alone}\"") };
    [alone, format!("\"{more}\""), format!("\"{between}\"")]
}

/// The same as it is typed on a page.
#[must_use]
pub fn examples_typed(dimension: Dimension) -> [String; 3] {
    let [one, more, low, high] = match dimension {
        Dimension::Length => ["14", "0.2", "12", "15"],
        Dimension::Force => ["10", "0.5", "9", "11"],
        Dimension::Angle => ["12", "1", "10", "14"],
        Dimension::Stress => ["500", "20", "480", "520"],
        Dimension::StrapStiffness => ["100", "20", "80", "120"],
        Dimension::Density => ["2.8", "0.05", "2.7", "2.9"],
        Dimension::Ratio => ["0.2", "0.05", "0.15", "0.25"],
    };
    let alone = format!("{one} {}", dimension.base_unit()).trim_end().to_owned();
    [alone, format!("{one} \u{b1} {more}"), format!("{low} to {high}")]
}

/// The name of a dimension, with an article.
#[must_use]
pub fn name(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "a length",
        Dimension::Force => "a force",
        Dimension::Angle => "an angle",
        Dimension::Stress => "a stress",
        Dimension::StrapStiffness => "a strap stiffness",
        Dimension::Density => "a density",
        Dimension::Ratio => "a plain number",
    }
}

/// The units that a dimension may be written in: `mm, cm, m or in`. Of two spellings that with the accent is named.
#[must_use]
pub fn unit_list(dimension: Dimension) -> String {
    let names: Vec<&str> = dimension
        .units()
        .iter()
        .map(|unit| unit.0)
        .filter(|name| !name.ends_with(['2', '3']) || name.contains('^'))
        .collect();
    match names.split_last() {
        None => String::new(),
        Some((only, [])) => (*only).to_owned(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

/// Why a text is not a quantity, in a sentence.
#[must_use]
pub fn mistake(error: &QuantityError) -> String {
    reason(error).to_string()
}

/// Why a text is not a quantity: what was found and what is allowed.
#[must_use]
pub fn reason(error: &QuantityError) -> Reason {
    match error {
        QuantityError::NoNumber { found, wanted } => {
            Reason::found(format!("\"{found}\", which is not a number"), expected(*wanted))
        }
        QuantityError::Comma { found } => {
            Reason::found(format!("\"{found}\" with a comma"), "a decimal point")
        }
        QuantityError::Thousands { found } => Reason::found(
            format!(
                "\"{found}\", where it cannot be told whether a comma begins decimals or divides thousands"
            ),
            "no sign between thousands, and one decimal point or comma, such as 1234.5",
        ),
        QuantityError::Range { found, wanted } => Reason::found(
            format!("\"{found}\", a range that is not one of two numbers"),
            format!("{} between two ends, or more or less", expected(*wanted)),
        ),
        QuantityError::Fraction { found } => Reason::found(
            format!("\"{found}\", a fraction that has no value"),
            "whole numbers above and below, such as 3/16 or 1 1/4",
        ),
        QuantityError::NoUnit { found, wanted } => {
            Reason::found(format!("\"{found}\" in quotes without a unit"), expected(*wanted))
        }
        QuantityError::WrongUnit { found, unit, wanted } => {
            let of = wanted.other_with(unit).map_or("a unit that is not known here", name);
            Reason::found(format!("\"{found}\", {of}"), expected(*wanted))
        }
    }
}

/// What a number of a dimension may be.
pub(crate) fn expected(dimension: Dimension) -> String {
    match dimension {
        Dimension::Ratio => "a plain number without a unit".to_owned(),
        other => format!("{} in {}", name(other), unit_list(other)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use study::model::quantity::parse;
    use study::model::typed_range::{Typed, read};

    #[test]
    fn refusals_name_what_is_wrong() {
        let message = |text, dimension| mistake(&parse(text, dimension).unwrap_err());
        assert_eq!(
            message("14 kN", Dimension::Length),
            "found \"14 kN\", a force; allowed: a length in mm, cm, m or in"
        );
        assert_eq!(
            message("14", Dimension::Length),
            "found \"14\" in quotes without a unit; allowed: a length in mm, cm, m or in"
        );
        assert!(message("3 furlong", Dimension::Length).contains("not known here"));
        assert!(message("1/0 in", Dimension::Length).contains("allowed"));
    }

    #[test]
    fn commas_that_may_divide_thousands_and_halves_of_a_range_are_told() {
        let message = |text| mistake(&read(text, Dimension::Length).unwrap_err());
        assert_eq!(
            message("1,234.5"),
            "found \"1,234.5\", where it cannot be told whether a comma begins decimals or divides thousands; allowed: no sign \
             between thousands, and one decimal point or comma, such as 1234.5"
        );
        assert_eq!(
            message("4 ± x"),
            "found \"4 ± x\", a range that is not one of two numbers; allowed: a length in mm, cm, m or in between two ends, or \
             more or less"
        );
    }

    #[test]
    fn every_example_is_read() {
        use Dimension::{Angle, Density, Force, Length, Ratio, StrapStiffness, Stress};
        for dimension in [Length, Force, Angle, Stress, StrapStiffness, Density, Ratio] {
            let [alone, more, between] = examples(dimension);
            assert!(dimension == Ratio || parse(alone.trim_matches('"'), dimension).is_ok(), "{alone}");
            let read = |text: &str| read(text.trim_matches('"'), dimension);
            assert!(matches!(read(&more), Ok(Typed::PlusMinus { .. })), "{more}");
            assert!(matches!(read(&between), Ok(Typed::Between { low, high }) if low < high), "{between}");
        }
    }

    proptest! {
        /// What is written is read again as what it was: thousandths, as a caliper and its reader have them.
        #[test]
        fn a_range_that_is_written_is_read_again(a in -99_999..99_999_i32, b in 1..9_999_i32, around in any::<bool>()) {
            let [first, second] = [f64::from(a) / 1000.0, f64::from(b) / 1000.0];
            let (range, middle) = match around {
                true => (SpreadKind::PlusMinus(second), first),
                false => (SpreadKind::Between(first, f64::from(a + b) / 1000.0), 0.0),
            };
            let written = with_range(middle, range).unwrap();
            let expected = match range {
                SpreadKind::Between(low, high) => Typed::Between { low, high },
                _ => Typed::PlusMinus { middle: first, more: second },
            };
            for typed in [
                written.clone(),
                format!("{written} mm"),
                written.replace(" to ", "-").replace(" \u{b1} ", "+-"),
                written.replace('-', "\u{2212}"),
                written.replace(" to ", " \u{2013} "),
            ] {
                prop_assert_eq!(read(&typed, Dimension::Length), Ok(expected), "{}", typed);
            }
        }

        /// No text is anything but read or refused, and one that was a number stays that number.
        #[test]
        fn any_text_is_read_or_refused(text in "[0-9 .,/+±−–tomin\"-]{0,24}") {
            let alone = parse(&text, Dimension::Length);
            let typed = read(&text, Dimension::Length);
            if let Ok(number) = alone {
                prop_assert_eq!(typed, Ok(Typed::One(number)));
            }
        }
    }

    #[test]
    fn ranges_have_the_unit_once() {
        assert_eq!(range_in_words([0.3, 30.0], Dimension::Length), "0.3 to 30 mm");
        assert_eq!(range_in_words([0.0, 1.0], Dimension::Ratio), "0 to 1");
    }
}
