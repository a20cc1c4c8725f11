//! The controls of the page: every key of a model file in the groups in which a person thinks of a connector, with short
//! labels and the range that a slider covers. What a key means and what is allowed comes from the model file's own table.

use report::keys::{about, group, label, left_out_on_a_page, word};
use report::quantities::with_range;
use serde::Serialize;
use serde_json::{Map, Value as Json, json};
use solver::material::{Material, library};
use study::model::keys::{self, Chosen, Fallback, Group, Idle, Key, KeyValue, Kind, MATERIALS, Need};
use study::model::{Model, Spread};

/// A group of controls.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Heading {
    /// Its short name in the table of parameters.
    pub id: &'static str,
    /// Its heading.
    pub title: &'static str,
}

/// The groups, in the order of the page.
#[must_use]
pub fn groups() -> [Heading; 8] {
    Group::ALL.map(|of| Heading { id: id(of), title: group(of) })
}

fn id(group: Group) -> &'static str {
    match group {
        Group::Window => "window",
        Group::Sections => "sections",
        Group::Nose => "nose",
        Group::Gate => "gate",
        Group::Hinge => "hinge",
        Group::Material => "material",
        Group::Rig => "rig",
        Group::Marking => "marking",
    }
}

/// A control.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Parameter {
    /// The key of the model file.
    pub key: &'static str,
    /// Its group.
    pub group: &'static str,
    /// A short name.
    pub label: String,
    /// What it is, in words.
    pub about: &'static str,
    /// `number`, `choice`, `corners`, `material` or `text`.
    pub kind: &'static str,
    /// Unit of a bare number; empty without one.
    pub unit: &'static str,
    /// What the model file allows, for numbers.
    pub allowed: Option<[f64; 2]>,
    /// What a slider covers, for numbers.
    pub slider: Option<Slider>,
    /// Words of a choice.
    pub choices: Vec<Choice>,
    /// What is used when the key is not given; empty when it must be.
    pub left_out: String,
    /// The same as a number, where it is one number whatever else is given.
    pub default: Option<f64>,
    /// Whether a change needs a new mesh.
    pub rebuilds: bool,
    /// When the key has a meaning; always where absent.
    pub shown_when: Option<ShownWhen>,
}

/// What a slider covers.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Slider {
    /// Smallest value.
    pub min: f64,
    /// Largest value.
    pub max: f64,
    /// Distance of neighbouring values.
    pub step: f64,
}

/// A word of a choice and its label.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Choice {
    /// The word in the model file.
    pub value: &'static str,
    /// The word for people.
    pub label: &'static str,
}

/// A key has a meaning only beside certain words of another.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShownWhen {
    /// The other key.
    pub key: String,
    /// Its words.
    #[serde(rename = "in")]
    pub words: &'static [&'static str],
}

/// All controls, in the order of measuring.
#[must_use]
pub fn all() -> Vec<Parameter> {
    shown().map(parameter).collect()
}

/// The keys that a page shows: all but the values of a metal of one's own, and what a file may tell that a page
/// does not show the use of: what a caliper reads, and the load in use.
fn shown() -> impl Iterator<Item = &'static Key> {
    keys::all().iter().filter(|key| is_shown(key))
}

/// Whether a page shows a key.
#[must_use]
pub fn is_shown(key: &Key) -> bool {
    let beside = matches!(keys::changes_nothing(&key.path), Some(Idle::Check | Idle::InUse));
    !MATERIALS.contains(&key.table_and_name().0) && key.in_place_of().is_none() && !beside
}

fn parameter(key: &'static Key) -> Parameter {
    let (kind, words): (_, &[&str]) = match key.kind {
        Kind::Text => ("text", &[]),
        Kind::Number { .. } => ("number", &[]),
        Kind::Corners { .. } => ("corners", &[]),
        Kind::Choice(words) => ("choice", words),
        Kind::Material => ("material", &[]),
    };
    Parameter {
        key: &key.path,
        group: id(key.group()),
        label: label(key),
        about: about(key),
        kind,
        unit: key.unit(),
        allowed: key.kind.range(),
        slider: key.slider.map(|keys::Slider { min, max, step }| Slider { min, max, step }),
        choices: words.iter().map(|value| Choice { value, label: word(value) }).collect(),
        left_out: left_out_on_a_page(key),
        default: number_left_out(key),
        rebuilds: key.rebuilds(),
        shown_when: key.beside.map(|beside| ShownWhen {
            key: format!("{}.{}", key.table_and_name().0, beside.chooser),
            words: beside.words,
        }),
    }
}

/// The number that is used when a key is not given, where nothing else decides on it.
fn number_left_out(key: &Key) -> Option<f64> {
    match (key.need, key.chosen) {
        (Need::Else(Fallback::Number(value)), _) => Some(value),
        (Need::Else(_), _) => None,
        (_, Some(Chosen::Number(value))) => Some(value),
        (_, _) => None,
    }
}

/// The values that a model was solved with, for every number and choice that has a meaning there, in the order of measuring.
#[must_use]
pub fn used(model: &Model) -> Map<String, Json> {
    let value = |key: &Key| match key.value(model)? {
        KeyValue::Number(value) => Some(json!(value)),
        KeyValue::Corners(radii) => Some(json!(radii)),
        KeyValue::Word(word) => Some(json!(word)),
        KeyValue::Text(_) => None,
    };
    shown().filter_map(|key| Some((key.path.clone(), value(key)?))).collect()
}

/// The values that a model knows only within a range, as people write them.
#[must_use]
pub fn ranges(model: &Model) -> Map<String, Json> {
    let written =
        |spread: &Spread| Some((spread.key.clone(), json!(with_range(spread.middle, spread.kind)?)));
    model.spreads.iter().filter_map(written).collect()
}

/// The metals that a page may name, with what is shown of them.
#[must_use]
pub fn materials() -> Vec<Json> {
    library::all()
        .iter()
        .map(|metal| {
            let Material { name, youngs_modulus_mpa, yield_mpa, ultimate_mpa, .. } = metal.material();
            json!({
                "name": metal.key, "title": name, "youngs_modulus_mpa": youngs_modulus_mpa,
                "family": if youngs_modulus_mpa < 100_000.0 { "aluminium" } else { "steel" },
                "yield_mpa": yield_mpa, "ultimate_mpa": ultimate_mpa,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::builtin;

    #[test]
    fn every_control_has_a_group_and_its_words() {
        for parameter in all() {
            assert!(groups().iter().any(|group| group.id == parameter.group), "{}", parameter.key);
            assert!(!parameter.label.is_empty() && !parameter.about.is_empty(), "{}", parameter.key);
            if let Some(when) = parameter.shown_when {
                assert!(keys::find(&when.key).is_some(), "{}", when.key);
            }
        }
    }

    #[test]
    fn ranges_are_told_as_people_write_them() {
        let set = [("nose.tip_mm".to_owned(), "17 +- 0,2".to_owned())];
        let ranges = ranges(&crate::source::load_argument("pear", &set).unwrap());
        assert_eq!(ranges["nose.tip_mm"], "17 \u{b1} 0.2");
        assert_eq!(ranges["nose.pin_clearance_mm"], "0.1 to 0.3");
        assert!(!ranges.contains_key("material.frame"), "a metal has no number here: {ranges:?}");
    }

    #[test]
    fn what_is_used_for_a_key_that_is_left_out_is_its_default() {
        let used = used(&crate::source::load_argument("oval", &[]).unwrap());
        let default = |key: &str| all().into_iter().find(|control| control.key == key).unwrap().default;
        for key in ["rig.friction", "rig.upper.offset_mm", "rig.lower.stiffness_n_per_mm2"] {
            assert_eq!(used[key].as_f64(), default(key), "{key}");
            assert!(default(key).is_some(), "{key}");
        }
        for key in ["rig.gate", "rig.engaged_mm", "rig.upper.strap_strength_kn"] {
            assert_eq!(default(key), None, "{key}");
        }
    }

    #[test]
    fn sliders_cover_the_built_in_models() {
        let controls = all();
        for (name, _) in builtin::MODELS {
            for (key, value) in used(&crate::source::load_argument(name, &[]).unwrap()) {
                let control = controls.iter().find(|control| control.key == key).unwrap();
                let values = value.as_array().cloned().unwrap_or_else(|| vec![value.clone()]);
                for value in values.iter().filter_map(Json::as_f64) {
                    let slider = control.slider.unwrap();
                    assert!((slider.min..=slider.max).contains(&value), "{name} {key} {value}");
                }
            }
        }
    }
}
