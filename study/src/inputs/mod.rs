//! What an answer depends on, as canonical JSON, and the hash that stands for it.
//!
//! Canonical: the keys of every table sorted, no white space, every number as the shortest decimal that reads back as the same
//! 64-bit float, zero without a sign. The text is that of values, never of how they were written: equal inputs have equal
//! hashes on all machines, whatever the order and the comments of a model file.
//!
//! Hashed are, as [`hash`] is given them:
//!
//! - of a model ([`Model::inputs_hash`]): title, marking, connector, materials, rig, what is known within a range only or by its
//!   kind only, what was taken where it was left untold, what a caliper read, and the settings of the mesh. Not hashed is what is
//!   kept for the reader of the file only (the `source` of a metal, the marks of values that are still the example's). A map that is refined has its accuracy beside.
//! - of a sweep: the values of its file and of its sets ([`Told::inputs`]), the varied keys with their values, the settings
//!   of the mesh, and the handbook.
//! - of a comparison: the hashes of its variants, in order.
//!
//! The version of the program is always among it: another version may compute other numbers.

use crate::model::raw::{Entry, Table, Value};
use crate::model::{Model, To, Told};
use serde_json::{Number, Value as Json, json};
use sha2::{Digest, Sha256};
use solver::strength::Constants;
use solver::system::SystemSettings;

/// Digits of a hash.
const DIGITS: usize = 12;

/// Values as canonical JSON.
#[must_use]
pub fn canonical(mut values: Json) -> String {
    drop_signs_of_zeros(&mut values);
    values.sort_all_objects();
    values.to_string()
}

/// Of the two zeros the one without a sign is meant.
fn drop_signs_of_zeros(values: &mut Json) {
    match values {
        Json::Number(number) if number.as_f64() == Some(0.0) && number.is_f64() => {
            *values = Json::from(0.0);
        }
        Json::Array(items) => items.iter_mut().for_each(drop_signs_of_zeros),
        Json::Object(table) => table.values_mut().for_each(drop_signs_of_zeros),
        _ => {}
    }
}

/// Twelve hexadecimal digits that stand for inputs and for the version of the program.
#[must_use]
pub fn hash(inputs: Json) -> String {
    digits(&canonical(json!({ "version": env!("CARGO_PKG_VERSION"), "inputs": inputs })))
}

/// The first twelve hexadecimal digits of a text's SHA-256.
#[must_use]
pub fn digits(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().take(DIGITS / 2).map(|byte| format!("{byte:02x}")).collect()
}

impl Model {
    /// Everything that its answers on a mesh depend on.
    #[must_use]
    pub fn inputs(&self, mesh: &SystemSettings) -> Json {
        // How it was told decides nothing beyond the rest.
        let Self {
            title,
            marking,
            connector,
            materials,
            rig,
            working_load_kn,
            stroke_mm,
            spreads,
            unknown_metals,
            taken,
            converted,
            opening_mm,
            marked: _,
            places_entered: _,
            constants,
            calibration,
            told: _,
        } = self;
        let mut inputs = json!({
            "title": title,
            "marking": marking,
            "connector": connector,
            "materials": materials,
            "rig": rig,
            "spreads": spreads,
            "unknown_metals": unknown_metals,
            "taken": taken,
            "mesh": mesh,
        });
        if let Some(kn) = working_load_kn {
            inputs["working_load_kn"] = json!(kn);
        }
        if let Some(mm) = stroke_mm {
            inputs["stroke_mm"] = json!(mm);
        }
        // Nothing is said of constants that are as computed and entered, nor of what nobody measured.
        if *constants != Constants::default() {
            inputs["constants"] = json!(constants);
        }
        if let Some(calibration) = calibration {
            inputs["calibration"] = json!(**calibration);
        }
        if !converted.is_empty() {
            inputs["converted"] = json!(converted);
        }
        if let Some(opening_mm) = opening_mm {
            inputs["opening_mm"] = json!(opening_mm);
        }
        inputs
    }

    /// Twelve hexadecimal digits that stand for [`Self::inputs`] and the version of the program.
    #[must_use]
    pub fn inputs_hash(&self, mesh: &SystemSettings) -> String {
        hash(self.inputs(mesh))
    }

    /// The same of a map whose mesh is refined until its peaks keep still within `accuracy`, a part of one.
    #[must_use]
    pub fn refined_inputs_hash(&self, mesh: &SystemSettings, accuracy: f64) -> String {
        let mut inputs = self.inputs(mesh);
        inputs["accuracy"] = json!(accuracy);
        hash(inputs)
    }
}

impl Told {
    /// The values of the text and of the sets over it, each as it was told: they need not make a model.
    #[must_use]
    pub fn inputs(&self) -> Json {
        let sets: Vec<Json> = self.sets.iter().map(|(key, to)| json!([key, of_set(to)])).collect();
        json!({ "model": of_table(&self.table), "sets": sets })
    }
}

fn of_set(to: &To) -> Json {
    match to {
        To::Typed(text) => json!(text),
        To::Number(number) => json!(number),
    }
}

fn of_table(table: &Table) -> Json {
    Json::Object(table.iter().map(|(key, Entry { value, .. })| (key.clone(), of_value(value))).collect())
}

/// A value without its place. What JSON has no form for follows a null in a list: no value of TOML is null.
fn of_value(value: &Value) -> Json {
    match value {
        Value::Number { value, written } => {
            Number::from_f64(*value).map_or_else(|| json!([null, written]), Json::Number)
        }
        Value::Text(text) => json!(text),
        Value::Flag(flag) => json!(flag),
        Value::Date(date) => json!([null, date]),
        Value::List(items) => items.iter().map(|item| of_value(&item.value)).collect(),
        Value::Table(table) => of_table(table),
    }
}

#[cfg(test)]
mod tests;
