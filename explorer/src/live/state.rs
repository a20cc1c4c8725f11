//! The state of a page: a model and what was changed of it, both as keys of the model file.
//!
//! Page, address and TOML file hold the same flat map of keys, so that each can be made from any other. Nothing is judged
//! here that the model file's own reader judges: a state becomes text and sets, and goes the way of every model.

use super::allowed::{LONGEST_KEY, MOST_KEYS};
use super::api_error::{ApiError, Fault, of_model};
use super::bad_request::BadRequest;
use crate::source::builtin;
use report::keys::template::commented;
use report::mistakes;
use report::page::OWN_CONNECTOR;
use report::reason::Reason;
use serde::Deserialize;
use serde_json::{Map, Value as Json};
use solver::rig::GateState;
use std::collections::BTreeSet;
use study::model::keys::{self, Kind};
use study::model::raw::{self, Place, Table, Value};
use study::model::{MARK, Model, Source, To, marked_lines, set};

/// Entry of an own model's map that names, blanks between, the keys whose values are still the example's.
const MARKED: &str = "marked";

/// A state as the page sends it.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct State {
    /// Name of a built-in model, or a flat map of keys to values.
    pub model: Json,
    /// Values that take the place of the model's.
    #[serde(default)]
    pub set: Map<String, Json>,
}

/// A state that was checked.
#[derive(Clone, Debug)]
pub struct Checked {
    /// The model as it stands.
    pub model: Model,
    /// Its short name, for pictures.
    pub name: String,
    /// What it was read from, changes not included.
    pub source: Source,
    /// The changes.
    pub sets: Vec<(String, String)>,
}

/// A value as it would be typed after `--set key=`.
fn typed(key: &str, value: &Json) -> Result<(String, String), ApiError> {
    if key.len() > LONGEST_KEY {
        return Err(BadRequest::KeyLength(key.len()).into());
    }
    match value {
        Json::Number(number) => Ok((key.to_owned(), number.to_string())),
        Json::String(text) => Ok((key.to_owned(), text.clone())),
        _ => Err(BadRequest::Value(key.to_owned()).into()),
    }
}

fn pairs(map: &Map<String, Json>) -> Result<Vec<(String, String)>, ApiError> {
    if map.len() > MOST_KEYS {
        return Err(BadRequest::Keys(map.len()).into());
    }
    map.iter().map(|(key, value)| typed(key, value)).collect()
}

/// A table as a TOML document, one line for each value, with the marks of those that are still the example's.
fn document(table: &Table, marked: &BTreeSet<&str>) -> String {
    let mut text = String::new();
    write(&mut text, ("", ""), table, marked);
    text
}

fn write(text: &mut String, (above, written): (&str, &str), table: &Table, marked: &BTreeSet<&str>) {
    for (name, entry) in table {
        // A key of the page may be anything at all; quoted it is always TOML.
        let quoted = toml::Value::String(name.clone());
        let path = if above.is_empty() { name.clone() } else { format!("{above}.{name}") };
        let key = if written.is_empty() { quoted.to_string() } else { format!("{written}.{quoted}") };
        match &entry.value {
            Value::Table(inner) if holds_keys(&path) && !inner.is_empty() => {
                write(text, (&path, &key), inner, marked);
            }
            value => {
                let mark = if marked.contains(path.as_str()) { format!(" # {MARK}") } else { String::new() };
                text.push_str(&format!("{key} = {}{mark}\n", value.to_toml()));
            }
        }
    }
}

/// Whether a table there holds keys: a material of one's own does; a value with its range is a table that is a value.
fn holds_keys(path: &str) -> bool {
    keys::find(path).is_none_or(|key| key.kind == Kind::Material)
}

/// The text of a model that is given as a flat map.
fn text_of(map: &Map<String, Json>) -> Result<String, ApiError> {
    let mut table = Table::new();
    let marked = match map.get(MARKED) {
        None => "",
        Some(Json::String(keys)) => keys,
        Some(_) => return Err(BadRequest::Value(MARKED.to_owned()).into()),
    };
    let mut values = pairs(map)?;
    values.retain(|(key, _)| key != MARKED);
    let refused = set::apply(&mut table, &set::typed(&values)).refused;
    if let Some(first) = refused.first() {
        return Err(ApiError::of_key(&first.key, mistakes::reason(&first.problem)));
    }
    Ok(document(&table, &marked.split_whitespace().collect()))
}

impl State {
    /// Reads and checks the model.
    ///
    /// # Errors
    /// A state of another form, or every mistake there is.
    pub fn check(&self) -> Result<Checked, ApiError> {
        let source = match &self.model {
            Json::String(name) => match builtin::find(name) {
                Some(text) => Source { file: name.clone(), stem: name.clone(), text: text.to_owned() },
                None => {
                    return Err(ApiError::of_key(
                        "model",
                        Reason::found(mistakes::quoted(name), builtin::names()),
                    ));
                }
            },
            Json::Object(map) => {
                Source { file: OWN_CONNECTOR.to_owned(), stem: OWN_CONNECTOR.to_owned(), text: text_of(map)? }
            }
            _ => return Err(BadRequest::Model.into()),
        };
        let sets = pairs(&self.set)?;
        let model = source.model(&sets).map_err(|errors| of_model(&errors, false))?;
        Ok(Checked { model, name: source.stem.clone(), source, sets })
    }
}

impl Checked {
    /// The state as a commented model file.
    ///
    /// # Errors
    /// None that checking did not find before.
    pub fn to_toml(&self) -> Result<String, ApiError> {
        let mut table = raw::parse(&self.source.text).map_err(|_| ApiError::from(Fault::NoToml))?;
        // The same sets passed a moment ago.
        let _ = set::apply(&mut table, &set::typed(&self.sets));
        // A depth that was taken for a gate set half shut is told in the file, where half shut alone would not do.
        let told = |table: &raw::Table| match table.get("rig").map(|rig| &rig.value) {
            Some(raw::Value::Table(rig)) => rig.contains_key("engaged_mm"),
            _ => false,
        };
        if let GateState::Half { engaged_mm } = self.model.rig.gate
            && !told(&table)
        {
            let _ = set::apply(&mut table, &[("rig.engaged_mm".to_owned(), To::Number(engaged_mm))]);
        }
        let marked = self.model.marked.iter().copied().collect();
        let source = Source { text: document(&table, &marked), ..self.source.clone() };
        commented(&source, None).map_err(|errors| of_model(&errors, false))
    }
}

/// The flat map of a model's text, and its title and notes.
///
/// # Errors
/// Every mistake there is, with its line.
pub fn open(text: &str) -> Result<(Model, Map<String, Json>), ApiError> {
    let source =
        Source { file: OWN_CONNECTOR.to_owned(), stem: OWN_CONNECTOR.to_owned(), text: text.to_owned() };
    let model = source.model(&[]).map_err(|errors| of_model(&errors, true))?;
    Ok((model, flat(text)))
}

/// Keys and values of a model's text, each value as it would be typed after `--set key=`, and under `marked` the keys whose
/// values are still the example's. Empty when it is no TOML.
#[must_use]
pub fn flat(text: &str) -> Map<String, Json> {
    let mut map = Map::new();
    if let Ok(table) = raw::parse(text) {
        let mut marked = Vec::new();
        add(&mut map, &mut marked, ("", &table), &marked_lines(text));
        if !marked.is_empty() {
            map.insert(MARKED.to_owned(), Json::String(marked.join(" ")));
        }
    }
    map
}

fn add(
    map: &mut Map<String, Json>,
    marked: &mut Vec<String>,
    (above, table): (&str, &Table),
    lines: &BTreeSet<usize>,
) {
    for (name, entry) in table {
        let path = if above.is_empty() { name.clone() } else { format!("{above}.{name}") };
        if let Value::Table(inner) = &entry.value
            && holds_keys(&path)
        {
            add(map, marked, (&path, inner), lines);
            continue;
        }
        if matches!(entry.place, Place::Line(line) if lines.contains(&line)) {
            marked.push(path.clone());
        }
        match &entry.value {
            Value::Text(text) if !text.trim_start().starts_with(['"', '\'', '{', '[']) => {
                map.insert(path, Json::String(text.clone()));
            }
            value => {
                map.insert(path, Json::String(value.to_toml()));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn state(json: &str) -> State {
        serde_json::from_str(json).unwrap()
    }

    #[test]
    fn every_built_in_model_survives_the_flat_map_and_the_file() {
        for (name, text) in builtin::MODELS {
            let by_name = state(&format!("{{\"model\": \"{name}\"}}")).check().unwrap();
            let by_map = State { model: Json::Object(flat(text)), set: Map::new() }.check().unwrap();
            assert_eq!(by_name.model, by_map.model);
            let (again, _) = open(&by_map.to_toml().unwrap()).unwrap();
            assert_eq!(by_name.model, again);
        }
    }

    #[test]
    fn changes_reach_the_file() {
        let json = r#"{"model": "broadbar-alu",
            "set": {"rig.both.offset_mm": 3.5, "rig.upper.kind": "bar", "rig.upper.diameter_mm": "1/2 in",
                    "window.corner_radius_mm": "[8, 7, 6, 5]", "nose.pin_clearance_mm": "{ between = [0.1, 0.2] }"}}"#;
        let checked = state(json).check().unwrap();
        let (again, values) = open(&checked.to_toml().unwrap()).unwrap();
        assert_eq!(checked.model, again);
        assert_eq!(again.connector.window.corner_radius_mm, [8.0, 7.0, 6.0, 5.0]);
        assert_eq!(values["rig.upper.diameter_mm"], "1/2 in");
        assert_eq!(again.spreads.len(), 1);
    }

    /// A form says of which values somebody still has to read a caliper; saved by the page it still says so, except of those
    /// that were changed there.
    #[test]
    fn marks_of_what_is_still_the_examples_go_through_the_page() {
        let source =
            |text: &str| Source { file: "f".to_owned(), stem: "f".to_owned(), text: text.to_owned() };
        let form = report::keys::template::form(&source(builtin::find("oval").unwrap()), None).unwrap();
        let form = form.replacen("depth_mm = 12 # example's", "depth_mm = 12", 1);
        let of_file = source(&form).model(&[]).unwrap().marked;
        assert!(of_file.len() > 20 && !of_file.contains(&"section.spine.depth_mm"), "{of_file:?}");
        let set = serde_json::from_str(r#"{"rig.both.offset_mm": 2, "rig.load_kn": 8}"#).unwrap();
        let checked = State { model: Json::Object(flat(&form)), set }.check().unwrap();
        let changed = ["rig.upper.offset_mm", "rig.lower.offset_mm", "rig.load_kn"];
        let left: Vec<_> = of_file.into_iter().filter(|key| !changed.contains(key)).collect();
        assert_eq!(checked.model.marked, left);
        let saved = checked.to_toml().unwrap();
        assert_eq!(source(&saved).model(&[]).unwrap().marked, left);
        assert!(saved.contains("delete the mark"), "the file says what the marks are for");
        let plain = state(r#"{"model": "oval"}"#).check().unwrap().to_toml().unwrap();
        assert!(!plain.contains(MARK), "what is not marked stays so");
    }

    #[test]
    fn what_is_wrong_is_told_by_key() {
        let ApiError::Impossible(mistakes) =
            state(r#"{"model": "oval", "set": {"nose.tip_mm": 900, "nose.tpi_mm": 1}}"#).check().unwrap_err()
        else {
            panic!()
        };
        assert!(
            mistakes
                .iter()
                .any(|m| m.key == "nose.tip_mm" && m.reason.parts().is_some_and(|parts| parts.0 == "900 mm")),
            "{mistakes:?}"
        );
        assert!(mistakes.iter().any(|m| m.key == "nose.tpi_mm" && !m.hint.is_empty()), "{mistakes:?}");
        let long = "a".repeat(LONGEST_KEY + 1);
        let value = || BadRequest::Value("a".to_owned());
        for (json, why) in [
            (r#"{"model": 3}"#, BadRequest::Model),
            (r#"{"model": "oval", "set": {"a": [1]}}"#, value()),
            (r#"{"model": "oval", "set": {"a": null}}"#, value()),
            (&format!(r#"{{"model": "oval", "set": {{"{long}": 1}}}}"#), BadRequest::KeyLength(long.len())),
        ] {
            assert_eq!(state(json).check().unwrap_err(), why.into(), "{json}");
        }
        for (json, key) in [
            (r#"{"model": "../../etc/passwd"}"#, "model"),
            (r#"{"model": {"a\n=b": "\u0000"}}"#, ""),
            (r#"{"model": {}}"#, "window.inside_length_mm"),
        ] {
            let Err(ApiError::Impossible(mistakes)) = state(json).check() else { panic!("{json}") };
            assert!(mistakes.iter().any(|mistake| mistake.key == key), "{json}: {mistakes:?}");
        }
    }
}
