//! What to do instead of what was written.

use crate::keys::sample;
use crate::numbers::plain;
use crate::quantities::examples;
use study::model::hint::Hint;
use study::model::keys;
use study::model::quantity::number_and_rest;

/// A hint in words.
#[must_use]
pub fn hint(hint: &Hint) -> String {
    match hint {
        Hint::DidYouMean(meant) => format!("did you mean {}?", meant.join(" or ")),
        Hint::DidYouMeanTable(table) => format!("did you mean [{table}]?"),
        Hint::Renamed(key) => format!("it is called {key} now"),
        Hint::KeysOf { table, names } => format!("the keys in {table} are {}", names.join(", ")),
        Hint::Give { table, key } => {
            let instead = keys::in_place_of(&key.path)
                .map(|other| format!(", or {} instead", other.table_and_name().1))
                .collect::<String>();
            format!("in [{table}] write {} = {}{instead}", key.table_and_name().1, sample(key.kind))
        }
        Hint::WriteRange(name) => format!("write {name} = {{ between = [low, high] }}"),
        Hint::Examples(dimension) => {
            let [alone, more, between] = examples(*dimension);
            format!("write it like {alone}, {more} or {between}")
        }
        Hint::Write(text) => format!("write {text}"),
        Hint::WriteWithMinus(text) => format!("write {text}, with the minus of the keyboard"),
        Hint::WriteAsText(text) => format!("write \"{text}\" in quotes"),
        Hint::WriteInQuotes(text) => format!("write \"{text}\", in quotes"),
        Hint::WriteUnquoted(number) => format!("write {} without quotes", plain(*number)),
        Hint::WriteWithPoint { meant, thousands } => {
            let or = thousands.as_ref().map_or_else(String::new, |meant| format!(", or {}", as_typed(meant)));
            format!("write {}{or}", as_typed(meant))
        }
        Hint::WriteWithUnit { found, unit } => {
            // A fraction is no number of a file; without blanks a group of thousands is.
            let bare = match found.contains('/') {
                true => String::new(),
                false => format!(", or {} without quotes", found.replace(' ', "")),
            };
            format!("write \"{found} {unit}\"{bare}")
        }
        Hint::Mass { mass, weight } => format!("in {mass} it is a mass; for its weight write {weight}"),
        Hint::Inches => "write in for inches".to_owned(),
        Hint::ListedMetals => "`pullmap materials` lists them; a table of your own is allowed too".to_owned(),
        Hint::MarkingAcross => "take it out; a marking across may stay, as marking.across_kn".to_owned(),
        Hint::LeaveOut => "leave it out".to_owned(),
        Hint::TakeLineOut => "take the line out".to_owned(),
    }
}

/// A bare number without quotes, one with its unit in them.
fn as_typed(meant: &str) -> String {
    match number_and_rest(meant) {
        Some((_, "")) => format!("{meant} without quotes"),
        _ => format!("\"{meant}\""),
    }
}

#[cfg(test)]
mod tests {
    use super::hint;
    use study::model::quantity::{Dimension, parse};

    #[test]
    fn hints_say_what_to_write() {
        let told = |text, dimension| hint(&parse(text, dimension).unwrap_err().hint().unwrap());
        assert_eq!(told("wide", Dimension::Length), "write it like \"14 mm\", \"14 ± 0.2\" or \"12 to 15\"");
        assert_eq!(told("5,400 lbf", Dimension::Force), "write \"5.400 lbf\", or \"5400 lbf\"");
        assert_eq!(told("14", Dimension::Length), "write \"14 mm\", or 14 without quotes");
        assert_eq!(told("1/2", Dimension::Length), "write \"1/2 mm\"");
        assert_eq!(told("0.2", Dimension::Ratio), "write 0.2 without quotes");
        assert_eq!(told("24 KN", Dimension::Force), "write kN");
        assert!(told("2000 kg", Dimension::Force).contains("kgf"));
    }
}
