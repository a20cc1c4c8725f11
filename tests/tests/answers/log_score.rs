//! `pullmap log score` by the real binary: forecasts that were made before their pulls, held against what these gave.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{done, json, run};
use pullmap_tests::schemas::follows;
use serde_json::Value;
use tempfile::tempdir;

#[test]
fn forecasts_are_held_against_the_pulls_that_followed() {
    let folder = tempdir().unwrap();
    let folder = folder.path();
    for number in 1..=6 {
        done(folder, &["log", "plan", "oval", "--sample", &format!("ring {number}")]);
    }
    let empty = json(folder, &["log", "score"]);
    follows("log-score", &empty);
    assert_eq!((&empty["bias"], &empty["within"]), (&Value::Null, &Value::Null));
    assert!(done(folder, &["log", "score"]).starts_with("No pull here has both a forecast"));
    let shown = json(folder, &["log", "show", "1"])["forecast"].clone();
    let [low, middle, high] = ["p5_kn", "p50_kn", "p95_kn"].map(|key| shown[key].as_f64().unwrap());
    let first = shown["first"].as_str().unwrap();
    let place = if first == "frame opens" { "spine" } else { first };
    let pulled = [
        (1.02 * middle, "broke", Some(place)),
        (1.04 * middle, "broke", Some("nose root")),
        (0.9 * low, "broke", None),
        (1.1 * high, "strap broke", None),
        (0.5 * low, "stopped", None),
    ];
    for (i, (kn, outcome, place)) in pulled.into_iter().enumerate() {
        let (number, kn) = ((i + 1).to_string(), format!("{kn:.6}"));
        let words = ["log", "add", &number, "--peak", &kn, "--outcome", outcome];
        done(folder, &[&words[..], &place.map_or_else(Vec::new, |place| vec!["--where", place])].concat());
    }
    done(folder, &["log", "add", "6", "--peak", "20"]);
    // One that is told to be older than its forecast is left out, as `show` says of it that it was not blind.
    done(folder, &["log", "plan", "oval", "--sample", "old"]);
    done(folder, &["log", "add", "7", "--peak", "18", "--outcome", "broke", "--date", "2020-01-01"]);
    assert!(done(folder, &["log", "show", "7"]).contains("not blind"));
    // Without a forecast nothing is scored.
    done(folder, &["log", "add", "--sample", "other", "--peak", "20", "--outcome", "broke"]);
    let found = json(folder, &["log", "score"]);
    follows("log-score", &found);
    assert_eq!(found["counted"], Value::from(vec![1, 2, 3, 4, 5]));
    assert_eq!((&found["without_outcome"], &found["ended"]), (&vec![6].into(), &vec![5].into()));
    assert_eq!((&found["within"]["hits"], &found["within"]["of"]), (&2.into(), &3.into()));
    assert_eq!((&found["below"], &found["above"], &found["inputs"]), (&1.into(), &0.into(), &1.into()));
    assert_eq!((&found["ended_above"], &found["not_blind"]), (&vec![4].into(), &vec![7].into()));
    assert_eq!((&found["place"]["hits"], &found["place"]["of"]), (&1.into(), &2.into()));
    let mean = (1.02 * 1.04 * 0.9 * low / middle).cbrt();
    assert!((found["bias"]["mean"].as_f64().unwrap() - mean).abs() < 1e-6, "{found}");
    let [from, to] = [0, 1].map(|i| found["bias"]["interval"][i].as_f64().unwrap());
    let told = found["bias"]["mean"].as_f64().unwrap();
    assert!(from < told && told < to && (from * to / (told * told) - 1.0).abs() < 1e-9);
    let out = done(folder, &["log", "score"]);
    for sentence in found["sentences"].as_array().unwrap() {
        assert!(out.contains(sentence.as_str().unwrap()), "{sentence}");
    }
    assert!(out.contains("one and the same forecast") && out.contains("accredited laboratory"), "{out}");
    // The filter is that of the list.
    assert_eq!(json(folder, &["log", "score", "--sample", "ring 1"])["counted"], Value::from(vec![1]));
    assert_eq!(run(folder, &["log", "score", "--logbook", "none"]).code, 2);
}
