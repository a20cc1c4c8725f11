//! Which variants are asked for.

use super::mistake::{COUNT, CompareMistake};
use super::variant::{VariantName, VariantRequest};
use crate::model::{Source, keys, set};

/// What a comparison is asked of.
#[derive(Clone, Debug)]
pub struct Asked<E> {
    /// The variants, in the order asked for.
    pub variants: Vec<VariantRequest<E>>,
    /// The key that varies, as typed; `None` where models are compared.
    pub key: Option<String>,
}

/// The variants that `models`, `sets` and a key with the list of its values ask for: several models, or one model and the key.
/// `find` gives the model of what was typed, or why there is none.
///
/// # Errors
/// Every mistake at once: more or fewer variants than a page shows, several models beside a key that varies, a key that changes
/// nothing or is set as well, a value that is empty, stands twice, or is no word of the key.
///
/// ```
/// use std::convert::Infallible;
/// use study::compare::{VariantName, asked};
/// use study::model::Source;
///
/// let find = |model: &str| Ok::<_, Infallible>(Source::of(model, ""));
/// let ask = |models: &[&str], list: &str| {
///     let models: Vec<String> = models.iter().map(|model| model.to_string()).collect();
///     asked(&models, &[], Some(&("nose.notch_depth_mm".to_owned(), list.to_owned())), &find)
/// };
/// let depths = ask(&["oval"], "2, 4").unwrap();
/// let [two, four] = &depths.variants[..] else { panic!("{depths:?}") };
/// assert!(matches!(&four.name, VariantName::Value { value, .. } if value == "4"));
/// assert_eq!(two.sets, [("nose.notch_depth_mm".to_owned(), "2".to_owned())]);
/// assert_eq!(ask(&["oval", "pear"], "2,,2").unwrap_err().len(), 3);
/// ```
pub fn asked<E>(
    models: &[String],
    sets: &[(String, String)],
    vary: Option<&(String, String)>,
    find: &dyn Fn(&str) -> Result<Source, E>,
) -> Result<Asked<E>, Vec<CompareMistake>> {
    let Some((key, list)) = vary else {
        count(models.len(), models.len() == 1, Vec::new())?;
        return Ok(Asked { variants: of_models(models, sets, find), key: None });
    };
    let values = values(models.len(), key, list, sets)?;
    let model = models.first().map_or("", String::as_str);
    let of_value = |value: String| {
        let name = VariantName::Value { key: key.clone(), value: value.clone() };
        let sets = sets.iter().cloned().chain([(key.clone(), value)]).collect();
        VariantRequest { name, source: find(model), sets }
    };
    Ok(Asked { variants: values.into_iter().map(of_value).collect(), key: Some(key.clone()) })
}

/// Models as variants. Two files of one name in different folders are told apart by what was typed.
fn of_models<E>(
    models: &[String],
    sets: &[(String, String)],
    find: &dyn Fn(&str) -> Result<Source, E>,
) -> Vec<VariantRequest<E>> {
    let mut variants: Vec<VariantRequest<E>> =
        models.iter().map(|model| VariantRequest::of_model(model, sets, find)).collect();
    let names: Vec<VariantName> = variants.iter().map(|variant| variant.name.clone()).collect();
    for ((variant, name), model) in variants.iter_mut().zip(&names).zip(models) {
        if names.iter().filter(|other| *other == name).count() > 1 {
            variant.name = VariantName::Model(model.clone());
        }
    }
    variants
}

/// The values that `list` has for a key that varies, in the order typed; `models` is how many models were named beside it.
fn values(
    models: usize,
    key: &str,
    list: &str,
    sets: &[(String, String)],
) -> Result<Vec<String>, Vec<CompareMistake>> {
    let values = split(list);
    let mut slips = Vec::new();
    if models > 1 {
        slips.push(CompareMistake::SeveralModels { found: models, key: key.to_owned() });
    }
    if let Some(because) = keys::changes_nothing(key) {
        slips.push(CompareMistake::ChangesNothing { key: key.to_owned(), because });
    }
    if let Some(set) = keys::set_as_well(key, sets) {
        slips.push(CompareMistake::SetAsWell { key: key.to_owned(), set: set.to_owned() });
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
        assert_eq!(values(2, &key, &list, &[]).unwrap_err(), told);
    }

    #[test]
    fn words_that_no_model_reads_and_keys_that_change_nothing_are_refused() {
        let because = Idle::Name;
        assert_eq!(
            values(1, "title", "a,b", &[]).unwrap_err(),
            [CompareMistake::ChangesNothing { key: "title".to_owned(), because }]
        );
        let words = |key: &str, list: &str| -> Vec<(String, Option<Hint>)> {
            let of = |mistake| match mistake {
                CompareMistake::Word { problem: Problem::UnknownWord { found, .. }, hint, .. } => {
                    (found, hint)
                }
                other => panic!("{other:?}"),
            };
            values(1, key, list, &[]).unwrap_err().into_iter().map(of).collect()
        };
        let meant = |word: &str| Some(Hint::DidYouMean(vec![word.to_owned()]));
        assert_eq!(
            words("material.frame", "7075-T6,304,cheese"),
            [("7075-T6".to_owned(), meant("7075-t6")), ("cheese".to_owned(), Some(Hint::ListedMetals))]
        );
        assert_eq!(words("rig.both.kind", "strap,pin"), [("pin".to_owned(), meant("bar"))]);
        assert!(values(1, "material.frame", "304,{ name = \"mine\" }", &[]).is_ok(), "a table is no word");
    }

    #[test]
    fn a_key_that_varies_is_not_set_as_well() {
        let of = |set: &str| values(1, "rig.both.offset_mm", "1,2", &[(set.to_owned(), "3".to_owned())]);
        let set = "rig.lower.offset_mm".to_owned();
        let told = [CompareMistake::SetAsWell { key: "rig.both.offset_mm".to_owned(), set: set.clone() }];
        assert_eq!(of(&set).unwrap_err(), told);
        assert!(of("rig.lower.width_mm").is_ok());
    }

    #[test]
    fn one_is_too_few_and_seven_are_too_many() {
        let count = |found, lone_model| [CompareMistake::Count { found, lone_model }];
        assert_eq!(values(1, "rig.load_kn", "1", &[]).unwrap_err(), count(1, false));
        let models = |count| {
            let models = vec!["oval".to_owned(); count];
            asked(&models, &[], None, &|model| Ok::<_, ()>(Source::of(model, ""))).unwrap_err()
        };
        assert_eq!(models(1), count(1, true));
        assert_eq!(models(7), count(7, false));
    }

    #[test]
    fn models_of_one_name_are_told_apart_by_what_was_typed() {
        let typed = ["a/oval.toml", "b/oval.toml", "pear.toml", "lost"].map(str::to_owned);
        let find = |model: &str| if model == "lost" { Err(()) } else { Ok(Source::of(model, "")) };
        let names: Vec<VariantName> =
            asked(&typed, &[], None, &find).unwrap().variants.into_iter().map(|v| v.name).collect();
        let told = ["a/oval.toml", "b/oval.toml", "pear", "lost"];
        assert_eq!(names, told.map(|name| VariantName::Model(name.to_owned())));
    }
}
