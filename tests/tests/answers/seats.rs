//! `pullmap seats` by the real binary: regimes, rests, forecasts at the rests, and what is refused.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::seating::picture;
use pullmap_tests::binary::{json, run, run_with_threads};
use pullmap_tests::pictures::{misplaced_words, png_size};
use pullmap_tests::schemas::follows;
use pullmap_tests::{close, model};
use serde_json::Value;
use solver::system::SystemSettings;
use std::fs;
use std::path::Path;
use study::Engine;
use tempfile::tempdir;

fn seats(folder: &Path, words: &[&str]) -> Value {
    json(folder, &[&["seats"], words].concat())
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

fn place<'a>(found: &'a Value, name: &str) -> &'a Value {
    let all = found["resting_places"].as_array().unwrap().iter().chain(found["places"].as_array().unwrap());
    all.into_iter().find(|p| p["name"] == name).unwrap_or_else(|| panic!("no {name} in {found}"))
}

#[test]
fn the_broad_bar_leaves_its_straps_no_preferred_place() {
    let folder = tempdir().unwrap();
    let found = seats(folder.path(), &["broadbar-alu"]);
    assert_eq!(found["format"], "pullmap-seats-2");
    assert_eq!(found["regime"], "no_preferred_place");
    // Flat, parallel ends: the middle is in balance, and only the two diagonals are stable.
    let middle = place(&found, "as in the model");
    assert_eq!(middle["footing"], "unstable");
    close("distance in the middle", number(middle, "distance_mm"), 60.0, 0.01);
    let rests = found["resting_places"].as_array().unwrap();
    assert_eq!(rests.len(), 2);
    for rest in rests {
        assert!(number(rest, "upper_mm") * number(rest, "lower_mm") < 0.0, "{rest}");
        assert!(number(rest, "distance_mm") > 60.0);
        assert_eq!(rest["footing"], "stable");
    }
    // The forecast in the middle is that of the forecast command.
    let ran = run(folder.path(), &["forecast", "broadbar-alu", "--json"]);
    let forecast: Value = serde_json::from_str(&ran.out).unwrap();
    close("forecast", number(&middle["forecast"], "peak_kn"), number(&forecast, "peak_kn"), 1e-9);
    // Both together at one offset stay there by friction alone, over nearly all of the flats.
    let held = found["held_together_mm"][0].as_array().unwrap();
    assert!(held[0].as_f64().unwrap() < -12.0 && held[1].as_f64().unwrap() > 12.0, "{held:?}");
    assert!(found["caution"].as_str().unwrap().contains("accredited laboratory"));
}

#[test]
fn what_is_printed_follows_the_published_schema() {
    let folder = tempdir().unwrap();
    for words in [
        &["broadbar-alu"][..],
        &["offset-d", "--set", "rig.both.kind=bar"],
        &["oval", "--set", "rig.gate=open", "--set", "rig.both.strap_strength_kn=3"],
    ] {
        follows("seats", &seats(folder.path(), words));
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "--json writes no file");
}

#[test]
fn full_round_ends_hold_in_the_middle_and_sloping_ends_at_the_spine() {
    let folder = tempdir().unwrap();
    let oval = seats(folder.path(), &["oval"]);
    assert_eq!(oval["regime"], "held_in_the_middle");
    let rest = &oval["resting_places"][0];
    close("upper", number(rest, "upper_mm"), 0.0, 0.02);
    close("lower", number(rest, "lower_mm"), 0.0, 0.02);
    close("drawn from", number(rest, "share_of_starting_places"), 1.0, 1e-9);

    let offset_d = seats(folder.path(), &["offset-d"]);
    assert_eq!(offset_d["regime"], "held_at_the_spine");
    // Its ends slope by 10 and 8 degrees: the middle needs the tangent of the steeper one.
    let middle = place(&offset_d, "both in the middle");
    close("friction", middle["friction_needed"][0].as_f64().unwrap(), 10.0_f64.to_radians().tan(), 2e-3);
    close("friction", middle["friction_needed"][1].as_f64().unwrap(), 8.0_f64.to_radians().tan(), 2e-3);
    assert_eq!(middle["footing"], "slides");
    assert_eq!(middle["held"], true);
    // At the spine it holds more than in the middle.
    let at_spine = number(&offset_d["resting_places"][0]["forecast"], "peak_kn");
    assert!(at_spine > number(&middle["forecast"], "peak_kn"));
    let slippery = seats(folder.path(), &["offset-d", "--set", "rig.friction=0.1"]);
    assert_eq!(place(&slippery, "both in the middle")["held"], false);
}

#[test]
fn whether_narrow_straps_cut_strength_is_computed_for_each_shape() {
    let folder = tempdir().unwrap();
    let broad = &seats(folder.path(), &["broadbar-alu"])["widths"];
    // The narrow strap runs to a diagonal; the wide one has nowhere to go.
    assert!(number(broad, "at_their_resting_places") < 0.9, "{broad}");
    assert!(broad["sentence"].as_str().unwrap().starts_with("Narrow straps cut strength here"));
    close("wide", number(&broad["wide"], "width_mm"), 40.0, 1e-9);
    // From most places the narrow strap runs to the spine and holds more than the wide one, from some to a diagonal and
    // holds less: who rigs cannot choose, so the weaker rest is the answer.
    let found = seats(folder.path(), &["offset-d"]);
    let rests = found["resting_places"].as_array().unwrap();
    assert_eq!(rests.len(), 2, "{found}");
    let offset_d = &found["widths"];
    let weakest = number(&rests[1]["forecast"], "peak_kn");
    close("narrow", number(&offset_d["narrow"], "rest_kn"), weakest, 1e-3);
    assert!(number(offset_d, "at_their_resting_places") < 0.9, "{offset_d}");
    let told = offset_d["sentence"].as_str().unwrap();
    assert!(told.starts_with("Narrow straps can cut strength here"), "{told}");
    for words in
        ["(upper at the gate, lower at the spine, from 14 %", "kN at its likeliest, both at the spine)"]
    {
        assert!(told.contains(words), "{told}");
    }
    // Friction holds the middle, as the table says.
    assert_eq!(offset_d["narrow"]["middle_held"], place(&found, "both in the middle")["held"]);
    assert!(!told.contains("stay there"), "{told}");
}

#[test]
fn what_is_printed_says_what_the_json_says() {
    let folder = tempdir().unwrap();
    let printed = |words: &[&str]| {
        let ran = run(folder.path(), &[&["seats"], words, &["--out", "s"]].concat());
        assert_eq!(ran.code, 0, "{}", ran.err);
        ran.out
    };
    let pear = printed(&["pear"]);
    assert!(pear.contains("drawn to a diagonal: without friction they run to"), "{pear}");
    // JSON: slides, and held.
    let own = pear.lines().find(|l| l.contains("as in the model")).unwrap();
    assert!(own.contains("slides, held"), "{own}");

    // What is told as the end of the room is accepted when typed back.
    let broad = printed(&["broadbar-alu"]);
    let outermost = broad.lines().find(|l| l.contains("both as near to the gate as fits")).unwrap();
    let offsets: Vec<&str> = outermost.split_whitespace().filter(|w| w.starts_with('+')).collect();
    let (upper, lower) =
        (format!("rig.upper.offset_mm={}", offsets[0]), format!("rig.lower.offset_mm={}", offsets[1]));
    let ran = run(folder.path(), &["forecast", "broadbar-alu", "--set", &upper, "--set", &lower, "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);

    for words in [&["broadbar-alu", "--set", "rig.friction=0"][..], &["pear", "--set", "rig.friction=0"]] {
        let slippery = printed(words);
        assert!(!slippery.contains("friction of 0.00"), "{slippery}");
    }
}

#[test]
fn seats_draws_and_tells_the_same_on_any_number_of_threads() {
    let folder = tempdir().unwrap();
    let mut told = Vec::new();
    for (name, threads) in [("one", 1), ("two", 2)] {
        let ran = run_with_threads(folder.path(), &["seats", "pear", "--out", name], threads);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""));
        assert!(ran.out.contains("ends at") && ran.out.contains("accredited laboratory"), "{}", ran.out);
        let read = |file: &str| fs::read(folder.path().join(name).join(file)).unwrap();
        told.push(["seats.png", "seats.svg", "seats.json"].map(read));
    }
    assert!(told[0] == told[1], "one and two threads differ");
    assert_eq!(png_size(&told[0][0]), [1600, 1200]);
}

#[test]
fn bars_are_told_to_be_held_and_misfits_are_refused() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["seats", "broadbar-steel"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("a bench holds its bars at their offset"), "{}", ran.out);
    for (words, says) in [
        (&["seats", "broadbar-alu", "--set", "rig.both.width_mm=60"][..], "allowed: at most"),
        (&["seats", "nowhere"], "nowhere"),
        (&["seats", "broadbar-alu", "--set", "rig.friction=-1"], "rig.friction"),
    ] {
        let ran = run(folder.path(), words);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words:?}: {}", ran.err);
        assert!(ran.err.contains(says), "{words:?}: {}", ran.err);
    }
}

#[test]
fn the_words_of_the_picture_keep_clear_of_each_other_on_every_page() {
    for name in ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"] {
        let model = model(name, &[]);
        let engine = Engine::default();
        let system = engine.system(&model.case(SystemSettings::default())).unwrap();
        let found = study::seats::find(&engine, &model, SystemSettings::default()).unwrap();
        for size in [[1600, 1200], [1080, 1920], [1920, 1080], [1080, 1080]] {
            let drawing = picture(&found, &model, &system, (name, "0123456789ab"), &[], size);
            assert_eq!(misplaced_words(&drawing), Vec::<String>::new(), "{name} at {size:?}");
        }
    }
}
