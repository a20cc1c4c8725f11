//! The logbook through the page's server: the same pulls, forecasts and lots as by the commands, and what is refused.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{json, run};
use pullmap_tests::project;
use pullmap_tests::server::Server;
use serde_json::{Value, json};
use std::fs;
use std::path::Path;
use tempfile::tempdir;

const FILE: &str = "pullmap-logbook.sqlite";

/// A server with the logbook of a folder.
fn server(folder: &Path, more: &[&str]) -> Server {
    let file = folder.join(FILE).display().to_string();
    Server::start(&[&["--logbook", &file], more].concat())
}

fn bench(file: &str) -> (String, Vec<u8>) {
    let path = project().join("bench/traces").join(file);
    (path.display().to_string(), fs::read(&path).unwrap())
}

/// Runs a command of the logbook, which must be done.
fn log(folder: &Path, words: &[&str]) {
    let ran = run(folder, &[&["log"], words].concat());
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{words:?}");
}

fn keys(answer: &Value) -> Vec<&str> {
    answer["mistakes"].as_array().unwrap().iter().map(|m| m["key"].as_str().unwrap()).collect()
}

#[test]
fn a_forecast_and_its_result_are_recorded_as_by_the_commands() {
    let [page, typed] = [tempdir().unwrap(), tempdir().unwrap()];
    let server = server(page.path(), &[]);
    // Nothing is made by looking.
    let told = server.post("/api/log/list", &json!({})).json();
    assert!(told["there"] == false && told["says"].as_str().unwrap().contains("no logbook yet"), "{told}");
    assert!(!page.path().join(FILE).exists());

    let state = json!({ "model": "oval", "set": { "rig.both.offset_mm": 2 } });
    let nobody =
        server.post("/api/log/plan", &json!({ "state": state, "fields": { "marked_closed_kn": "x" } }));
    let told = nobody.json();
    assert_eq!((nobody.status, keys(&told)), (422, vec!["sample", "marked_closed_kn"]), "{told}");
    assert!(!page.path().join(FILE).exists(), "what is refused makes no logbook");
    let fields = json!({ "sample": "ring 7", "kind": "oval", "marked_closed_kn": "20" });
    let told = server.post("/api/log/plan", &json!({ "state": state, "fields": fields })).json();
    assert_eq!(told["number"], 1, "{told}");
    let says = told["says"].to_string();
    assert!(
        says.contains("Recorded before the pull; once there is a result it cannot be changed."),
        "{says}"
    );
    let words = [
        "plan",
        "oval",
        "--set",
        "rig.both.offset_mm=2",
        "--sample",
        "ring 7",
        "--kind",
        "oval",
        "--marking",
        "20",
    ];
    log(typed.path(), &words);

    // Its result: all that is wrong at once, then with its trace.
    let (trace, bytes) = bench("sb-01.csv");
    let wrong =
        json!({ "number": 1, "fields": { "outcome": "burst", "place": "nowhere", "pulled_on": "May" } });
    let told = server.post_file("/api/log/add", &wrong, b"").json();
    assert_eq!(keys(&told), ["pulled_on", "peak", "outcome", "place"], "{told}");
    let (_, two) = bench("sb-08.csv");
    let no_peak = json!({ "number": 1, "trace": "two.csv", "fields": { "outcome": "burst" } });
    let told = server.post_file("/api/log/add", &no_peak, &two).json();
    assert!(keys(&told) == ["outcome", "peak"] && told.to_string().contains("several load cells"), "{told}");
    let right = json!({ "number": 1, "trace": "C:\\bench\\sb-01.csv", "fields": { "outcome": "broke", "place": "spine", "pulled_on": "2030-01-02" } });
    let told = server.post_file("/api/log/add", &right, &bytes).json();
    assert!(told["says"].to_string().contains("The peak is that of the trace: 22.39 kN"), "{told}");
    log(
        typed.path(),
        &["add", "1", "--trace", &trace, "--outcome", "broke", "--where", "spine", "--date", "2030-01-02"],
    );

    // Both logbooks hold the same.
    let [mut ours, mut theirs] = [&page, &typed].map(|folder| json(folder.path(), &["log", "show", "1"]));
    for shown in [&mut ours, &mut theirs] {
        shown["uid"] = Value::Null;
        for at in ["recorded", "result_recorded", "forecast_recorded"] {
            assert!(shown[at]["at"].is_string());
            shown[at]["at"] = Value::Null;
        }
    }
    assert_eq!(ours, theirs);
    let kept = page.path().join("kept.csv").display().to_string();
    log(page.path(), &["show", "1", "--save-trace", &kept]);
    assert_eq!(fs::read(kept).unwrap(), bytes, "byte for byte");

    // The number of another logbook is another pull.
    let other = json!({ "number": 1, "uid": "0123456789abcdef0123456789abcdef", "fields": { "peak": "20" } });
    let other = server.post_file("/api/log/add", &other, b"");
    assert!(other.status == 422 && other.json().to_string().contains("another one than that in sight"));
    // It is locked, and told.
    let again = server.post_file("/api/log/add", &json!({ "number": 1, "fields": { "peak": "20" } }), b"");
    assert!(
        again.status == 422 && again.json().to_string().contains("has its result already"),
        "{}",
        again.json()
    );
    let none =
        server.post_file("/api/log/add", &json!({ "number": 9, "fields": { "peak": "20" } }), b"").json();
    assert!(none.to_string().contains("there is no pull 9"), "{none}");
    let shown = server.post("/api/log/show", &json!({ "number": 1 })).json();
    assert_eq!(shown["pull"], json(page.path(), &["log", "show", "1"]));
    assert_eq!(shown["state"], json!({ "model": "oval", "set": { "rig.both.offset_mm": "2" } }));
    let printed = run(page.path(), &["log", "show", "1"]).out;
    for value in shown["told"]["values"].as_array().unwrap() {
        assert!(printed.contains(value["value"].as_str().unwrap()), "{value}");
    }
    server.finish();
}

#[test]
fn an_own_model_is_kept_with_its_file_and_opens_again() {
    let folder = tempdir().unwrap();
    let server = server(folder.path(), &[]);
    let opened = server.post(
        "/api/open",
        &json!({ "toml": fs::read_to_string(project().join("models/pear.toml")).unwrap() }),
    );
    let mut values = opened.json()["values"].clone();
    values["nose.notch_depth_mm"] = json!("4.5");
    let state = json!({ "model": values, "set": { "rig.load_kn": 7 } });
    let asked = json!({ "state": state, "file": "../mine.toml", "fields": { "sample": "P" } });
    assert_eq!(server.post("/api/log/plan", &asked).json()["number"], 1);
    let shown = server.post("/api/log/show", &json!({ "number": 1 })).json();
    assert_eq!(
        (&shown["pull"]["plan"]["model"]["name"], &shown["file"]),
        (&json!("mine.toml"), &json!("mine.toml"))
    );
    let forecast = |state: &Value| {
        let asked = json!({ "state": state });
        server.post("/api/range", &asked).json()["inputs"].clone()
    };
    assert_eq!(
        forecast(&shown["state"]),
        forecast(&state),
        "the same state, as far as anything follows from it"
    );
    assert_eq!(shown["pull"]["forecast"]["inputs"], forecast(&state));
    server.finish();
}

#[test]
fn pulls_are_listed_the_newest_first_and_lots_judged_as_by_the_commands() {
    let folder = tempdir().unwrap();
    for (i, (peak, outcome)) in
        [("22.1", "broke"), ("23", "broke"), ("21.4", "opened"), ("19.4", "strap broke"), ("22.7", "broke")]
            .iter()
            .enumerate()
    {
        let sample = format!("SB-{i}");
        log(
            folder.path(),
            &[
                "add",
                "--sample",
                &sample,
                "--peak",
                peak,
                "--outcome",
                outcome,
                "--marking",
                "20",
                "--gate",
                "closed",
            ],
        );
    }
    for i in 0..57 {
        log(folder.path(), &["add", "--sample", &format!("other {i}"), "--peak", "9"]);
    }
    let server = server(folder.path(), &[]);
    let numbers = |asked: Value| -> Vec<i64> {
        let told = server.post("/api/log/list", &asked).json();
        told["pulls"].as_array().unwrap().iter().map(|pull| pull["number"].as_i64().unwrap()).collect()
    };
    assert_eq!(numbers(json!({})), (13..=62).rev().collect::<Vec<_>>());
    assert_eq!(numbers(json!({ "from": 50 })), (1..=12).rev().collect::<Vec<_>>());
    assert_eq!(numbers(json!({ "at_least": 60 })), (3..=62).rev().collect::<Vec<_>>());
    assert_eq!(numbers(json!({ "filter": { "sample": "sb-*" } })), [5, 4, 3, 2, 1]);
    assert_eq!(numbers(json!({ "filter": { "outcome": "opened" } })), [3]);
    let told = server.post("/api/log/list", &json!({ "filter": { "since": "May", "marked": "x" } })).json();
    assert_eq!(keys(&told), ["since", "marked"], "{told}");

    let of = |asked: Value| server.post("/api/lot", &asked).json();
    let told = of(json!({ "filter": { "sample": "SB-*" } }));
    assert_eq!(told["lot"], json(folder.path(), &["lot", "--sample", "SB-*"]));
    let printed = run(folder.path(), &["lot", "--sample", "SB-*", "--out", "out"]);
    assert!(printed.out.contains(told["sentence"].as_str().unwrap()));
    for line in told["lines"].as_array().unwrap() {
        let names = [&line["row"]["name"], &line["head"]["name"], &line["says"]];
        let name = names.into_iter().find_map(Value::as_str).unwrap();
        assert!(printed.out.contains(name), "{line}");
    }
    assert_eq!(told["svg"].as_str().unwrap(), fs::read_to_string(folder.path().join("out/lot.svg")).unwrap());
    assert_eq!(told["lot"]["marking"]["kn"], 20.0, "that which all have");
    let grouped = of(json!({ "filter": { "sample": "SB-*" }, "by": "outcome" }));
    assert_eq!(grouped["lot"], json(folder.path(), &["lot", "--sample", "SB-*", "--by", "outcome"]));
    assert!(grouped["groups"].as_array().unwrap().len() >= 4, "{}", grouped["groups"]);
    let typed = of(json!({ "values": "24.1,23.7,22.9+", "marking": "22", "phone": true }));
    assert_eq!(typed["lot"], json(folder.path(), &["lot", "--values", "24.1,23.7,22.9+", "--marking", "22"]));
    let wrong = of(json!({ "values": "24,x", "marking": "much", "by": "moon" }));
    assert_eq!(keys(&wrong), ["marking", "values", "by"], "{wrong}");
    log(folder.path(), &["withdraw", "4", "--why", "the wrong bar"]);
    let told = server.post("/api/log/list", &json!({ "filter": { "sample": "SB-*" } })).json();
    assert_eq!(
        (&told["count"], &told["not_listed"]),
        (&json!(4), &json!("1 pull that is withdrawn is not listed"))
    );
    let told =
        server.post("/api/log/list", &json!({ "filter": { "sample": "SB-*" }, "withdrawn": true })).json();
    assert_eq!((&told["count"], &told["pulls"][1]["withdrawn"]), (&json!(5), &json!("the wrong bar")));
    assert_eq!(
        of(json!({ "filter": { "sample": "SB-*" } }))["lot"],
        json(folder.path(), &["lot", "--sample", "SB-*"])
    );
    let none = of(json!({ "filter": { "sample": "nobody" } }));
    assert!(none.to_string().contains("no pull meets what was asked for"), "{none}");
    server.finish();
}

#[test]
fn a_logbook_that_cannot_be_used_is_told_and_left_as_it_is() {
    let folder = tempdir().unwrap();
    let file = folder.path().join(FILE);
    let server = server(folder.path(), &[]);
    let plan = json!({ "state": { "model": "oval" }, "fields": { "sample": "A" } });
    let refused = |what: &str| {
        for (path, asked) in [
            ("/api/log/list", &json!({})),
            ("/api/log/show", &json!({ "number": 1 })),
            ("/api/log/plan", &plan),
        ] {
            let answer = server.post(path, asked);
            let told = answer.json();
            assert!(
                answer.status == 422 && told["mistakes"][0]["says"].as_str().unwrap().contains(what),
                "{path}: {told}"
            );
        }
    };
    fs::write(&file, "not a logbook\n").unwrap();
    refused("it is not a logbook");
    assert_eq!(fs::read(&file).unwrap(), b"not a logbook\n");
    fs::remove_file(&file).unwrap();
    fs::create_dir(&file).unwrap();
    refused("it is not a file");
    fs::remove_dir(&file).unwrap();
    // Gone in the middle: the page goes on, and begins another.
    log(folder.path(), &["add", "--sample", "A", "--peak", "20"]);
    assert_eq!(server.post("/api/log/list", &json!({})).json()["count"], 1);
    for ending in ["", "-wal", "-shm"] {
        let _gone = fs::remove_file(folder.path().join(format!("{FILE}{ending}")));
    }
    assert_eq!(server.post("/api/log/list", &json!({})).json()["there"], false);
    assert_eq!(server.post("/api/log/plan", &plan).json()["number"], 1);
    // Asked again by what it is to be known by, it is recorded once; of another logbook than the page shows it is not.
    let with = |more: Value| {
        let mut asked = plan.clone();
        asked.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        server.post("/api/log/plan", &asked)
    };
    let uid = json!({ "uid": "00112233445566778899aabbccddeeff" });
    assert_eq!((&with(uid.clone()).json()["number"], &with(uid).json()["number"]), (&json!(2), &json!(2)));
    let other = with(json!({ "logbook": "other.sqlite" }));
    assert!(other.status == 422 && other.json().to_string().contains("another logbook"), "{}", other.json());
    assert_eq!(server.post("/api/log/list", &json!({})).json()["count"], 2);
    server.finish();
}

#[test]
fn a_page_that_others_reach_records_nothing() {
    let folder = tempdir().unwrap();
    log(folder.path(), &["add", "--sample", "A", "--peak", "20"]);
    let before = fs::read(folder.path().join(FILE)).unwrap();
    let named = server(folder.path(), &["--address", "0.0.0.0"]);
    let unnamed = Server::start(&["--address", "0.0.0.0"]);
    let plan = json!({ "state": { "model": "oval" }, "fields": { "sample": "B" } });
    let of = |server: &Server| {
        let (list, plan) = (server.post("/api/log/list", &json!({})), server.post("/api/log/plan", &plan));
        let add = server.post_file("/api/log/add", &json!({ "number": 1, "fields": { "peak": "9" } }), b"");
        [list, plan, add].map(|answer| answer.status)
    };
    assert_eq!((of(&named), of(&unnamed)), ([200, 403, 403], [403; 3]));
    assert_eq!(unnamed.post("/api/lot", &json!({})).status, 403);
    assert_eq!(
        unnamed.post("/api/lot", &json!({ "values": "24,23,22" })).status,
        200,
        "typed ones are nobody's records"
    );
    assert_eq!(fs::read(folder.path().join(FILE)).unwrap(), before);
    for server in [named, unnamed] {
        let (code, errors) = server.interrupt();
        assert!(code == Some(0) && errors.contains("anybody who reaches this address"), "{errors}");
    }
}
