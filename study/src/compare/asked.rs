//! Which variants are asked for.

use super::mistake::{COUNT, CompareMistake};
use crate::model::{keys, set};

/// Whether so many models can be compared with each other.
///
/// # Errors
/// There are fewer or more of them than a page shows.
pub fn models(found: usize) -> Result<(), Vec<CompareMistake>> {
    count(found, found == 1, Vec::new())
}

/// The values that `list` has for a key that varies, in the order typed; `models` is how many models were named beside it.
///
/// # Errors
/// The number of variants, several models, a key that changes nothing, a value that is empty, named twice or no word of the key:
/// all at once.
///
/// ```
/// use study::compare::values;
///
/// assert_eq!(values(1, "nose.notch_depth_mm", "2, 4").unwrap(), ["2", "4"]);
/// assert_eq!(values(2, "nose.notch_depth_mm", "2,,2").unwrap_err().len(), 3);
/// ```
pub fn values(models: usize, key: &str, list: &str) -> Result<Vec<String>, Vec<CompareMistake>> {
    let values = split(list);
    let mut slips = Vec::new();
    if models > 1 {
        slips.push(CompareMistake::SeveralModels { found: models, key: key.to_owned() });
    }
    if let Some(because) = keys::changes_nothing(key) {
        slips.push(CompareMistake::ChangesNothing { key: key.to_owned(), because });
    }
    for (at, value) in values.iter().enumerate() {
        let (key, list) = (key.to_owned(), list.to_owned());
        if value.is_empty() {
            slips.push(CompareMistake::Empty { key, list, place: at + 1 });
        } else if values[..at].contains(value) {
            slips.push(CompareMistake::Twice { key, list, value: value.clone() });
        } else if let Some((problem, hint)) = set::word_refused(&key, value) {
            slips.push(CompareMistake::Word { key, list, problem, hint });
        }
    }
    count(values.len(), false, slips)?;
    Ok(values)
}

fn count(
    found: usize,
    lone_model: bool,
    mut mistakes: Vec<CompareMistake>,
) -> Result<(), Vec<CompareMistake>> {
    let [least, most] = COUNT;
    if !(least..=most).contains(&found) {
        mistakes.push(CompareMistake::Count { found, lone_model });
    }
    if mistakes.is_empty() { Ok(()) } else { Err(mistakes) }
}

/// Splits a list at its commas, not at those inside brackets, braces or quotes.
fn split(list: &str) -> Vec<String> {
    let mut parts = vec![String::new()];
    let (mut depth, mut quoted) = (0_i32, false);
    for c in list.chars() {
        match c {
            '"' => quoted = !quoted,
            '[' | '{' if !quoted => depth += 1,
            ']' | '}' if !quoted => depth -= 1,
            ',' if depth == 0 && !quoted => {
                parts.push(String::new());
                continue;
            }
            _ => {}
        }
        if let Some(last) = parts.last_mut() {
            last.push(c);
        }
    }
    parts.iter().map(|part| part.trim().to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::hint::Hint;
    use crate::model::keys::Idle;
    use crate::model::mistake::Problem;

    #[test]
    fn lists_of_lists_keep_their_inner_commas() {
        assert_eq!(split("[8, 8, 8, 8],[6,6,6,6]"), ["[8, 8, 8, 8]", "[6,6,6,6]"]);
        assert_eq!(split("{ value = 3, plus_minus = 1 }, 4"), ["{ value = 3, plus_minus = 1 }", "4"]);
    }

    #[test]
    fn all_mistakes_are_told_at_once() {
        let (key, list) = ("rig.load_kn".to_owned(), "1,2,,2,3,4,5".to_owned());
        let told = [
            CompareMistake::SeveralModels { found: 2, key: key.clone() },
            CompareMistake::Empty { key: key.clone(), list: list.clone(), place: 3 },
            CompareMistake::Twice { key: key.clone(), list: list.clone(), value: "2".to_owned() },
            CompareMistake::Count { found: 7, lone_model: false },
        ];
        assert_eq!(values(2, &key, &list).unwrap_err(), told);
    }

    #[test]
    fn words_that_no_model_reads_and_keys_that_change_nothing_are_refused() {
        let because = Idle::Name;
        assert_eq!(
            values(1, "title", "a,b").unwrap_err(),
            [CompareMistake::ChangesNothing { key: "title".to_owned(), because }]
        );
        let words = |key: &str, list: &str| -> Vec<(String, Option<Hint>)> {
            let of = |mistake| match mistake {
                CompareMistake::Word { problem: Problem::UnknownWord { found, .. }, hint, .. } => {
                    (found, hint)
                }
                other => panic!("{other:?}"),
            };
            values(1, key, list).unwrap_err().into_iter().map(of).collect()
        };
        let meant = |word: &str| Some(Hint::DidYouMean(vec![word.to_owned()]));
        assert_eq!(
            words("material.frame", "7075-T6,304,cheese"),
            [("7075-T6".to_owned(), meant("7075-t6")), ("cheese".to_owned(), Some(Hint::ListedMetals))]
        );
        assert_eq!(words("rig.both.kind", "strap,pin"), [("pin".to_owned(), meant("bar"))]);
        assert!(values(1, "material.frame", "304,{ name = \"mine\" }").is_ok(), "a table is no word");
    }

    #[test]
    fn one_is_too_few_and_seven_are_too_many() {
        let count = |found, lone_model| [CompareMistake::Count { found, lone_model }];
        assert_eq!(values(1, "rig.load_kn", "1").unwrap_err(), count(1, false));
        assert_eq!(models(1).unwrap_err(), count(1, true));
        assert_eq!(models(7).unwrap_err(), count(7, false));
    }
}
