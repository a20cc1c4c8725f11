//! The JSON schemas of the files, made from the types that are written.

use crate::caution::{CAUTION, WithCaution};
use crate::explain::Explanation;
use crate::findings::Findings;
use crate::forecast::Forecast;
use crate::{calibration, compare, levers, logbook, lot, pull_to_failure, reach, seats, sweep, trace};
use lab::logbook::package::Package;
use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};

/// A document: the name of its schema's file without `.schema.json`, and the schema.
pub type Document = (&'static str, Schema);

/// The schemas of all documents.
#[must_use]
pub fn all() -> Vec<Document> {
    vec![
        of::<Forecast>(
            "forecast",
            "What `pullmap forecast --json` prints and forecast.json holds. Loads in kN along the pull axis.",
        ),
        of::<Explanation>(
            "explain",
            "What `pullmap explain --json` prints and explain.json holds. Loads in kN along the pull axis.",
        ),
        of::<compare::Document>(
            "compare",
            "What `pullmap compare --json` prints and compare.json holds. Forces in kN, moments in N m, stresses in MPa.",
        ),
        of::<seats::Document>(
            "seats",
            "What `pullmap seats --json` prints and seats.json holds. Offsets in mm from the middle of the window, above 0 toward the \
             gate; loads in kN along the pull axis.",
        ),
        of::<reach::Document>(
            "reach",
            "What `pullmap reach --json` prints and reach.json holds. Offsets in mm from the middle of the window, above 0 toward the \
             gate; loads in kN along the pull axis.",
        ),
        of::<levers::Document>(
            "levers",
            "What `pullmap levers --json` prints and levers.json holds. Loads in kN along the pull axis, values in the unit of their key.",
        ),
        of::<lot::Document>(
            "lot",
            "What `pullmap lot --json` prints and lot.json holds. Loads in kN, shares and confidences as parts of one.",
        ),
        of::<pull_to_failure::Document>(
            "pull",
            "What `pullmap pull --json` prints and pull.json holds. Loads in kN along the pull axis, lengths in mm.",
        ),
        of::<trace::Document>(
            "trace",
            "What `pullmap trace --json` prints and trace.json holds. Loads in kN less what the cell shows without load, times in s.",
        ),
        of::<sweep::About>(
            "sweep",
            "What sweep.json holds, beside the table sweep.csv of one row per point, whether the sweep was stopped in between or not.",
        ),
        of::<logbook::ListDocument>(
            "log-list",
            "What `pullmap log list --json` prints: pulls as they are now, in the order of their numbers. Loads in kN.",
        ),
        of::<logbook::ShowDocument>(
            "log-show",
            "What `pullmap log show --json` prints: one pull, as it is now and as it was first recorded. Loads in kN, lengths in mm.",
        ),
        of::<logbook::ScoreDocument>(
            "log-score",
            "What `pullmap log score --json` prints: forecasts held against the pulls that followed them. Peaks over forecasts and shares as parts of \
             one.",
        ),
        of::<calibration::Document>(
            "calibration",
            "What `pullmap log calibrate --json` prints and calibration.json holds: what pulls have told of the constants that forecasts share. Factors \
             over what is computed or entered.",
        ),
        of::<calibration::KeptDocument>(
            "log-calibrations",
            "What `pullmap log calibrations --json` prints: the calibrations that a logbook keeps, in the order of their recording.",
        ),
        of::<Package>(
            "pulls",
            "What `pullmap log export FILE.json` writes and `pullmap log import` takes in: pulls with the models and traces that they \
             name. Loads in kN, lengths in mm.",
        ),
        of::<WithCaution<Findings>>(
            "findings",
            "What `pullmap map --json` prints and findings.json holds. Forces in kN, moments in N m, stresses in MPa, lengths in mm, \
         angles in degrees. x runs from the spine to the gate, y up along the major axis, the origin is the middle of the window.",
        ),
    ]
}

/// The schema of a type as it is written: what may be absent is null, and there are no other keys.
fn of<T: JsonSchema>(name: &'static str, what: &str) -> Document {
    let settings = SchemaSettings::draft2020_12().for_serialize().with_transform(RecursiveTransform(plain));
    let mut schema = settings.into_generator().into_root_schema_for::<T>();
    schema.insert("title".to_owned(), format!("pullmap {name}").into());
    schema.insert("description".to_owned(), format!("{what} Same input, same bytes. {CAUTION}").into());
    (name, schema)
}

/// No other keys than those of the type, descriptions in one line, and no format that only says how a number is held.
fn plain(schema: &mut Schema) {
    schema.remove("format");
    if let Some(description) = schema.get("description").and_then(|d| d.as_str()) {
        let line = description.replace('\n', " ");
        schema.insert("description".to_owned(), line.into());
    }
    if schema.get("properties").is_some() && schema.get("type").is_some() {
        schema.insert("additionalProperties".to_owned(), false.into());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_document_names_its_keys_says_what_each_is_and_lets_no_other_stand() {
        for (name, schema) in all() {
            assert_eq!(schema.get("additionalProperties"), Some(&false.into()), "{name}");
            let keys = schema.get("properties").and_then(|p| p.as_object()).unwrap();
            assert!(keys.contains_key("format") && keys.contains_key("caution"), "{name}");
            let told = |key: &serde_json::Value| key.get("description").is_some_and(|d| d != "");
            let untold: Vec<&String> =
                keys.iter().filter(|(_, key)| !told(key)).map(|(key, _)| key).collect();
            assert!(untold.is_empty(), "{name}: {untold:?}");
            let required = schema.get("required").and_then(|r| r.as_array()).unwrap();
            assert!(required.len() >= 2, "{name}");
        }
    }
}
