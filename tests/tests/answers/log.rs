//! `pullmap log` by the real binary: what stands there, goes out and comes in again, and what it refuses.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use lab::logbook::peak::Peak;
use pullmap_tests::binary::{acknowledged, done, json, refused};
use pullmap_tests::schemas::follows;
use serde_json::Value;
use std::fs;
use study::model::quantity::{Dimension, parse};
use tempfile::tempdir;

#[test]
fn a_forecast_is_blind_and_is_that_of_the_forecast_command() {
    let folder = tempdir().unwrap();
    let set = ["--set", "rig.both.offset_mm=5"];
    let planned = [&["log", "plan", "oval", "--sample", "ring 1"], &set[..]].concat();
    assert_eq!(acknowledged(&done(folder.path(), &planned)), Some(1));
    let told = json(folder.path(), &[&["forecast", "oval"], &set[..]].concat());
    let shown = json(folder.path(), &["log", "show", "1"]);
    for (key, of_forecast) in [("p5_kn", "p5"), ("p50_kn", "p50"), ("p95_kn", "p95")] {
        assert_eq!(shown["forecast"][key], told["range_kn"][of_forecast]);
    }
    assert_eq!(shown["forecast"]["first"], told["fails_first"]);
    assert_eq!((&shown["result"], &shown["peak_beside_forecast"]), (&Value::Null, &Value::Null));
    assert_eq!(shown["plan"]["upper_offset_mm"], 5.0);
    assert_eq!(shown["plan"]["marked_closed_kn"], 18.0);
    let out = done(
        folder.path(),
        &["log", "add", "1", "--peak", "4000 lbf", "--outcome", "broke", "--where", "hinge pin, sheared"],
    );
    assert!(
        out.contains("Pull 1 is recorded: ring 1, 17.8 kN, broke.") && out.contains("accredited laboratory"),
        "{out}"
    );
    let shown = json(folder.path(), &["log", "show", "1"]);
    let entry = |key: &str| shown[key]["entry"].as_i64().unwrap();
    assert!(
        entry("recorded") < entry("forecast_recorded")
            && entry("forecast_recorded") < entry("result_recorded")
    );
    assert_eq!(shown["result"]["place"], "hinge pin");
    assert!(
        done(folder.path(), &["log", "show", "1"])
            .contains("blind: entry 2 of the logbook, the result is entry 3")
    );
    // From here on the forecast is what it was.
    refused(
        folder.path(),
        &["log", "add", "1", "--peak", "20"],
        &["pull 1 has its result already", "log amend 1"],
    );
    refused(
        folder.path(),
        &["log", "amend", "1", "--set", "rig.both.offset_mm=0", "--why", "x"],
        &["--set", "plan another pull"],
    );
    refused(folder.path(), &["log", "amend", "1", "--model", "pear", "--why", "x"], &["--model, --set"]);
    assert_eq!(json(folder.path(), &["log", "show", "1"]), shown);
    follows("log-show", &shown);
}

#[test]
fn amended_values_are_listed_and_the_first_ones_shown() {
    let folder = tempdir().unwrap();
    fs::write(folder.path().join("trace.csv"), "s,kN\n0,0\n1,21.3\n").unwrap();
    fs::write(folder.path().join("photo.jpg"), [0xff, 0xd8]).unwrap();
    let everything = [
        "log",
        "add",
        "--sample",
        "ring 1",
        "--kind",
        "trapeze ring",
        "--age",
        "4.5",
        "--hours",
        "120",
        "--earlier-pulls",
        "1",
        "--marking",
        "22",
        "--marking-open",
        "7",
        "--measured",
        "bar=11.8 mm",
        "--measured",
        "tip = 14",
        "--rig",
        "bench in the tent",
        "--upper",
        "strap",
        "--upper-size",
        "12",
        "--upper-offset",
        "-3",
        "--lower",
        "bench bar",
        "--lower-size",
        "10",
        "--lower-offset",
        "0",
        "--gate",
        "half",
        "--engaged",
        "2.4",
        "--model",
        "oval",
        "--set",
        "rig.load_kn=5",
        "--date",
        "2026-05-03 14:05",
        "--peak",
        "21.3",
        "--outcome",
        "strap broke",
        "--where",
        "upper strap",
        "--photo",
        "photo.jpg",
        "--remark",
        "-- loud",
        "--trace",
        "trace.csv",
    ];
    done(folder.path(), &everything);
    done(
        folder.path(),
        &[
            "log",
            "amend",
            "1",
            "--peak",
            "21.5",
            "--outcome",
            "broke",
            "--where",
            "Lip",
            "--why",
            "read again",
        ],
    );
    done(folder.path(), &["log", "amend", "1", "--clear", "age_years", "--why", "nobody knows"]);
    let shown = json(folder.path(), &["log", "show", "1"]);
    assert_eq!(
        (&shown["result"]["peak"]["kn"], &shown["first_result"]["peak"]["entered"]),
        (&21.5.into(), &"21.3".into())
    );
    assert_eq!((&shown["plan"]["age_years"], &shown["first_plan"]["age_years"]), (&Value::Null, &4.5.into()));
    assert_eq!(shown["result"]["pulled_on"], "2026-05-03T14:05:00Z");
    let told: Vec<&Value> = shown["amendments"].as_array().unwrap().iter().map(|a| &a["field"]).collect();
    assert_eq!(told, ["peak", "outcome", "place", "age_years"]);
    let listed = json(folder.path(), &["log", "list"]);
    assert_eq!((&listed["pulls"][0]["peak_kn"], &listed["pulls"][0]["broke"]), (&21.5.into(), &true.into()));
    assert_eq!(listed["pulls"][0]["amended"].as_array().unwrap().len(), 4);
    follows("log-list", &json(folder.path(), &["log", "list", "--gate", "half"]));
    let text = done(
        folder.path(),
        &["log", "list", "--outcome", "broke", "--since", "2026-05-03", "--until", "2026-05-03"],
    );
    assert!(text.contains("   1*  2026-05-03  ring 1") && text.contains("* amended"), "{text}");
    let text = done(folder.path(), &["log", "show", "1"]);
    for words in [
        "peak was 21.3 kN (entered as 21.3), is 21.5 kN (entered as 21.5); why: read again",
        "age was 4.5 years, is not told",
    ] {
        assert!(text.contains(words), "{words} is missing in:\n{text}");
    }
    done(folder.path(), &["log", "show", "1", "--save-trace", "again.csv", "--save-model", "oval.toml"]);
    let read = |name: &str| fs::read(folder.path().join(name)).unwrap();
    assert_eq!(read("again.csv"), read("trace.csv"));
    assert_eq!(read("oval.toml"), fs::read(pullmap_tests::project().join("models/oval.toml")).unwrap());
    refused(folder.path(), &["log", "show", "1", "--save-trace", "again.csv"], &["exists already"]);
}

#[test]
fn sets_belong_to_their_model() {
    let folder = tempdir().unwrap();
    done(folder.path(), &["log", "add", "--sample", "x", "--peak", "3"]);
    refused(
        folder.path(),
        &["log", "amend", "1", "--set", "rig.gate=open", "--why", "x"],
        &["--set: there is no model"],
    );
    done(
        folder.path(),
        &["log", "amend", "1", "--model", "oval", "--set", "rig.gate=open", "--why", "not told"],
    );
    refused(folder.path(), &["log", "amend", "1", "--set", "rig.gaet=open", "--why", "x"], &["rig.gaet"]);
    done(folder.path(), &["log", "amend", "1", "--set", "rig.gate=half", "--why", "read again"]);
    let shown = json(folder.path(), &["log", "show", "1"]);
    assert_eq!(
        (&shown["plan"]["model"]["name"], &shown["plan"]["sets"][0]),
        (&"oval".into(), &"rig.gate=half".into())
    );
    done(folder.path(), &["log", "amend", "1", "--model", "oval", "--why", "nothing was set"]);
    assert_eq!(json(folder.path(), &["log", "show", "1"])["plan"]["sets"], serde_json::json!([]));
    refused(
        folder.path(),
        &["log", "amend", "1", "--model", "oval", "--why", "x"],
        &["there is nothing to amend"],
    );
}

#[test]
fn out_and_in_again_is_the_same_to_the_byte_and_follows_the_schema() {
    let folder = tempdir().unwrap();
    fs::write(folder.path().join("trace.bin"), [0xff, 0x00, 0x0d, 0x0a]).unwrap();
    done(
        folder.path(),
        &[
            "log",
            "add",
            "--sample",
            "=ring",
            "--peak",
            "5400 lbf",
            "--trace",
            "trace.bin",
            "--model",
            "pear",
            "--measured",
            "a=1",
        ],
    );
    done(folder.path(), &["log", "plan", "oval", "--sample", "ring 2", "--set", "rig.gate=open"]);
    done(folder.path(), &["log", "add", "2", "--peak", "6.5", "--outcome", "opened", "--photo", "none.jpg"]);
    done(folder.path(), &["log", "amend", "2", "--peak", "6.6", "--why", "read again"]);
    done(folder.path(), &["log", "export", "a.json"]);
    let out = done(folder.path(), &["log", "import", "a.json", "--logbook", "other.sqlite"]);
    assert!(out.contains("a.json: new: pulls 1, 2."), "{out}");
    done(folder.path(), &["log", "export", "b.json", "--logbook", "other.sqlite"]);
    let [one, other] = ["a.json", "b.json"].map(|name| fs::read(folder.path().join(name)).unwrap());
    assert!(one == other);
    let shown = done(folder.path(), &["log", "show", "2", "--logbook", "other.sqlite"]);
    assert!(shown.contains("blind by the word of that package"), "{shown}");
    let out = done(folder.path(), &["log", "import", "a.json"]);
    assert!(out.contains("there already, skipped: pulls 1, 2."), "{out}");
    let schema = fs::read_to_string(pullmap_tests::project().join("docs/pulls.schema.json")).unwrap();
    let schema: Value = serde_json::from_str(&schema).unwrap();
    let package: Value = serde_json::from_slice(&one).unwrap();
    assert!(jsonschema::validator_for(&schema).unwrap().is_valid(&package));
    // Damage on the way is told, and nothing is taken in; no logbook is made for it either.
    let damaged = String::from_utf8(one).unwrap().replace("ring 2", "ring 3");
    fs::write(folder.path().join("c.json"), damaged).unwrap();
    refused(
        folder.path(),
        &["log", "import", "c.json", "--logbook", "third.sqlite"],
        &["pull 2 of the package: damaged", "nothing was taken in"],
    );
    assert!(!folder.path().join("third.sqlite").exists());
    refused(folder.path(), &["log", "import", "trace.bin"], &["no package of pulls"]);
    refused(folder.path(), &["log", "import", "none.json"], &["none.json: cannot be read"]);
    refused(folder.path(), &["log", "import", "."], &["it is not a file"]);
    // A spreadsheet fires no formula.
    done(folder.path(), &["log", "export", "a.csv"]);
    let table = fs::read_to_string(folder.path().join("a.csv")).unwrap();
    assert!(table.starts_with("number,uid,sample,") && table.contains(",'=ring,"), "{table}");
    refused(folder.path(), &["log", "export", "a.csv"], &["exists already", "--force"]);
    done(folder.path(), &["log", "export", "a.csv", "--force", "--sample", "ring 2"]);
    refused(folder.path(), &["log", "export", "a.txt"], &["a.txt", ".csv", ".json"]);
}

#[test]
fn a_field_that_is_named_twice_is_refused_and_the_logbook_stays_whole() {
    let folder = tempdir().unwrap();
    let add = ["log", "add", "--sample", "ring 1", "--peak", "20", "--outcome", "opened", "--where", "lip"];
    done(
        folder.path(),
        &[&add[..], &["--kind", "ring", "--remark", "x", "--measured", "a=1", "--age", "3"]].concat(),
    );
    let shown = json(folder.path(), &["log", "show", "1"]);
    for (option, field, value) in [
        ("--outcome", "outcome", "broke"),
        ("--kind", "kind", "other"),
        ("--where", "place", "spine"),
        ("--remark", "remark", "y"),
        ("--measured", "measured", "a=2"),
        ("--age", "age_years", "4"),
    ] {
        let amend = ["log", "amend", "1", "--clear", field, option, value, "--why", "x"];
        refused(folder.path(), &amend, &[option, "named twice", "nothing was recorded"]);
    }
    refused(
        folder.path(),
        &["log", "amend", "1", "--clear", "kind", "--clear", "kind", "--why", "x"],
        &["--kind: named twice"],
    );
    assert_eq!(json(folder.path(), &["log", "show", "1"]), shown);
    done(folder.path(), &["log", "export", "a.json"]);
}

#[test]
fn what_a_forecast_was_made_for_is_not_amended_away() {
    let folder = tempdir().unwrap();
    done(folder.path(), &["log", "plan", "oval", "--sample", "ring 1"]);
    let shown = json(folder.path(), &["log", "show", "1"]);
    for (option, value) in
        [("--gate", "open"), ("--upper", "hook"), ("--lower-size", "9"), ("--upper-offset", "3")]
    {
        refused(
            folder.path(),
            &["log", "amend", "1", option, value, "--why", "x"],
            &[option, "the forecast of pull 1 was made for it", "pullmap log add without a number"],
        );
    }
    assert_eq!(json(folder.path(), &["log", "show", "1"]), shown);
}

#[test]
fn the_logbook_is_never_exported_over_itself() {
    let folder = tempdir().unwrap();
    done(folder.path(), &["log", "add", "--sample", "ring 1", "--peak", "20", "--logbook", "book.json"]);
    let before = fs::read(folder.path().join("book.json")).unwrap();
    for file in ["book.json", "./book.json", "../book.json"] {
        let file = file.replace("..", folder.path().to_str().unwrap());
        refused(
            folder.path(),
            &["log", "export", &file, "--force", "--logbook", "book.json"],
            &["it is the logbook itself", "name another file"],
        );
    }
    assert!(fs::read(folder.path().join("book.json")).unwrap() == before);
    assert_eq!(
        json(folder.path(), &["log", "list", "--logbook", "book.json"])["pulls"][0]["sample"],
        "ring 1"
    );
}

#[test]
fn what_does_not_go_together_is_noted() {
    let folder = tempdir().unwrap();
    let hazard = "Breaking a connector throws metal: pull behind a shield, from a distance, and read the load remotely.";
    let out = done(folder.path(), &["log", "plan", "oval", "--sample", "ring 1"]);
    assert!(out.contains(hazard), "{out}");
    // A pull of a sample of which one is planned.
    let out = done(folder.path(), &["log", "add", "--sample", "Ring 1", "--peak", "20"]);
    assert!(out.contains("Note: pull 1 of Ring 1 is planned") && out.contains(hazard), "{out}");
    assert!(!done(folder.path(), &["log", "add", "--sample", "ring 2", "--peak", "20"]).contains("Note"));
    // A peak without an outcome is no strength.
    let out = done(folder.path(), &["log", "add", "1", "--peak", "3", "--date", "2020-05-03"]);
    assert!(out.contains("How the pull ended at 3.0 kN was not told: nothing follows"), "{out}");
    assert!(out.contains("Note: The day of the pull is 2020-05-03, before its forecast"), "{out}");
    let shown = json(folder.path(), &["log", "show", "1"]);
    assert_eq!(
        (&shown["peak_beside_forecast"], shown["notes"].as_array().unwrap().len()),
        (&"outcome_not_told".into(), 1)
    );
    follows("log-show", &shown);
    let text = done(folder.path(), &["log", "show", "1"]);
    assert!(text.contains("not blind by the day that is told") && !text.contains("(blind"), "{text}");
    done(folder.path(), &["log", "amend", "1", "--date", "2199-05-03", "--why", "read again"]);
    assert!(done(folder.path(), &["log", "show", "1"]).contains("(blind: entry 2"));
    // An outcome and the place of another.
    for (outcome, place, says) in [
        ("broke", "upper strap", "that place is a strap's"),
        ("opened", "strap", "that place is a strap's"),
        ("strap broke", "spine", "that place is the connector's"),
        ("strap broke", "lower strap", ""),
        ("broke", "spine", ""),
        ("stopped", "spine", ""),
    ] {
        let out = done(
            folder.path(),
            &["log", "add", "--sample", "x", "--peak", "20", "--outcome", outcome, "--where", place],
        );
        let number = acknowledged(&out).unwrap().to_string();
        let shown = done(folder.path(), &["log", "show", &number]);
        for text in [out, shown] {
            assert_eq!(text.contains("Note: The outcome is"), !says.is_empty(), "{outcome} {place}: {text}");
            assert!(text.contains(says), "{text}");
        }
    }
}

#[test]
fn all_mistakes_of_a_command_are_told_at_once() {
    let folder = tempdir().unwrap();
    let long = "x".repeat(5000);
    let words = [
        "log",
        "add",
        "--age",
        "-1",
        "--hours",
        "nan",
        "--gate",
        "ajar",
        "--upper-size",
        "inf",
        "--date",
        "2026-02-30",
        "--peak",
        "5,400 lbf",
        "--outcome",
        "exploded",
        "--where",
        "nozzle",
        "--remark",
        &long,
        "--measured",
        "bar",
    ];
    let ran = refused(folder.path(), &words, &[]);
    let told: Vec<&str> =
        ran.err.lines().filter_map(|line| line.split(':').next()).filter(|o| o.starts_with("--")).collect();
    assert_eq!(
        told,
        [
            "--sample",
            "--age",
            "--hours",
            "--measured",
            "--upper-size",
            "--gate",
            "--date",
            "--peak",
            "--outcome",
            "--where",
            "--remark"
        ]
    );
    assert!(ran.err.len() < 4000, "what was found is told in short");
    for (words, says) in [
        (&["log", "add", "--sample", "x"][..], "--peak: missing"),
        (&["log", "add", "--sample", "x", "--trace", "t"], "t: cannot be read"),
        (&["log", "add", "--sample", "x", "--peak", "3", "--trace", "none"], "none: cannot be read"),
        (
            &["log", "add", "--sample", "x", "--peak", "3", "--model", "ovel"],
            "did you mean the built-in model oval?",
        ),
        (
            &["log", "add", "--sample", "x", "--peak", "3", "--set", "rig.gate=open"],
            "--set: there is no model",
        ),
        (&["log", "add", "3", "--peak", "3"], "there is no logbook"),
        (&["log", "add", "0", "--peak", "3"], "0 is not in 1.."),
        (&["log", "amend", "1", "--why", "x"], "there is nothing to amend"),
        (&["log", "plan", "oval"], "--sample: missing"),
        (&["log", "list"], "there is no logbook"),
        (&["log", "list", "--since", "May"], "allowed: a day such as 2026-05-03"),
        (&["log", "list", "--marked", "nan"], "--marked"),
        (&["log", "export", "a.csv"], "there is no logbook"),
    ] {
        refused(folder.path(), words, &[says]);
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "nothing is made by what is refused");
}

#[test]
fn files_that_are_no_logbook_get_a_sentence() {
    let folder = tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let add = ["log", "add", "--sample", "x", "--peak", "3", "--logbook"];
    let list = ["log", "list", "--logbook"];
    fs::write(path("text.sqlite"), "a few words, and a few more ".repeat(200)).unwrap();
    done(folder.path(), &[&add[..], &["newer.sqlite"]].concat());
    let mut newer = fs::read(path("newer.sqlite")).unwrap();
    // The version stands in the head of an SQLite file, 4 bytes from the 60th on, and the page that it counts on is of the same commit.
    newer[60..64].copy_from_slice(&9_u32.to_be_bytes());
    fs::write(path("newer.sqlite"), &newer).unwrap();
    done(folder.path(), &[&add[..], &["cut.sqlite"]].concat());
    let cut = fs::read(path("cut.sqlite")).unwrap();
    fs::write(path("cut.sqlite"), &cut[..cut.len() / 2]).unwrap();
    for (file, says) in [
        (".", "it is not a file"),
        ("text.sqlite", "it is not a logbook, and is left as it is"),
        ("newer.sqlite", "a logbook of version 9; this pullmap knows versions up to 3"),
        ("cut.sqlite", "the logbook is damaged"),
        ("no/such.sqlite", "no"),
        ("/proc/x.sqlite", "/proc"),
        ("/dev/full", "it is not a file"),
    ] {
        for words in [&add[..], &list[..]] {
            refused(
                folder.path(),
                &[words, &[file]].concat(),
                if file.starts_with("/proc") { &[] } else { std::slice::from_ref(&says) },
            );
        }
    }
}

#[test]
fn a_peak_is_the_force_that_a_model_would_read() {
    for text in ["21.3 kN", "21300 N", "2130 daN", "2172 kgf", "5400 lbf", "21,3 kN", "0.05 kN", "999.9 kN"] {
        let (peak, force) = (Peak::read(text).unwrap().kn, parse(text, Dimension::Force).unwrap());
        assert!((peak - force).abs() <= 1e-15 * force, "{text}: {peak} {force}");
    }
    for text in ["5,400 lbf", "500 kg", "12 mm", "12 KN", "x", "lbf"] {
        assert!(Peak::read(text).is_err() && parse(text, Dimension::Force).is_err(), "{text}");
    }
}
