//! What must hold of every JSON that the program prints or writes: it follows its published schema, and the schema would
//! notice if it did not.

use serde_json::{Value, json};
use std::fs;

/// Asserts that `found` follows `docs/NAME.schema.json`, and that it no longer does once any key is taken out, added or
/// given a value of another type.
///
/// # Panics
/// When it does not follow the schema, or the schema lets damage pass.
pub fn follows(name: &str, found: &Value) {
    follows_with(name, found, &[]);
}

/// As [`follows`], with keys of the whole that may be there or not.
///
/// # Panics
/// As [`follows`].
pub fn follows_with(name: &str, found: &Value, may_be_absent: &[&str]) {
    let path = crate::project().join(format!("docs/{name}.schema.json"));
    let schema: Value = serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let mistakes: Vec<String> = validator.iter_errors(found).map(|e| e.to_string()).collect();
    assert!(mistakes.is_empty(), "{name}: {mistakes:?}");
    let allowed: Vec<String> = may_be_absent.iter().map(|key| format!(" without {key}")).collect();
    for (what, damaged) in damaged(found).into_iter().filter(|(what, _)| !allowed.contains(what)) {
        assert!(!validator.is_valid(&damaged), "{name}: the schema lets pass: {what}");
    }
}

/// Every single damage, with its place.
fn damaged(whole: &Value) -> Vec<(String, Value)> {
    let mut places = Vec::new();
    collect(whole, "", &mut places);
    let mut all = Vec::new();
    for place in places {
        let mut change = |what: &str, change: &dyn Fn(&mut Value)| {
            let mut copy = whole.clone();
            change(copy.pointer_mut(&place).unwrap());
            all.push((format!("{place} {what}"), copy));
        };
        let value = whole.pointer(&place).unwrap();
        if let Some(object) = value.as_object() {
            for key in object.keys() {
                change(&format!("without {key}"), &|value| {
                    value.as_object_mut().unwrap().shift_remove(key);
                });
            }
            change("with another key", &|value| value["another"] = json!(1));
            change("as a number", &|value| *value = json!(1));
        } else {
            change("as an object", &|value| *value = json!({ "another": 1 }));
        }
    }
    all
}

/// Pointers to the value and everything in it.
fn collect(value: &Value, at: &str, places: &mut Vec<String>) {
    places.push(at.to_owned());
    match value {
        Value::Object(object) => {
            object.iter().for_each(|(key, v)| collect(v, &format!("{at}/{key}"), places))
        }
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(i, v)| collect(v, &format!("{at}/{i}"), places));
        }
        _ => {}
    }
}
