//! Which variants are wanted: values of one key, or several models.

use super::mistake::CompareError;
use crate::source::{self, SourceError};
use report::keys::naming::{key_in_words, value_in_words};
use study::compare;
use study::model::Source;

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
        compare::models(models.len()).map_err(CompareError::Asked)?;
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
    let values = compare::values(models.len(), key, list).map_err(CompareError::Asked)?;
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_become_variants() {
        let vary = ("nose.notch_depth_mm".to_owned(), "2, 4,6".to_owned());
        let wanted = requested(&["oval".to_owned()], &[], Some(&vary)).unwrap().0;
        let labels: Vec<String> = wanted.iter().map(|w| w.label.replace('\u{a0}', " ")).collect();
        assert_eq!(labels, ["notch depth 2 mm", "notch depth 4 mm", "notch depth 6 mm"]);
        assert_eq!(wanted[1].sets, [("nose.notch_depth_mm".to_owned(), "4".to_owned())]);
    }
}
