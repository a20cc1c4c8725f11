//! Which variants are wanted: values of one key, or several models.

use super::mistake::{COUNT, CompareError, CompareMistake};
use crate::source::{self, SourceError};
use report::keys::naming::{key_in_words, value_in_words};
use study::model::{Source, keys, set};

/// A variant that was asked for.
#[derive(Clone, Debug)]
pub struct VariantRequest {
    /// What it is called beside its picture: "notch depth 6 mm", "oval".
    pub label: String,
    /// What it is called in a sentence that names both: "6 mm", "oval".
    pub short: String,
    /// The model, or why there is none.
    pub source: Result<Source, SourceError>,
    /// Values that take the place of the model's.
    pub sets: Vec<(String, String)>,
}

/// The variants that `models`, `--set` and `--vary` ask for, and the words of the key that varies.
///
/// # Errors
/// The number of variants, several models together with `--vary`, a value that is empty or named twice: all at once.
pub fn requested(
    models: &[String],
    sets: &[(String, String)],
    vary: Option<&(String, String)>,
) -> Result<(Vec<VariantRequest>, Option<String>), CompareError> {
    let Some((key, list)) = vary else {
        count(models.len(), models.len() == 1, Vec::new())?;
        let wanted = models
            .iter()
            .map(|model| {
                let source = source::find(model);
                let stem = source.as_ref().map_or(model.clone(), |s| s.stem.clone());
                VariantRequest { label: stem.clone(), short: stem, source, sets: sets.to_vec() }
            })
            .collect();
        return Ok((distinct(wanted, models), None));
    };
    let values = split(list);
    let mut slips = Vec::new();
    let found = models.len();
    if found > 1 {
        slips.push(CompareMistake::SeveralModels { found, key: key.clone() });
    }
    if let Some(because) = keys::changes_nothing(key) {
        slips.push(CompareMistake::ChangesNothing { key: key.clone(), because });
    }
    for (at, value) in values.iter().enumerate() {
        let (key, list) = (key.clone(), list.clone());
        if value.is_empty() {
            slips.push(CompareMistake::Empty { key, list, place: at + 1 });
        } else if values[..at].contains(value) {
            slips.push(CompareMistake::Twice { key, list, value: value.clone() });
        } else if let Some((problem, hint)) = set::word_refused(&key, value) {
            slips.push(CompareMistake::Word { key, list, problem, hint });
        }
    }
    count(values.len(), false, slips)?;
    let model = models.first().map_or("", String::as_str);
    let words = key_in_words(key);
    let wanted = values
        .into_iter()
        .map(|value| {
            let short = value_in_words(key, &value);
            let mut sets = sets.to_vec();
            sets.push((key.clone(), value));
            VariantRequest { label: format!("{words} {short}"), short, source: source::find(model), sets }
        })
        .collect();
    Ok((wanted, Some(words)))
}

fn count(found: usize, lone_model: bool, mut mistakes: Vec<CompareMistake>) -> Result<(), CompareError> {
    let [least, most] = COUNT;
    if !(least..=most).contains(&found) {
        mistakes.push(CompareMistake::Count { found, lone_model });
    }
    if mistakes.is_empty() { Ok(()) } else { Err(CompareError::Asked(mistakes)) }
}

/// Two files of one name in different folders are told apart by what was typed.
fn distinct(mut wanted: Vec<VariantRequest>, models: &[String]) -> Vec<VariantRequest> {
    let stems: Vec<String> = wanted.iter().map(|w| w.short.clone()).collect();
    for (i, variant) in wanted.iter_mut().enumerate() {
        if stems.iter().filter(|s| **s == stems[i]).count() > 1 {
            variant.short.clone_from(&models[i]);
            variant.label.clone_from(&models[i]);
        }
    }
    wanted
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
    use study::model::hint::Hint;
    use study::model::keys::Idle;
    use study::model::mistake::Problem;

    fn vary(models: &[&str], key: &str, list: &str) -> Result<Vec<VariantRequest>, CompareError> {
        let models: Vec<String> = models.iter().map(|m| (*m).to_owned()).collect();
        requested(&models, &[], Some(&(key.to_owned(), list.to_owned()))).map(|w| w.0)
    }

    #[test]
    fn values_become_variants() {
        let wanted = vary(&["oval"], "nose.notch_depth_mm", "2, 4,6").unwrap();
        let labels: Vec<String> = wanted.iter().map(|w| w.label.replace('\u{a0}', " ")).collect();
        assert_eq!(labels, ["notch depth 2 mm", "notch depth 4 mm", "notch depth 6 mm"]);
        assert_eq!(wanted[1].sets, [("nose.notch_depth_mm".to_owned(), "4".to_owned())]);
    }

    #[test]
    fn lists_of_lists_keep_their_inner_commas() {
        assert_eq!(split("[8, 8, 8, 8],[6,6,6,6]"), ["[8, 8, 8, 8]", "[6,6,6,6]"]);
        assert_eq!(split("{ value = 3, plus_minus = 1 }, 4"), ["{ value = 3, plus_minus = 1 }", "4"]);
    }

    fn refused<T: std::fmt::Debug>(asked: Result<T, CompareError>) -> Vec<CompareMistake> {
        match asked {
            Err(CompareError::Asked(mistakes)) => mistakes,
            other => panic!("{other:?}"),
        }
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
        assert_eq!(refused(vary(&["oval", "pear"], &key, &list)), told);
    }

    #[test]
    fn words_that_no_model_reads_and_keys_that_change_nothing_are_refused() {
        let because = Idle::Name;
        assert_eq!(
            refused(vary(&["oval"], "title", "a,b")),
            [CompareMistake::ChangesNothing { key: "title".to_owned(), because }]
        );
        let words = |key: &str, list: &str| -> Vec<(String, Option<Hint>)> {
            let of = |mistake| match mistake {
                CompareMistake::Word { problem: Problem::UnknownWord { found, .. }, hint, .. } => {
                    (found, hint)
                }
                other => panic!("{other:?}"),
            };
            refused(vary(&["oval"], key, list)).into_iter().map(of).collect()
        };
        let meant = |word: &str| Some(Hint::DidYouMean(vec![word.to_owned()]));
        assert_eq!(
            words("material.frame", "7075-T6,304,cheese"),
            [("7075-T6".to_owned(), meant("7075-t6")), ("cheese".to_owned(), Some(Hint::ListedMetals))]
        );
        assert_eq!(words("rig.both.kind", "strap,pin"), [("pin".to_owned(), meant("bar"))]);
        assert!(vary(&["oval"], "material.frame", "304,{ name = \"mine\" }").is_ok(), "a table is no word");
    }

    #[test]
    fn one_is_too_few_and_seven_are_too_many() {
        let count = |found, lone_model| [CompareMistake::Count { found, lone_model }];
        assert_eq!(refused(vary(&["oval"], "rig.load_kn", "1")), count(1, false));
        assert_eq!(refused(requested(&["oval".to_owned()], &[], None)), count(1, true));
        assert_eq!(refused(requested(&vec!["oval".to_owned(); 7], &[], None)), count(7, false));
    }
}
