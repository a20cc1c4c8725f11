//! What was meant by a line that is not TOML: a value as people write it, outside quotes.

use super::dimension::Dimension;
use super::hint::Hint;
use super::keys::{self, Kind};
use super::mistake::{Problem, WrongForm};
use super::quantity::{QuantityError, number_and_rest, with_a_minus, with_a_point};
use super::raw::{Place, Value, parse_value};
use super::typed_range::read;

/// Letters of the longest value that something is said of; what is longer was no number, nor a word that a key knows.
const LONGEST: usize = 60;

/// What is wrong with a line whose value stands outside quotes and is no TOML, and what to write where that is clear and will
/// be read; `None` for any other line.
#[must_use]
pub fn unquoted(line: &str) -> Option<(Problem, Option<Hint>)> {
    let (key, value) = line.split('#').next()?.split_once('=')?;
    let value = value.trim();
    let is_toml = || parse_value(value, &Place::File).is_some();
    if value.is_empty()
        || value.chars().count() > LONGEST
        || value.contains(['"', '\'', '[', '{', '='])
        || is_toml()
    {
        return None;
    }
    let kind = kind_of(key);
    let minus = with_a_minus(value);
    let typed = minus.as_deref().unwrap_or(value);
    let meant = with_a_point(typed).unwrap_or_else(|| typed.to_owned());
    let found = |form: fn(String) -> WrongForm| Problem::WrongForm(form(value.to_owned()));
    let starts = number_and_rest(&meant);
    let problem = match (&minus, &starts) {
        (Some(_), _) => found(WrongForm::LongDash),
        (None, Some((_, rest))) if rest.starts_with('/') => {
            Problem::Quantity(QuantityError::Fraction { found: value.to_owned() })
        }
        (None, Some(_)) if meant != value => {
            Problem::Quantity(QuantityError::Comma { found: value.to_owned() })
        }
        (None, Some(_)) => found(WrongForm::UnquotedQuantity),
        (None, None) if value.chars().all(|letter| letter.is_alphanumeric() || "-_ ".contains(letter)) => {
            found(WrongForm::UnquotedWord)
        }
        (None, None) => return None,
    };
    Some((problem, hint(&meant, kind)))
}

/// What a key of this name holds, in whatever table.
fn kind_of(key: &str) -> Option<Kind> {
    let name = key.trim().rsplit('.').next().unwrap_or(key);
    keys::all().iter().find(|known| known.table_and_name().1 == name).map(|known| known.kind)
}

/// What to write: only what is then read.
fn hint(meant: &str, kind: Option<Kind>) -> Option<Hint> {
    if let Some(Value::Number { .. }) = parse_value(meant, &Place::File) {
        return Some(Hint::Write(meant.to_owned()));
    }
    let in_quotes = || Hint::WriteInQuotes(meant.to_owned());
    match kind {
        Some(Kind::Number { dimension, .. }) => {
            read(meant, dimension).map_or_else(|e| e.hint(), |_| Some(in_quotes()))
        }
        Some(Kind::Corners { .. }) => {
            read(meant, Dimension::Length).map_or_else(|e| e.hint(), |_| Some(in_quotes()))
        }
        // A word, or a key that is told to be unknown once the line is read.
        _ => Some(in_quotes()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_as_people_write_them_are_told_what_to_write() {
        let comma = |found: &str| Problem::Quantity(QuantityError::Comma { found: found.to_owned() });
        let form = |form: fn(String) -> WrongForm, found: &str| Problem::WrongForm(form(found.to_owned()));
        let (write, quote) = (Hint::Write, Hint::WriteInQuotes);
        for (line, problem, hint) in [
            ("width_mm = 12,5 # mm", comma("12,5"), write("12.5".into())),
            ("load_kn = 10,5 kN", comma("10,5 kN"), quote("10.5 kN".into())),
            ("width_mm = 1 1/4 in", form(WrongForm::UnquotedQuantity, "1 1/4 in"), quote("1 1/4 in".into())),
            (
                "load_kn = 3/16",
                form(WrongForm::UnquotedQuantity, "3/16"),
                Hint::WriteWithUnit { found: "3/16".into(), unit: "kN" },
            ),
            ("friction = 1/5", form(WrongForm::UnquotedQuantity, "1/5"), Hint::WriteUnquoted(0.2)),
            ("tip_mm = 14 ± 0.2", form(WrongForm::UnquotedQuantity, "14 ± 0.2"), quote("14 ± 0.2".into())),
            (
                "tip_mm = 12 - 15 mm",
                form(WrongForm::UnquotedQuantity, "12 - 15 mm"),
                quote("12 - 15 mm".into()),
            ),
            (
                "offset_mm = \u{2212}",
                form(WrongForm::LongDash, "\u{2212}"),
                Hint::Examples(Dimension::Length),
            ),
            ("tip_mm = True", form(WrongForm::UnquotedWord, "True"), Hint::Examples(Dimension::Length)),
            ("gate = half", form(WrongForm::UnquotedWord, "half"), quote("half".into())),
            ("offset_mm = \u{2212}5", form(WrongForm::LongDash, "\u{2212}5"), write("-5".into())),
            ("offset_mm = \u{2014}5 mm", form(WrongForm::LongDash, "\u{2014}5 mm"), quote("-5 mm".into())),
            ("offset_mm = \u{2212}5,5", form(WrongForm::LongDash, "\u{2212}5,5"), write("-5.5".into())),
        ] {
            assert_eq!(unquoted(line), Some((problem, Some(hint))), "{line}");
        }
        // Told, and no hint that would not be read.
        for line in ["tip_mm = 1/0", "tip_mm = 12,5,3", "tip_mm = 1,250.5"] {
            let (problem, hint) = unquoted(line).unwrap();
            assert_eq!(hint, None, "{line}: {problem:?}");
        }
        let long = format!("tip_mm = {}", "1 ".repeat(100_000));
        for other in [
            "tip_mm 14",
            "title = \"x",
            "corner_radius_mm = [8, 10,5",
            "a = b = c",
            "x =",
            "y = {",
            "a\u{1b}b = 3",
            &long,
        ] {
            assert_eq!(unquoted(other), None, "{:.40}", other);
        }
    }
}
