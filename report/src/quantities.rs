//! Numbers with their units, ranges, and what is wrong with a text that is none.

use crate::numbers::plain;
use crate::reason::Reason;
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

fn expected(dimension: Dimension) -> String {
    match dimension {
        Dimension::Ratio => "a plain number without a unit".to_owned(),
        other => format!("{} in {}", name(other), unit_list(other)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use study::model::quantity::parse;

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
    fn ranges_have_the_unit_once() {
        assert_eq!(range_in_words([0.3, 30.0], Dimension::Length), "0.3 to 30 mm");
        assert_eq!(range_in_words([0.0, 1.0], Dimension::Ratio), "0 to 1");
    }
}
