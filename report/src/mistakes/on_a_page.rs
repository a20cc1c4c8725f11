//! Mistakes of values that were typed on a page: a page has no quotes and no tables, so nothing is said of them.

use super::{beside_its_range, hint, misfit, quoted, reason};
use crate::numbers::plain;
use crate::quantities;
use crate::reason::Reason;
use study::model::hint::Hint;
use study::model::quantity::QuantityError;
use study::model::raw::{Table, Value};
use study::model::{ModelMistake, Problem};

/// What is wrong with a value that was typed on a page.
#[must_use]
pub fn reason_on_a_page(mistake: &ModelMistake) -> Reason {
    let told = match &mistake.problem {
        Problem::Quantity(error) => quantity_on_a_page(error).0,
        other => reason(other),
    };
    beside_its_range(told, &mistake.problem, mistake.range.as_ref().map(typed))
}

/// What to do about it, where that is clear.
#[must_use]
pub fn told_hint_on_a_page(mistake: &ModelMistake) -> Option<String> {
    match (&mistake.hint, &mistake.problem) {
        (Some(told), _) => Some(typed_hint(told)),
        (None, Problem::DoesNotFit(misfit)) => misfit::hint(misfit),
        (None, _) => None,
    }
}

/// Why a text that was typed on a page is no quantity, and what to type instead where that is clear.
#[must_use]
pub fn quantity_on_a_page(error: &QuantityError) -> (Reason, Option<String>) {
    let told = match error {
        QuantityError::NoUnit { found, wanted } => {
            Reason::found(format!("\"{found}\" without a unit"), quantities::expected(*wanted))
        }
        other => quantities::reason(other),
    };
    (told, error.hint().as_ref().map(typed_hint))
}

/// A hint without quotes.
fn typed_hint(told: &Hint) -> String {
    match told {
        Hint::Examples(dimension) => {
            let [alone, more, between] = quantities::examples_typed(*dimension);
            format!("type it like {alone}, {more} or {between}")
        }
        Hint::Write(text) => format!("type {text}"),
        Hint::WriteWithMinus(text) => format!("type {text}, with the minus of the keyboard"),
        Hint::WriteAsText(text) | Hint::WriteInQuotes(text) => format!("type {text}"),
        Hint::WriteUnquoted(number) => format!("type {}", plain(*number)),
        Hint::WriteWithPoint { meant, thousands } => {
            let or = thousands.as_ref().map_or_else(String::new, |meant| format!(", or {meant}"));
            format!("type {meant}{or}")
        }
        Hint::WriteWithUnit { found, unit } => format!("type {found} {unit}"),
        other => hint(other),
    }
}

/// A range as it is typed: `3.8 to 4.4`, `4 \u{b1} 0.2`.
fn typed(range: &Value) -> String {
    let number = |table: &Table, key: &str| table.get(key).map(|entry| one(&entry.value));
    let Value::Table(table) = range else { return one(range) };
    match (number(table, "value"), number(table, "plus_minus"), table.get("between").map(|e| &e.value)) {
        (Some(middle), Some(more), _) => format!("{middle} \u{b1} {more}"),
        (_, _, Some(Value::List(ends))) => {
            ends.iter().map(|end| one(&end.value)).collect::<Vec<_>>().join(" to ")
        }
        _ => quoted(&range.to_toml()),
    }
}

/// A number, or a text without its quotes.
fn one(value: &Value) -> String {
    match value {
        Value::Text(text) => text.trim().to_owned(),
        other => other.to_toml(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use study::model::Source;

    #[test]
    fn what_was_typed_is_told_without_quotes_or_tables() {
        const BASE: &str = include_str!("../../../study/src/model/tests/base.toml");
        let told = |key: &str, value: &str| {
            let set = [(key.to_owned(), value.to_owned())];
            let errors = Source::of("base.toml", BASE).model(&set).unwrap_err();
            let first = &errors.0[0];
            [reason_on_a_page(first).to_string(), told_hint_on_a_page(first).unwrap_or_default()]
        };
        let [says, hint] = told("nose.tip_mm", "\"1/2\"");
        assert!(says.starts_with("found \"1/2\" without a unit; allowed: a length in mm"), "{says}");
        assert_eq!(hint, "type 1/2 mm");
        let [_, hint] = told("nose.tip_mm", "\"wide\"");
        assert_eq!(hint, "type it like 14 mm, 14 \u{b1} 0.2 or 12 to 15");
        for range in ["{ between = [3.1, 3.2] }", "3.1 to 3.2"] {
            let [says, _] = told("nose.tip_mm", range);
            assert!(says.contains("the middle of 3.1 to 3.2") && !says.contains("between ="), "{says}");
        }
    }
}
