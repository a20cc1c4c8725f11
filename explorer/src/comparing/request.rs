//! Which variants are wanted: values of one key, or several models.

use crate::source::{self, SourceError};
use report::keys::naming::{key_in_words, value_in_words};
use report::mistakes;
use study::model::{Source, keys, set};

/// Fewest and most variants of a comparison: more than six are too small to tell apart on one page.
pub const COUNT: [usize; 2] = [2, 6];

/// What is wrong with a comparison as it was asked for.
#[derive(Debug, thiserror::Error)]
pub enum CompareError {
    /// Every mistake in what was typed.
    #[error("{}", .0.join("\n"))]
    Asked(Vec<String>),
    /// Fewer than two variants can be computed.
    #[error("a comparison needs two variants that can be computed, found {found} of {asked}\n{}", .reasons.join("\n"))]
    TooFew {
        /// How many can be.
        found: usize,
        /// How many were asked for.
        asked: usize,
        /// Why the others cannot be.
        reasons: Vec<String>,
    },
}

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
    if models.len() > 1 {
        slips.push(format!(
            "found --vary with {} models; allowed: several models, or one model and --vary\n  hint: --set {key}=VALUE \
             applies to each of several models",
            models.len()
        ));
    }
    if let Some(because) = keys::changes_nothing(key) {
        slips.push(format!(
            "--vary {key}: found a key that changes nothing: {}; allowed: a key that a result depends on",
            report::keys::changes_nothing(because)
        ));
    }
    for (at, value) in values.iter().enumerate() {
        if value.is_empty() {
            slips.push(format!("--vary {key}={list}: value {} is empty; allowed: KEY=VALUE,VALUE", at + 1));
        } else if values[..at].contains(value) {
            slips.push(format!("--vary {key}={list}: found {value} twice; allowed: each value once"));
        } else if let Some((problem, hint)) = set::word_refused(key, value) {
            let hint = hint.map_or_else(String::new, |hint| format!("\n  hint: {}", mistakes::hint(&hint)));
            slips.push(format!("--vary {key}={list}: {}{hint}", mistakes::problem(&problem)));
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

fn count(found: usize, lone_model: bool, mut mistakes: Vec<String>) -> Result<(), CompareError> {
    let [least, most] = COUNT;
    if !(least..=most).contains(&found) {
        let hint =
            if lone_model { "\n  hint: name another model, or add --vary KEY=VALUE,VALUE" } else { "" };
        let plural = if found == 1 { "variant" } else { "variants" };
        mistakes.push(format!("found {found} {plural}; allowed: {least} to {most}{hint}"));
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

    #[test]
    fn all_mistakes_are_told_at_once() {
        let Err(CompareError::Asked(mistakes)) = vary(&["oval", "pear"], "rig.load_kn", "1,2,,2,3,4,5")
        else {
            panic!()
        };
        let all = mistakes.join("\n");
        for part in ["2 models", "value 3 is empty", "2 twice", "found 7 variants"] {
            assert!(all.contains(part), "{part}: {all}");
        }
    }

    #[test]
    fn words_that_no_model_reads_and_keys_that_change_nothing_are_refused() {
        let told = |key: &str, list: &str| match vary(&["oval"], key, list) {
            Err(CompareError::Asked(mistakes)) => mistakes.join("\n"),
            other => panic!("{other:?}"),
        };
        assert!(told("title", "a,b").contains("found a key that changes nothing: it is a name"));
        let metals = told("material.frame", "7075-T6,304,cheese");
        for says in ["found \"7075-T6\"; allowed: ", "mean 7075-t6?", "found \"cheese\"; allowed: "] {
            assert!(metals.contains(says), "{metals}");
        }
        assert!(told("rig.both.kind", "strap,pin").contains("found \"pin\"; allowed: strap, bar"));
        assert!(vary(&["oval"], "material.frame", "304,{ name = \"mine\" }").is_ok(), "a table is no word");
    }

    #[test]
    fn one_is_too_few_and_seven_are_too_many() {
        assert!(vary(&["oval"], "rig.load_kn", "1").is_err());
        assert!(requested(&["oval".to_owned()], &[], None).is_err());
        assert!(requested(&vec!["oval".to_owned(); 7], &[], None).is_err());
    }
}
