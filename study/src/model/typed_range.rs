//! Numbers with what is known of their range, as people type them: `4 ± 0.2`, `12-15`, `12 to 15 mm`, `1/4 - 3/8 in`.
//!
//! A text that is one number is read as that and nothing else, so `-5` stays minus five. A unit behind either number holds for
//! both. In the unit of the key none need be written, but fractions need theirs, as everywhere.

use super::dimension::Dimension;
use super::quantity::{Part, QuantityError, in_short, parse, part};

/// Signs of more or less, each as it may be typed.
const MORE_OR_LESS: [&str; 4] = ["\u{b1}", "+/-", "+-", "+\u{2212}"];
/// Signs between the ends of a range.
const DASHES: [char; 4] = ['-', '\u{2212}', '\u{2013}', '\u{2014}'];
/// The word between the ends of a range.
const TO: &str = "to";
/// Bytes of the longest text in which two numbers are looked for.
const LONGEST: usize = 160;

/// A number as it was typed, in the base unit of its dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Typed {
    /// One number.
    One(f64),
    /// A middle, this much more or less.
    PlusMinus {
        /// The middle.
        middle: f64,
        /// How much more or less.
        more: f64,
    },
    /// Anything between the two.
    Between {
        /// The first number.
        low: f64,
        /// The second one.
        high: f64,
    },
}

/// Reads a number, or two with what stands between them.
///
/// # Errors
/// It is neither. What is asked of two numbers, the smaller first, is not judged here.
pub fn read(text: &str, wanted: Dimension) -> Result<Typed, QuantityError> {
    let alone = match parse(text, wanted) {
        Ok(number) => return Ok(Typed::One(number)),
        Err(error) => error,
    };
    let text = text.trim();
    if text.len() > LONGEST {
        return Err(alone);
    }
    let around = MORE_OR_LESS.iter().find_map(|sign| text.split_once(sign));
    if let Some((middle, more)) = around.filter(|(middle, _)| !middle.trim().is_empty()) {
        let [middle, more] = both(text, [middle, more], wanted)?;
        return Ok(Typed::PlusMinus { middle, more });
    }
    // Of several dashes one stands between two numbers; the others are their signs, or begin an exponent.
    let mut refused = None;
    for [first, second] in splits(text) {
        match both(text, [first, second], wanted) {
            Ok([low, high]) => return Ok(Typed::Between { low, high }),
            Err(error) if part(first, wanted).is_ok() => refused = refused.or(Some(error)),
            Err(_) => {}
        }
    }
    Err(refused.unwrap_or(alone))
}

/// What stands before and behind each sign that may part two numbers.
fn splits(text: &str) -> impl Iterator<Item = [&str; 2]> {
    let letter = |side: Option<char>| side.is_some_and(char::is_alphabetic);
    let of_dashes = text.char_indices().filter(|(_, letter)| DASHES.contains(letter));
    let of_words = text.match_indices(TO).filter(move |(at, word)| {
        !letter(text[..*at].chars().next_back()) && !letter(text[at + word.len()..].chars().next())
    });
    of_dashes
        .map(|(at, dash)| (at, dash.len_utf8()))
        .chain(of_words.map(|(at, word)| (at, word.len())))
        .map(move |(at, length)| [&text[..at], &text[at + length..]])
        .filter(|[before, _]| !before.trim().is_empty())
}

/// Two numbers of one unit.
fn both(whole: &str, sides: [&str; 2], wanted: Dimension) -> Result<[f64; 2], QuantityError> {
    let found = || in_short(whole);
    let side = |text| {
        part(text, wanted).map_err(|error| match error {
            QuantityError::WrongUnit { unit, .. } if wanted.other_with(&unit).is_some() => {
                QuantityError::WrongUnit { found: found(), unit, wanted }
            }
            QuantityError::Thousands { .. } => QuantityError::Thousands { found: found() },
            QuantityError::Fraction { .. } => QuantityError::Fraction { found: found() },
            _ => QuantityError::Range { found: found(), wanted },
        })
    };
    let [first, second]: [Part; 2] = [side(sides[0])?, side(sides[1])?];
    let sizes = [first.unit.or(second.unit), second.unit.or(first.unit)];
    match sizes {
        [Some(one), Some(other)] => Ok([first.number * one, second.number * other]),
        _ if first.is_fraction || second.is_fraction => Err(QuantityError::NoUnit { found: found(), wanted }),
        _ => Ok([first.number, second.number]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length(text: &str) -> Typed {
        read(text, Dimension::Length).unwrap()
    }

    fn close(typed: Typed, expected: Typed) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < 1e-12 * b.abs().max(1.0);
        match (typed, expected) {
            (Typed::One(a), Typed::One(b)) => near(a, b),
            (Typed::PlusMinus { middle: a, more: b }, Typed::PlusMinus { middle: c, more: d })
            | (Typed::Between { low: a, high: b }, Typed::Between { low: c, high: d }) => {
                near(a, c) && near(b, d)
            }
            _ => false,
        }
    }

    #[test]
    fn numbers_with_more_or_less() {
        let (middle, more) = (4.0, 0.2);
        for text in [
            "4 ± 0.2",
            "4±0.2",
            "4 +- 0.2",
            "4 +/- 0.2",
            "4+−0.2",
            "4 ± 0.2 mm",
            "4 mm ± 0.2 mm",
            "4,0 ± 0,2",
            "0.4 cm ± 0.2 mm",
        ] {
            assert!(close(length(text), Typed::PlusMinus { middle, more }), "{text}: {:?}", length(text));
        }
        assert!(close(length("-1/2 ± 1/64 in"), Typed::PlusMinus { middle: -12.7, more: 0.396_875 }));
    }

    #[test]
    fn numbers_between_two() {
        for text in [
            "12-15",
            "12 - 15",
            "12 – 15",
            "12—15",
            "12 − 15",
            "12 to 15",
            "12to15",
            "12 to 15 mm",
            "12 mm - 1.5 cm",
            "12,0-15,0",
        ] {
            assert!(
                close(length(text), Typed::Between { low: 12.0, high: 15.0 }),
                "{text}: {:?}",
                length(text)
            );
        }
        for (text, low, high) in [
            ("-5 - 3", -5.0, 3.0),
            ("-5 - -3", -5.0, -3.0),
            ("−5–−3", -5.0, -3.0),
            ("-5 to -3", -5.0, -3.0),
            ("1e-3-2e-3", 1e-3, 2e-3),
            ("1/2 - 3/4 in", 12.7, 19.05),
            ("1 1/4-1 1/2\"", 31.75, 38.1),
            // Who mixes them up is told so by the reader of the model.
            ("15-12", 15.0, 12.0),
        ] {
            assert!(close(length(text), Typed::Between { low, high }), "{text}: {:?}", length(text));
        }
        let friction = read("0.15-0.25", Dimension::Ratio).unwrap();
        assert_eq!(friction, Typed::Between { low: 0.15, high: 0.25 });
    }

    #[test]
    fn one_number_stays_one() {
        for (text, value) in [
            ("-5 mm", -5.0),
            ("−5", -5.0),
            ("− 5 mm", -5.0),
            ("3,4", 3.4),
            ("0.5\"", 12.7),
            ("1/2 in", 12.7),
            ("1e-3 mm", 1e-3),
        ] {
            assert!(close(length(text), Typed::One(value)), "{text}: {:?}", length(text));
        }
    }

    #[test]
    fn what_is_neither_says_so() {
        let refused = |text: &str| read(text, Dimension::Length).unwrap_err();
        let wanted = Dimension::Length;
        for text in ["4 ± ", "4 ± x", "12-", "12 to", "12-15-16", "12 to x", "4 ± 0.2 ± 1"] {
            assert_eq!(
                refused(text),
                QuantityError::Range { found: text.trim().to_owned(), wanted },
                "{text}"
            );
        }
        for text in ["1,234.5", "1,234", "12 - 1,234", "4 ± 1,000", "1,2,3"] {
            assert_eq!(refused(text), QuantityError::Thousands { found: text.to_owned() }, "{text}");
        }
        for text in ["1/2 - 3/4", "1/2", "14"] {
            assert_eq!(refused(text), QuantityError::NoUnit { found: text.to_owned(), wanted }, "{text}");
        }
        let unit = "kN".to_owned();
        assert_eq!(
            refused("12 - 15 kN"),
            QuantityError::WrongUnit { found: "12 - 15 kN".to_owned(), unit, wanted }
        );
        for text in ["", "wide", "wide-open", "± 0.2", "to 15", "–5"] {
            assert_eq!(refused(text), QuantityError::NoNumber { found: text.to_owned(), wanted }, "{text}");
        }
        // A text without end is not walked through for every dash in it.
        assert!(read(&"1-".repeat(500_000), Dimension::Length).is_err());
    }
}
