//! Findings of every model, kept. `PULLMAP_UPDATE=1 cargo test --release -p pullmap-tests --test answers golden` writes them anew; look at
//! the difference before it is committed.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::run;
use pullmap_tests::{compare::differences, project};
use serde_json::Value;
use std::fs;

/// Other processors round other last digits, and the contact amplifies them a little.
const RELATIVE: f64 = 1e-6;
/// Quantities that are zero but for rounding.
const ABSOLUTE: f64 = 1e-7;

#[test]
fn findings_of_every_model_are_as_they_were() {
    let folder = tempfile::tempdir().unwrap();
    let mut wrong = Vec::new();
    for name in ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"] {
        let ran = run(folder.path(), &["map", name, "--json"]);
        assert_eq!(ran.code, 0, "{name}: {}", ran.err);
        let path = project().join(format!("tests/golden/{name}.json"));
        if std::env::var_os("PULLMAP_UPDATE").is_some() {
            fs::write(&path, &ran.out).unwrap();
        }
        let expected: Value = serde_json::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
        let got: Value = serde_json::from_str(&ran.out).unwrap();
        wrong.extend(differences(name, &expected, &got, RELATIVE, ABSOLUTE));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
