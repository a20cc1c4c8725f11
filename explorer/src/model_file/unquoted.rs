//! What was meant by a line that is not TOML: a value as people write it, outside quotes.

use super::keys::{self, Kind};
use super::mistake::Problem;
use super::quantity::{LONG_DASHES, QuantityError, number_and_rest};
use super::raw::{Place, parse_value};

/// What is wrong with a line whose value stands outside quotes and is no TOML, and what to write; `None` for any other line.
#[must_use]
pub fn unquoted(line: &str) -> Option<(Problem, String)> {
    let (key, value) = line.split('#').next()?.split_once('=')?;
    let value = value.trim();
    let is_toml = || parse_value(value, &Place::File).is_some();
    if value.is_empty() || value.contains(['"', '\'', '[', '{', '=']) || is_toml() {
        return None;
    }
    if let Some(digits) = value.strip_prefix(LONG_DASHES) {
        let allowed = "a minus as the keyboard has it".to_owned();
        return Some((
            Problem::WrongType { found: format!("{value} with a long dash"), allowed },
            format!("write -{digits}"),
        ));
    }
    let point = value.replacen(',', ".", 1);
    let numbers = [value, &point].map(number_and_rest);
    match numbers {
        [Some((_, rest)), Some((_, unit))] if rest.starts_with(',') => {
            let hint = if unit.is_empty() { format!("write {point}") } else { write(&point) };
            Some((Problem::Quantity(QuantityError::Comma { found: value.to_owned() }), hint))
        }
        [Some((_, rest)), _] => {
            let hint = match rest {
                "" => format!("write \"{value} {}\", with the unit and in quotes", unit_of(key)),
                _ => write(value),
            };
            Some((bare(value, "a number, or a number with its unit in quotes"), hint))
        }
        [None, _] => value
            .chars()
            .all(|letter| letter.is_alphanumeric() || "-_ ".contains(letter))
            .then(|| (bare(value, "a number, or a text in quotes"), write(value))),
    }
}

/// The unit of a key's bare number, wherever it stands; mm where no key has the name.
fn unit_of(key: &str) -> &'static str {
    let name = key.trim().rsplit('.').next().unwrap_or(key);
    keys::all()
        .iter()
        .find_map(|known| match known.kind {
            Kind::Number { dimension, .. } if known.table_and_name().1 == name => Some(dimension.base_unit()),
            _ => None,
        })
        .unwrap_or("mm")
}

fn bare(value: &str, allowed: &str) -> Problem {
    Problem::WrongType { found: format!("{value} without quotes"), allowed: allowed.to_owned() }
}

fn write(value: &str) -> String {
    format!("write \"{value}\", in quotes")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_as_people_write_them_are_told_what_to_write() {
        let told = |line: &str| unquoted(line).map(|(problem, hint)| format!("{problem}; {hint}"));
        for (line, words) in [
            ("width_mm = 12,5 # mm", "found \"12,5\" with a comma; allowed: a decimal point; write 12.5"),
            (
                "load_kn = 10,5 kN",
                "found \"10,5 kN\" with a comma; allowed: a decimal point; write \"10.5 kN\", in quotes",
            ),
            (
                "width_mm = 1 1/4 in",
                "found 1 1/4 in without quotes; allowed: a number, or a number with its unit in quotes",
            ),
            ("load_kn = 3/16", "write \"3/16 kN\", with the unit and in quotes"),
            (
                "gate = half",
                "found half without quotes; allowed: a number, or a text in quotes; write \"half\", in quotes",
            ),
            ("offset_mm = \u{2212}5", "write -5"),
        ] {
            let found = told(line).unwrap_or_default();
            assert!(found.contains(words), "{line}: {found}");
        }
        for other in [
            "tip_mm 14",
            "title = \"x",
            "corner_radius_mm = [8, 10,5",
            "a = b = c",
            "x =",
            "y = {",
            "a\u{1b}b = 3",
        ] {
            assert_eq!(told(other), None, "{other}");
        }
    }
}
