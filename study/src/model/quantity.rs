//! Numbers as people write them: `14.5`, `1/2 in`, `1 1/4 in`, `0.5"`, `3,4 mm`, `5400 lbf`.
//!
//! A key carries its unit, so a bare number needs none. A number in quotes must name its unit: a quoted `"14"` may be
//! inches as well as millimetres, and a wrong guess here is a wrong connector. Only a number that cannot stand outside quotes,
//! with a decimal comma or a true minus, is taken in the unit of its key; a fraction never is. Units are spelled exactly (`kN`, not
//! `KN`), for the same reason; `kg` and `lb` are masses and are refused for a force, with the word to use instead. A comma
//! that may divide thousands is refused as well.

use super::hint::Hint;

pub use super::dimension::Dimension;

/// The minus of printed text.
const TRUE_MINUS: char = '\u{2212}';
/// Dashes that are typed for a minus: the true minus, that between two years and that within a sentence.
const LONG_DASHES: [char; 3] = [TRUE_MINUS, '\u{2013}', '\u{2014}'];

/// Why a text is not a quantity of the wanted kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum QuantityError {
    /// The text does not start with a number.
    NoNumber {
        /// The text.
        found: String,
        /// What the key measures.
        wanted: Dimension,
    },
    /// A comma where a decimal point is meant, outside quotes.
    Comma {
        /// The text.
        found: String,
    },
    /// A comma that may divide thousands, or stands beside other decimal signs.
    Thousands {
        /// The text.
        found: String,
    },
    /// A number with the sign of a range behind it, and no second number.
    Range {
        /// The text.
        found: String,
        /// What the key measures.
        wanted: Dimension,
    },
    /// A fraction without a value.
    Fraction {
        /// The text.
        found: String,
    },
    /// A number in quotes without a unit.
    NoUnit {
        /// The text.
        found: String,
        /// What the key measures.
        wanted: Dimension,
    },
    /// A unit of something else, or none that is known.
    WrongUnit {
        /// The text.
        found: String,
        /// The unit in it.
        unit: String,
        /// What the key measures.
        wanted: Dimension,
    },
}

impl QuantityError {
    /// What to write instead, where that is clear.
    #[must_use]
    pub fn hint(&self) -> Option<Hint> {
        match self {
            Self::NoNumber { found, wanted } => with_a_minus(found)
                .filter(|meant| number_and_rest(meant).is_some())
                .map_or(Some(Hint::Examples(*wanted)), |meant| Some(Hint::WriteWithMinus(meant))),
            Self::Range { wanted, .. } => Some(Hint::Examples(*wanted)),
            Self::Fraction { .. } => None,
            Self::Comma { found } | Self::Thousands { found } => with_a_point(found)
                .map(|meant| Hint::WriteWithPoint { meant, thousands: before_three_digits(found) }),
            Self::NoUnit { found, wanted: Dimension::Ratio } => {
                number_and_rest(found).map(|(number, _)| Hint::WriteUnquoted(number))
            }
            Self::NoUnit { found, wanted } => {
                Some(Hint::WriteWithUnit { found: found.clone(), unit: wanted.base_unit() })
            }
            Self::WrongUnit { unit, wanted, .. } => {
                let close = |name: &str| wanted.units().iter().find(|u| u.0.eq_ignore_ascii_case(name));
                match (unit.as_str(), wanted) {
                    ("kg", Dimension::Force) => Some(Hint::Mass { mass: "kg", weight: "kgf" }),
                    ("lb" | "lbs", Dimension::Force) => Some(Hint::Mass { mass: "lb", weight: "lbf" }),
                    ("inch" | "inches" | "\"" | "''", Dimension::Length) => Some(Hint::Inches),
                    (other, _) => Some(
                        close(other).map_or(Hint::Examples(*wanted), |unit| Hint::Write(unit.0.to_owned())),
                    ),
                }
            }
        }
    }
}

/// A number as far as its text tells it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Part {
    /// The number, in its own unit.
    pub number: f64,
    /// Size of its unit in base units, where one is told.
    pub unit: Option<f64>,
    /// Whether it is a fraction.
    pub is_fraction: bool,
    /// Whether it is written in a way that needs quotes: with a decimal comma or a true minus.
    needs_quotes: bool,
}

/// Reads a number, with its unit or without.
///
/// # Errors
/// Not a number, or a unit of something else.
pub(super) fn part(text: &str, wanted: Dimension) -> Result<Part, QuantityError> {
    let trimmed = text.trim();
    let found = in_short(trimmed);
    let keyboard = trimmed.replace(TRUE_MINUS, "-");
    let Some((_, rest)) = number_and_rest(&keyboard) else {
        return Err(QuantityError::NoNumber { found, wanted });
    };
    let pointed = match rest.starts_with(',') {
        false => None,
        true => match with_a_point(&keyboard) {
            Some(meant) if before_three_digits(&keyboard).is_none() => Some(meant),
            _ => return Err(QuantityError::Thousands { found }),
        },
    };
    let typed = pointed.as_deref().unwrap_or(&keyboard);
    let Some((number, unit)) = number_and_rest(typed) else {
        return Err(QuantityError::NoNumber { found, wanted });
    };
    if unit.starts_with('/') {
        return Err(QuantityError::Fraction { found });
    }
    let size = match wanted.size_of(unit) {
        None if !unit.is_empty() => {
            return Err(QuantityError::WrongUnit { found, unit: in_short(unit), wanted });
        }
        size => size,
    };
    Ok(Part {
        number,
        unit: size,
        is_fraction: typed.strip_suffix(unit).unwrap_or(typed).contains('/'),
        needs_quotes: pointed.is_some() || keyboard != trimmed,
    })
}

/// Reads a number with its unit.
///
/// `text`: `14 mm`, `14.5mm`, `14,5 mm`, `-3 mm`, `1/2 in`, `1 1/4"`; blanks around and before the unit do not matter.
/// Returns the number in the base unit of `wanted`. It may be infinite where the digits overflow; the caller checks the
/// range.
///
/// # Errors
/// Not a number, no unit, or a unit of something else.
pub fn parse(text: &str, wanted: Dimension) -> Result<f64, QuantityError> {
    let part = part(text, wanted)?;
    match part.unit {
        Some(size) => Ok(part.number * size),
        None if part.needs_quotes && !part.is_fraction => Ok(part.number),
        None => Err(QuantityError::NoUnit { found: in_short(text.trim()), wanted }),
    }
}

/// The longest start of `text` that is a number, and what follows it without the blanks between; `None` where it does not begin
/// with one.
#[must_use]
pub fn number_and_rest(text: &str) -> Option<(f64, &str)> {
    // Only what numbers are written with can belong to one, and no number needs more letters.
    let most = text.char_indices().take(LONGEST).take_while(|(_, letter)| is_of_number(*letter));
    let ends: Vec<usize> = most.map(|(at, letter)| at + letter.len_utf8()).collect();
    ends.into_iter().rev().find_map(|end| {
        let (head, tail) = text.split_at(end);
        number(head.trim_end()).map(|value| (value, tail.trim()))
    })
}

/// The same with a point for its comma; `None` unless it has one comma only, between digits, and no point.
#[must_use]
pub fn with_a_point(text: &str) -> Option<String> {
    let (before, after) = text.split_once(',')?;
    let meant = before.ends_with(|c: char| c.is_ascii_digit())
        && after.starts_with(|c: char| c.is_ascii_digit())
        && !before.contains('.')
        && !after.contains([',', '.']);
    meant.then(|| format!("{before}.{after}"))
}

/// The number without the comma that may stand for thousands; `None` where it cannot.
fn before_three_digits(text: &str) -> Option<String> {
    let (before, after) = text.split_once(',')?;
    let digits = after.chars().take_while(char::is_ascii_digit).count();
    let whole = before.trim_start_matches(['+', '-']);
    ((1..=3).contains(&whole.len()) && !whole.starts_with('0') && digits == 3)
        .then(|| format!("{before}{after}"))
}

/// The same with a minus for the long dash that it begins with; `None` where it begins with none.
#[must_use]
pub fn with_a_minus(text: &str) -> Option<String> {
    text.strip_prefix(LONG_DASHES).map(|rest| format!("-{}", rest.trim_start()))
}

/// A text as far as a message has room for it.
pub(super) fn in_short(text: &str) -> String {
    let short: String = text.chars().take(LONGEST).collect();
    if short.len() < text.len() { format!("{short}...") } else { short }
}

/// Letters of the longest number that is read.
const LONGEST: usize = 60;

fn is_of_number(letter: char) -> bool {
    letter.is_ascii_digit() || " .+-/eE".contains(letter)
}

/// A decimal number, a fraction, or a whole number and a fraction. Words such as `inf` are not numbers here.
fn number(text: &str) -> Option<f64> {
    if !text.chars().all(is_of_number) {
        return None;
    }
    let (negative, size) = match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    if !size.starts_with(|letter: char| letter.is_ascii_digit() || letter == '.') {
        return None;
    }
    let value = match size.split_once('/') {
        None => whole(size)?.parse::<f64>().ok()?,
        Some((above, below)) => {
            let (whole, above) = above.trim().rsplit_once(' ').unwrap_or(("0", above.trim()));
            let parts = [whole.trim(), above, below.trim()];
            if parts.iter().any(|part| part.is_empty() || !part.chars().all(|letter| letter.is_ascii_digit()))
            {
                return None;
            }
            let [whole, above, below] = parts.map(|part| part.parse::<f64>().unwrap_or(f64::NAN));
            // A whole number goes with a part of one.
            if below == 0.0 || (whole > 0.0 && above >= below) {
                return None;
            }
            whole + above / below
        }
    };
    Some(if negative { -value } else { value })
}

/// A decimal number without the blanks between its groups of three digits: `21 900`; `None` where blanks stand elsewhere.
fn whole(text: &str) -> Option<String> {
    let groups: Vec<&str> = text.split(' ').collect();
    let digits = |group: &str| group.chars().take_while(char::is_ascii_digit).count();
    let grouped = groups.len() == 1
        || ((1..=3).contains(&groups[0].len())
            && groups[..groups.len() - 1].iter().all(|g| digits(g) == g.len())
            && groups[1..].iter().all(|g| digits(g) == 3 && (g.len() == 3 || g[3..].starts_with('.'))));
    grouped.then(|| groups.concat())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(text: &str, dimension: Dimension, expected: f64) {
        let value = parse(text, dimension).unwrap();
        assert!((value - expected).abs() <= 1e-12 * expected.abs(), "{text}: {value}, not {expected}");
    }

    #[test]
    fn lengths() {
        close("14 mm", Dimension::Length, 14.0);
        close("14.5mm", Dimension::Length, 14.5);
        close("1.4 cm", Dimension::Length, 14.0);
        close("0.014 m", Dimension::Length, 14.0);
        close("1/2 in", Dimension::Length, 12.7);
        close("1 1/4 in", Dimension::Length, 31.75);
        close("-1 1/4 in", Dimension::Length, -31.75);
        close(" 1.4e1  mm ", Dimension::Length, 14.0);
        close("14,5 mm", Dimension::Length, 14.5);
        close("0,125 mm", Dimension::Length, 0.125);
        close("1/2\"", Dimension::Length, 12.7);
        close("0.5 \u{2033}", Dimension::Length, 12.7);
        // What cannot stand outside quotes is in the unit of its key.
        close("14,5", Dimension::Length, 14.5);
        close("\u{2212}5", Dimension::Length, -5.0);
    }

    #[test]
    fn forces_angles_and_the_rest() {
        close("5400 lbf", Dimension::Force, 24.020_396_722_406_7);
        close("24 kN", Dimension::Force, 24.0);
        close("500 daN", Dimension::Force, 5.0);
        close("250 N", Dimension::Force, 0.25);
        close("21 900 N", Dimension::Force, 21.9);
        close("-1 021 900.5 N", Dimension::Force, -1021.9005);
        close("2000 kgf", Dimension::Force, 19.6133);
        close("12 deg", Dimension::Angle, 12.0);
        close("3.141592653589793 rad", Dimension::Angle, 180.0);
        close("71.7 GPa", Dimension::Stress, 71_700.0);
        assert!((parse("1 ksi", Dimension::Stress).unwrap() - 6.894_757).abs() < 1e-6);
        close("2810 kg/m^3", Dimension::Density, 2.81);
        close("80 N/mm^2", Dimension::StrapStiffness, 80.0);
    }

    #[test]
    fn refusals_say_what_is_wrong() {
        let refused = |text, dimension| parse(text, dimension).unwrap_err();
        let (found, wanted) = ("14 kN".to_owned(), Dimension::Length);
        let unit = "kN".to_owned();
        assert_eq!(refused("14 kN", wanted), QuantityError::WrongUnit { found, unit, wanted });
        assert_eq!(wanted.other_with("kN"), Some(Dimension::Force));
        assert_eq!(wanted.other_with("furlong"), None);
        assert_eq!(refused("14", wanted), QuantityError::NoUnit { found: "14".to_owned(), wanted });
        assert!(matches!(refused("1/0 in", wanted), QuantityError::Fraction { .. }));
        for text in [
            "",
            "mm",
            "inf mm",
            "NaN mm",
            "--3 mm",
            "1/2/3 in",
            "1//2 in",
            "/2 in",
            "1 2 in x",
            "21 900/2 in",
        ] {
            let refused = parse(text, Dimension::Length);
            assert!(refused.is_err(), "{text}: {refused:?}");
        }
    }

    #[test]
    fn hints_say_what_to_write() {
        let hint = |text, dimension| parse(text, dimension).unwrap_err().hint().unwrap();
        let point = |meant: &str, thousands: Option<&str>| Hint::WriteWithPoint {
            meant: meant.to_owned(),
            thousands: thousands.map(str::to_owned),
        };
        assert_eq!(hint("5,400 lbf", Dimension::Force), point("5.400 lbf", Some("5400 lbf")));
        for text in ["wide", "3 furlong"] {
            assert_eq!(hint(text, Dimension::Length), Hint::Examples(Dimension::Length));
        }
        for found in ["14", "1/2"] {
            let wanted = Hint::WriteWithUnit { found: found.to_owned(), unit: "mm" };
            assert_eq!(hint(found, Dimension::Length), wanted);
        }
        assert_eq!(hint("0.2", Dimension::Ratio), Hint::WriteUnquoted(0.2));
        assert_eq!(hint("24 KN", Dimension::Force), Hint::Write("kN".to_owned()));
        assert_eq!(hint("2000 kg", Dimension::Force), Hint::Mass { mass: "kg", weight: "kgf" });
    }
}
