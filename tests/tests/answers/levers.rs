//! `pullmap levers` by the real binary: every bar is what two forecasts with its sets say, and a sweep through the same range goes the
//! same way.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::levering::picture;
use explorer::source::builtin;
use explorer::source::load_argument;
use pullmap_tests::binary::{json, run, run_with_threads};
use pullmap_tests::pictures::{misplaced_words, png_size};
use pullmap_tests::schemas::follows;
use pullmap_tests::trial::extent;
use rayon::prelude::*;
use serde_json::Value;
use solver::strength::limits;
use solver::system::SystemSettings;
use std::fs;
use study::Engine;
use study::levers::levers;
use tempfile::tempdir;

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

fn ways(found: &Value) -> Vec<(&Value, &Value)> {
    let levers = found["levers"].as_array().unwrap().iter();
    levers
        .flat_map(|lever| ["less", "more"].map(|way| (lever, &lever[way])))
        .filter(|(_, way)| !way.is_null())
        .collect()
}

/// What `--set` is given for a way.
fn sets(way: &Value) -> Vec<(String, String)> {
    let sets = way["sets"].as_array().unwrap().iter().map(|set| set.as_str().unwrap());
    sets.map(|set| set.split_once('=').map(|(k, v)| (k.to_owned(), v.to_owned())).unwrap()).collect()
}

#[test]
fn every_bar_is_what_forecasts_with_its_sets_say() {
    let folder = tempdir().unwrap();
    let models = builtin::MODELS.map(|model| model.0);
    for name in extent(&models[..1], &models[..]).iter().copied() {
        let found = json(folder.path(), &["levers", name]);
        let as_entered = json(folder.path(), &["forecast", name]);
        assert_eq!(number(&found["as_entered"], "peak_kn"), number(&as_entered, "peak_kn"), "{name}");
        assert_eq!(number(&found["as_entered"], "first_yield_kn"), number(&as_entered, "first_yield_kn"));
        let all = ways(&found);
        assert!(all.len() > 70, "{name}: {}", all.len());
        // The strongest by the command itself.
        for (lever, way) in all.iter().take(3).filter(|(_, way)| way["not_possible"].is_null()) {
            let sets: Vec<String> =
                sets(way).into_iter().flat_map(|(k, v)| ["--set".to_owned(), format!("{k}={v}")]).collect();
            let words: Vec<&str> =
                ["forecast", name].into_iter().chain(sets.iter().map(String::as_str)).collect();
            let told = json(folder.path(), &words);
            let effect = &way["effect"];
            assert!(
                (number(&told, "peak_kn") / number(effect, "peak_kn") - 1.0).abs() < 1e-9,
                "{name} {lever}"
            );
            assert!((number(&told, "first_yield_kn") / number(effect, "first_yield_kn") - 1.0).abs() < 1e-9);
            assert_eq!(told["fails_first"], effect["fails_first"], "{name} {lever}");
        }
        // Every fourth of all by the limits that a forecast solves.
        let wrong: Vec<String> = all
            .par_iter()
            .skip(3)
            .step_by(4)
            .filter(|(_, way)| way["not_possible"].is_null())
            .filter_map(|(lever, way)| {
                let model = load_argument(name, &sets(way)).unwrap();
                let case = model.case(SystemSettings::default());
                let system = Engine::default().system(&case).unwrap();
                let expected = limits(&system, &case.strengths(), &case.rig).unwrap();
                let effect = &way["effect"];
                let close = |told: Option<f64>, expected: Option<f64>| match (told, expected) {
                    (Some(told), Some(expected)) => (told / expected - 1.0).abs() < 1e-9,
                    (told, expected) => told == expected,
                };
                let same = close(effect["peak_kn"].as_f64(), Some(expected.peak_kn))
                    && close(effect["first_yield_kn"].as_f64(), expected.first_yield_kn)
                    && effect["fails_first"] == report::failure_modes::name(expected.fails_first);
                (!same)
                    .then(|| format!("{name}: {} {} {}", lever["key"], effect["peak_kn"], expected.peak_kn))
            })
            .collect();
        assert!(wrong.is_empty(), "{wrong:?}");
        // Strongest first, by the larger change of both ways.
        let strengths: Vec<f64> =
            found["levers"].as_array().unwrap().iter().map(|l| number(l, "strength_kn")).collect();
        assert!(strengths.windows(2).all(|w| w[0] >= w[1]), "{name}");
        let base = number(&found["as_entered"], "peak_kn");
        for (_, way) in all.iter().filter(|(_, way)| way["not_possible"].is_null()) {
            let change = number(&way["effect"], "peak_kn") - base;
            assert!((change - number(way, "forecast_change_kn")).abs() < 1e-12);
        }
    }
}

#[test]
fn a_sweep_through_the_same_range_goes_the_same_way_and_turns_too() {
    let folder = tempdir().unwrap();
    let found = json(folder.path(), &["levers", "pear"]);
    let mut turned = 0;
    for (lever, way) in ways(&found) {
        // Metals are set as tables of their own; no sweep goes through those.
        let key = lever["key"].as_str().unwrap();
        if way["turn"].is_null() || key.starts_with("material.") || turned >= extent(3, usize::MAX) {
            continue;
        }
        let (until, from) = (number(&way["turn"], "until"), number(&way["turn"], "from"));
        let vary = format!("{key}={},{until},{from},{}", number(lever, "value"), number(way, "value"));
        let out = format!("sweep-{key}-{until}");
        let ran =
            run(folder.path(), &["sweep", "pear", "--vary", &vary, "--out", &out, "--mesh-size", "0.9"]);
        if ran.code != 0 {
            // A turn at the very end repeats a value.
            assert!(ran.err.contains("twice"), "{}", ran.err);
            continue;
        }
        let table = fs::read_to_string(folder.path().join(&out).join("sweep.csv")).unwrap();
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        let headers = reader.headers().unwrap().clone();
        let column = |name: &str| {
            headers.iter().position(|h| h == name).unwrap_or_else(|| panic!("{name} in {headers:?}"))
        };
        let (peak, first) = (column("peak_kn"), column("fails_first"));
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let peak_of = |row: &csv::StringRecord| row[peak].parse::<f64>().unwrap();
        let base = number(&found["as_entered"], "peak_kn");
        // Of the mesh a limit has less than a hundredth.
        assert!((peak_of(&rows[0]) / base - 1.0).abs() < 0.01, "{key}: {} {base}", &rows[0][peak]);
        let end = number(&way["effect"], "peak_kn");
        assert!((peak_of(rows.last().unwrap()) / end - 1.0).abs() < 0.01, "{key}: {end}");
        let last = rows.last().unwrap()[first].to_owned();
        assert_eq!(
            (rows[0][first] == found["as_entered"]["fails_first"], last.as_str()),
            (true, way["effect"]["fails_first"].as_str().unwrap()),
            "{key}"
        );
        turned += 1;
    }
    assert!(turned >= 3, "{turned}");
}

#[test]
fn files_follow_the_schema_and_are_the_same_on_any_number_of_threads() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["levers", "oval", "--out", "one"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(ran.out.contains("accredited laboratory"));
    assert_eq!(run_with_threads(folder.path(), &["levers", "oval", "--out", "other"], 1).code, 0);
    for name in ["levers.json", "levers.svg", "levers.png"] {
        let [one, other] = ["one", "other"].map(|out| fs::read(folder.path().join(out).join(name)).unwrap());
        assert!(one == other, "{name}");
    }
    assert_eq!(png_size(&fs::read(folder.path().join("one/levers.png")).unwrap()), [1600, 1200]);
    let mut found: Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("one/levers.json")).unwrap()).unwrap();
    // Each damage is tried: a lever that turns and one that cannot be moved are like all.
    let levers = found["levers"].as_array_mut().unwrap();
    let of = |test: &dyn Fn(&Value) -> bool| levers.iter().find(|l| test(l)).cloned();
    let some = [
        of(&|l| !l["less"]["turn"].is_null() || !l["more"]["turn"].is_null()),
        of(&|l| !l["less"]["not_possible"].is_null()),
        of(&|l| !l["followers"].as_array().unwrap().is_empty()),
    ];
    found["levers"] = some.into_iter().flatten().collect();
    assert!(!found["levers"].as_array().unwrap().is_empty());
    follows("levers", &found);
}

#[test]
fn a_load_in_use_is_set_beside_what_was_computed_by_key_and_by_option_alike() {
    let folder = tempdir().unwrap();
    for command in ["map", "forecast"] {
        let by_option = run(folder.path(), &[command, "oval", "--json", "--working-load", "4"]);
        let by_key = run(folder.path(), &[command, "oval", "--json", "--set", "rig.working_load_kn=4"]);
        assert_eq!((by_option.code, &by_option.out), (0, &by_key.out), "{command}");
        let found: Value = serde_json::from_str(&by_option.out).unwrap();
        follows(if command == "map" { "findings" } else { "forecast" }, &found);
        let in_use = &found["in_use"];
        assert_eq!(number(in_use, "working_kn"), 4.0);
        for (key, at) in [("first_yield", "first_yield_kn"), ("failure", "holds_kn")] {
            let above = &in_use[key];
            let kn = number(above, "at_kn");
            assert!(
                (number(above, "by_kn") - (kn - 4.0)).abs() < 1e-12
                    && (number(above, "times") - kn / 4.0).abs() < 1e-12
            );
            if let Some(told) = found[at].as_f64() {
                assert_eq!(kn, told, "{command} {key}");
            }
        }
        assert_eq!(number(&in_use["marked"], "times"), 18.0 / 4.0);
        // A map draws no range.
        assert_eq!(in_use["low_end"].is_null(), command == "map");
        // Without one nothing is said, and nothing else moves.
        let mut without = json(folder.path(), &[command, "oval"]);
        assert!(without["in_use"].is_null());
        without["in_use"] = in_use.clone();
        assert_eq!(without, found, "{command}");
        let text = run(folder.path(), &[command, "oval", "--working-load", "20", "--out", "x"]).out;
        assert!(text.contains("below it") && text.contains("accredited laboratory"), "{text}");
        assert_eq!(run(folder.path(), &[command, "oval", "--working-load", "0"]).code, 2);
    }
    // The map's failure is the forecast's.
    let [map, forecast] =
        ["map", "forecast"].map(|c| json(folder.path(), &[c, "pear", "--working-load", "5"]));
    assert_eq!(map["in_use"]["failure"], forecast["in_use"]["failure"]);
    assert_eq!(map["in_use"]["first_yield"], forecast["in_use"]["first_yield"]);
}

#[test]
fn the_words_of_the_picture_keep_clear_of_each_other_on_every_page() {
    for name in extent(&["pear"][..], &["broadbar-alu", "pear", "oval"]).iter().copied() {
        let model = pullmap_tests::model(name, &[]);
        let mesh = SystemSettings { unknowns: 4000.0, ..SystemSettings::default() };
        let found = levers(&Engine::default(), &model, mesh, &study::Watch::quiet(), &|_, _| ()).unwrap();
        for size in [[1600, 1200], [1080, 1920], [1920, 1080], [1080, 1080]] {
            let drawing = picture(&found, &model, (name, "0123456789ab"), &[], size);
            assert_eq!(misplaced_words(&drawing), Vec::<String>::new(), "{name} at {size:?}");
        }
    }
}
