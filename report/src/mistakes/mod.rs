//! What is wrong with a model file, told so that it can be put right without the manual.
//!
//! Each mistake says its place, its key, what was found and what is allowed, in that order and on one line; a hint follows on
//! a line of its own.

mod hint;
mod misfit;
mod on_a_page;
pub mod vary;

use crate::keys::{about, needed_when};
use crate::quantities::{self, range_in_words, with_unit};
use crate::reason::Reason;
use study::model::mistake::{Unused, WrongForm};
use study::model::quantity::Dimension;
use study::model::raw::{Place, Syntax, Value};
use study::model::{ModelErrors, ModelMistake, Problem};

pub use hint::hint;
pub use on_a_page::{quantity_on_a_page, reason_on_a_page, told_hint_on_a_page};

/// Mistakes that are told one by one; a file with more is most likely no model file, or damaged.
const MOST_TOLD: usize = 30;

/// One mistake below the other. Of a file, and of the command line, the first thirty, then how many more.
#[must_use]
pub fn errors(errors: &ModelErrors) -> String {
    errors_of(errors, None)
}

/// The same of a model whose set `varied`, counted from zero, was typed as a value of `--vary`.
#[must_use]
pub fn errors_of(errors: &ModelErrors, varied: Option<usize>) -> String {
    let (typed, written): (Vec<_>, Vec<_>) =
        errors.0.iter().partition(|mistake| matches!(mistake.place, Place::Set(..)));
    let mut lines = Vec::new();
    for (mistakes, of) in [(written, "of the same file"), (typed, "of --set")] {
        lines.extend(mistakes.iter().take(MOST_TOLD).map(|told| mistake_of(told, varied)));
        let more = mistakes.len().saturating_sub(MOST_TOLD);
        let s = if more == 1 { "" } else { "s" };
        lines.extend((more > 0).then(|| format!("and {} more mistake{s} {of}", in_thousands(more))));
    }
    lines.join("\n")
}

/// A count with a comma before every three digits: 99,969.
fn in_thousands(count: usize) -> String {
    let digits = count.to_string();
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// A mistake with its place, its key and its hint.
#[must_use]
pub fn mistake(mistake: &ModelMistake) -> String {
    mistake_of(mistake, None)
}

fn mistake_of(mistake: &ModelMistake, varied: Option<usize>) -> String {
    let place = match &mistake.place {
        Place::Line(line) => format!("{}:{line}: ", mistake.file),
        Place::File => format!("{}: ", mistake.file),
        Place::Set(at, text) if Some(*at) == varied => format!("--vary {text}: "),
        Place::Set(_, text) => format!("--set {text}: "),
    };
    // What names its keys itself needs none before it.
    let names_itself = mistake.key.is_empty() || matches!(mistake.problem, Problem::BothGiven(_));
    let key = if names_itself { String::new() } else { format!("{}: ", mistake.key) };
    let hint = told_hint(mistake).map_or_else(String::new, |hint| format!("\n  hint: {hint}"));
    format!("{place}{key}{}{hint}", reason_of(mistake))
}

/// What to do about a mistake, where it is clear.
#[must_use]
pub fn told_hint(mistake: &ModelMistake) -> Option<String> {
    match (&mistake.hint, &mistake.problem) {
        (Some(told), _) => Some(hint(told)),
        (None, Problem::DoesNotFit(misfit)) => misfit::hint(misfit),
        (None, _) => None,
    }
}

/// What is wrong with a value, which may be a range: what was written is then named beside the number that does not fit.
#[must_use]
pub fn reason_of(mistake: &ModelMistake) -> Reason {
    let written = |range: &Value| match range {
        Value::Text(text) => quoted(text.trim()),
        other => quoted(&other.to_toml()),
    };
    beside_its_range(reason(&mistake.problem), &mistake.problem, mistake.range.as_ref().map(written))
}

/// A reason, with the range that was written beside the number that does not fit.
fn beside_its_range(reason: Reason, problem: &Problem, written: Option<String>) -> Reason {
    match (reason, written) {
        (Reason::Found { found, allowed }, Some(written)) => {
            Reason::Found { found: in_range(&found, problem, &written), allowed }
        }
        (reason, _) => reason,
    }
}

/// What was found in a range that was written.
fn in_range(found: &str, problem: &Problem, written: &str) -> String {
    match problem {
        Problem::OutOfRange { .. } => format!("{found} in {written}"),
        Problem::DoesNotFit(misfit) => misfit::in_range(misfit, found, written),
        _ => found.to_owned(),
    }
}

/// What is wrong, in a sentence.
#[must_use]
pub fn problem(problem: &Problem) -> String {
    reason(problem).to_string()
}

/// What is wrong: what was found and what is allowed.
#[must_use]
pub fn reason(problem: &Problem) -> Reason {
    match problem {
        Problem::NotToml(Syntax::Parser(words)) => Reason::Whole(format!("not TOML: {words}")),
        Problem::NotToml(Syntax::Twice { what, first }) => Reason::Instead {
            says: format!("not TOML: {what} stands here a second time, first on line {first}"),
            allowed: "once".to_owned(),
        },
        Problem::NotToml(Syntax::TooManyParts(most)) => {
            Reason::Whole(format!("not TOML: a key of more than {most} parts"))
        }
        Problem::NoKey => Reason::found("no key", "key=value, such as nose.tip_mm=14"),
        Problem::UnknownKey => Reason::OfKey("found a key that no model file has".to_owned()),
        Problem::Missing(key) => Reason::OfKey(match needed_when(key).as_str() {
            "" => format!("missing. {}", about(key)),
            when => format!("missing, and needed when {when}. {}", about(key)),
        }),
        Problem::NotATable(found) => Reason::found(described(found), "a table of keys"),
        Problem::WrongForm(form) => wrong_form(form),
        Problem::Quantity(error) => quantities::reason(error),
        Problem::OutOfRange { found, low, high, dimension } => {
            Reason::found(with_unit(*found, *dimension), range_in_words([*low, *high], *dimension))
        }
        Problem::UnknownWord { found, allowed } => Reason::found(quoted(found), allowed.join(", ")),
        Problem::Unused(why) => Reason::OfKey(format!("found, but it has no meaning here: {}", unused(*why))),
        Problem::BothGiven([first, second]) => Reason::Instead {
            says: format!("{} and {}: both given", first.path, second.path),
            allowed: "one of them".to_owned(),
        },
        Problem::DoesNotFit(misfit) => misfit::misfit(misfit),
        Problem::LoadAcross => Reason::OfKey(
            "found a load across the connector, which is not modelled: only pulls along the major axis are"
                .to_owned(),
        ),
    }
}

fn wrong_form(form: &WrongForm) -> Reason {
    const TEXT: &str = "a text in quotes, of 1 to 200 letters on one line, none of them a control letter";
    let (found, allowed) = match form {
        WrongForm::NoText(value) => (described(value), TEXT.to_owned()),
        WrongForm::OddText { text, letters } => {
            (format!("{} of {letters} letters", quoted(text)), TEXT.to_owned())
        }
        WrongForm::NoNumber { found, wanted } => {
            let allowed = match wanted {
                Dimension::Ratio => "a number".to_owned(),
                other => {
                    let unit = other.base_unit();
                    format!("a number in {unit}, or a text such as \"14 {unit}\"")
                }
            };
            (described(found), allowed)
        }
        WrongForm::NoRange(value) => (
            value.to_toml(),
            "a number, { value = a number, plus_minus = a number } or { between = [low, high] }".to_owned(),
        ),
        WrongForm::CornerList(value) => (
            described(value),
            "one number, or four: upper spine, upper gate, lower gate, lower spine".to_owned(),
        ),
        WrongForm::LongDash(text) => {
            (format!("{text} with a long dash"), "the minus of the keyboard".to_owned())
        }
        WrongForm::UnquotedQuantity(text) => {
            (format!("{text} without quotes"), "a number, or a number with its unit in quotes".to_owned())
        }
        WrongForm::UnquotedWord(text) => {
            (format!("{text} without quotes"), "a number, or a text in quotes".to_owned())
        }
    };
    Reason::Found { found, allowed }
}

fn unused(why: Unused) -> &'static str {
    match why {
        Unused::RoundBreadth => "a round bar is as broad as it is deep",
        Unused::NoFlanges => "only shape = \"i\" has flanges",
        Unused::NoWeb => "only shape = \"i\" has a web",
        Unused::OfStrap => "it belongs to kind = \"strap\"",
        Unused::OfBar => "it belongs to kind = \"bar\"; a strap has width_mm",
    }
}

/// What a value is, with an article and its content.
fn described(value: &Value) -> String {
    match value {
        Value::Number { written, .. } => format!("the number {written}"),
        Value::Text(text) => format!("the text {}", quoted(text)),
        Value::Flag(flag) => flag.to_string(),
        Value::Date(date) => format!("the date {date}"),
        Value::List(items) => format!("a list of {}", items.len()),
        Value::Table(_) => "a table".to_owned(),
    }
}

/// At most forty letters of a text, in quotes, without control characters: a message stays on its line.
#[must_use]
pub fn quoted(text: &str) -> String {
    let short: String = text.chars().take(40).flat_map(char::escape_debug).collect();
    let more = if text.chars().count() > 40 { "..." } else { "" };
    format!("\"{short}{more}\"")
}

#[cfg(test)]
mod tests;
