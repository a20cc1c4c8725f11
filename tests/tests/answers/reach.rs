//! `pullmap reach` by the real binary: every load is that of a forecast with its sets, and what is said of a marking that nothing holds.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::reaching::picture;
use explorer::source::builtin;
use pullmap_tests::binary::{json, run, run_with_threads};
use pullmap_tests::pictures::{misplaced_words, png_size};
use pullmap_tests::schemas::follows;
use pullmap_tests::trial::extent;
use serde_json::Value;
use solver::strength::limits;
use solver::system::SystemSettings;
use std::fs;
use std::path::Path;
use study::Engine;
use study::reach::{Verdict, reach};
use tempfile::tempdir;

/// What `forecast` says of a setting.
fn forecast(folder: &Path, model: &str, setting: &Value) -> Value {
    let sets = setting["sets"].as_array().unwrap().iter();
    let sets: Vec<&str> = sets.flat_map(|set| ["--set", set.as_str().unwrap()]).collect();
    json(folder, &[&["forecast", model], sets.as_slice()].concat())
}

#[test]
fn every_load_is_that_of_the_very_same_pull_solved_as_a_forecast_solves_it() {
    let engine = Engine::default();
    let models = builtin::MODELS.map(|model| model.0);
    for name in extent(&models[..1], &models[..]).iter().copied() {
        let model = pullmap_tests::model(name, &[]);
        let mesh = SystemSettings::default();
        let found = reach(&engine, &model, mesh, None, &study::Watch::quiet()).unwrap();
        let mut compared = 0;
        for gate in &found.gates {
            // Every third, from another one on for each gate.
            for tried in gate.settings().skip(compared % 3).step_by(3) {
                let holds = tried.holds.as_ref().unwrap();
                let case = study::Case { rig: tried.rig, ..model.case(mesh) };
                let system = engine.system(&case).unwrap();
                let expected = limits(&system, &case.strengths(), &case.rig).unwrap();
                let off = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b;
                assert!(off(holds.peak_kn, expected.peak_kn), "{name}: {:?} {}", holds, expected.peak_kn);
                assert!(off(holds.holds_kn, expected.holds_kn()), "{name}: {holds:?}");
                let same = (holds.fails_first, holds.ends, holds.tears_at);
                assert_eq!(
                    same,
                    (expected.fails_first, expected.ends, expected.tears_at),
                    "{name}: {:?}",
                    tried.rig
                );
                compared += 1;
            }
            assert_eq!(gate.count(Verdict::NotSolved), 0, "{name}");
        }
        assert!(compared > 40, "{name}: {compared}");
    }
}

#[test]
fn the_settings_that_decide_are_what_the_forecast_command_says_of_them() {
    let folder = tempdir().unwrap();
    let models = builtin::MODELS.map(|model| model.0);
    for name in extent(&models[3..4], &models[..]).iter().copied() {
        let found = json(folder.path(), &["reach", name]);
        for gate in found["gates"].as_array().unwrap() {
            let settings = gate["settings"].as_array().unwrap();
            let of = |verdict: &'static str| settings.iter().filter(move |s| s["verdict"] == verdict);
            for (key, verdict) in
                [("holds", "holds"), ("does_not_hold", "does_not_hold"), ("not_kept", "not_kept")]
            {
                assert_eq!(gate[key], of(verdict).count(), "{name}");
            }
            let load = gate["load_kn"].as_f64().unwrap();
            let kn = |setting: &Value| setting["holds_kn"].as_f64().unwrap();
            assert!(of("holds").all(|s| kn(s) >= load && s["kept"] == true));
            assert!(of("does_not_hold").all(|s| kn(s) < load && s["kept"] == true));
            let friction = found["friction"].as_f64().unwrap();
            let most = |s: &Value| {
                s["friction_needed"].as_array().unwrap().iter().filter_map(Value::as_f64).fold(0.0, f64::max)
            };
            // Coefficients are told to hundredths.
            assert!(of("not_kept").all(|s| most(s) > friction + 0.005));
            assert!(of("holds").chain(of("does_not_hold")).all(|s| most(s) <= friction + 0.005));
            let at = |key: &str| gate[key].as_u64().map(|i| &settings[usize::try_from(i).unwrap()]);
            if let Some(miss) = at("nearest_miss") {
                assert!(of("does_not_hold").all(|s| kn(s) <= kn(miss)));
                let told = forecast(folder.path(), name, miss);
                assert!(
                    (told["peak_kn"].as_f64().unwrap() / miss["peak_kn"].as_f64().unwrap() - 1.0).abs()
                        < 1e-9,
                    "{miss}"
                );
                assert_eq!(told["fails_first"], miss["fails_first"]);
            }
            if let Some(least) = at("least_to_spare") {
                assert!(of("holds").all(|s| kn(s) >= kn(least)));
            }
        }
    }
}

#[test]
fn a_load_above_everything_is_said_to_be_so_with_the_nearest_miss() {
    let folder = tempdir().unwrap();
    let found = json(folder.path(), &["reach", "oval", "--load", "60"]);
    for gate in found["gates"].as_array().unwrap() {
        assert_eq!((&gate["holds"], &gate["least_to_spare"]), (&0.into(), &Value::Null));
        assert_eq!((gate["load_kn"].as_f64(), &gate["load_is"]), (Some(60.0), &"asked".into()));
        assert!(gate["nearest_miss"].is_u64());
        assert!(gate["sentence"].as_str().unwrap().contains("above all that was tried"), "{gate}");
    }
    // Without friction a strap is kept only where it needs none.
    let slippery = json(folder.path(), &["reach", "pear", "--load", "5", "--set", "rig.friction=0"]);
    let settings = slippery["gates"][0]["settings"].as_array().unwrap();
    let needs = |s: &Value| {
        s["friction_needed"].as_array().unwrap().iter().filter_map(Value::as_f64).fold(0.0, f64::max)
    };
    assert!(settings.iter().all(|s| (needs(s) <= 0.005) == (s["kept"] == true)));
    assert!(settings.iter().any(|s| s["kept"] == true) && settings.iter().any(|s| s["kept"] == false));
}

#[test]
fn files_follow_the_schema_and_are_the_same_on_any_number_of_threads() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["reach", "offset-d", "--out", "one"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(ran.out.contains("accredited laboratory"));
    let again = run_with_threads(folder.path(), &["reach", "offset-d", "--out", "other"], 1);
    assert_eq!(again.code, 0);
    for name in ["reach.json", "reach.svg", "reach.png"] {
        let [one, other] = ["one", "other"].map(|out| fs::read(folder.path().join(out).join(name)).unwrap());
        assert!(one == other, "{name}");
    }
    assert_eq!(png_size(&fs::read(folder.path().join("one/reach.png")).unwrap()), [1600, 1200]);
    let mut found: Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("one/reach.json")).unwrap()).unwrap();
    // Each damage is tried: a few settings of a gate are like all.
    for gate in found["gates"].as_array_mut().unwrap() {
        gate["settings"].as_array_mut().unwrap().truncate(2);
    }
    follows("reach", &found);
}

#[test]
fn a_model_without_a_marking_asks_for_a_load() {
    let folder = tempdir().unwrap();
    let text = fs::read_to_string(pullmap_tests::project().join("models/oval.toml")).unwrap();
    let kept = text.lines().filter(|line| {
        !line.starts_with("[marking]")
            && !line.contains("_kn = 18")
            && !line.contains("open_kn")
            && !line.contains("across_kn")
    });
    fs::write(folder.path().join("bare.toml"), kept.collect::<Vec<_>>().join("\n")).unwrap();
    let ran = run(folder.path(), &["reach", "bare.toml"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("marking.closed_kn") && ran.err.contains("--load"), "{}", ran.err);
    assert_eq!(run(folder.path(), &["reach", "bare.toml", "--load", "12", "--json"]).code, 0);
    for wrong in ["0", "-3", "nan", "12 mm"] {
        assert_eq!(run(folder.path(), &["reach", "oval", "--load", wrong]).code, 2, "{wrong}");
    }
}

#[test]
fn the_words_of_the_picture_keep_clear_of_each_other_on_every_page() {
    for (name, load) in [("broadbar-alu", None), ("pear", Some(60.0)), ("offset-d", Some(12.25))] {
        let model = pullmap_tests::model(name, &[]);
        let engine = Engine::default();
        let found = reach(&engine, &model, SystemSettings::default(), load, &study::Watch::quiet()).unwrap();
        for size in [[1600, 1200], [1080, 1920], [1920, 1080], [1080, 1080]] {
            let drawing = picture(&found, &model, (name, "0123456789ab"), &[], size);
            assert_eq!(misplaced_words(&drawing), Vec::<String>::new(), "{name} at {size:?}");
        }
    }
}
