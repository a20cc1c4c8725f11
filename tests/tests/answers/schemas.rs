//! The published schemas are those of the types. `PULLMAP_UPDATE=1` writes them anew.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::project;
use std::{env, fs};

#[test]
fn the_published_schemas_are_those_of_the_types() {
    for (name, schema) in report::schemas::all() {
        let path = project().join(format!("docs/{name}.schema.json"));
        let text = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        if env::var_os("PULLMAP_UPDATE").is_some() {
            fs::write(&path, &text).unwrap();
        }
        let published = fs::read_to_string(&path).unwrap();
        assert!(
            published == text,
            "docs/{name}.schema.json is not that of its type: run with PULLMAP_UPDATE=1"
        );
    }
}
