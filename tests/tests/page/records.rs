//! The records of the bench through the page's server, beside what the commands print of them.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{json, run};
use pullmap_tests::project;
use pullmap_tests::server::Server;
use serde_json::{Value, json};
use std::fs;
use tempfile::tempdir;

const BYTES: (&str, &str) = ("Content-Type", "application/octet-stream");

fn bench(file: &str) -> (String, Vec<u8>) {
    let path = project().join("bench/traces").join(file);
    (path.display().to_string(), fs::read(&path).unwrap())
}

#[test]
fn a_trace_is_told_as_the_command_tells_it() {
    let folder = tempdir().unwrap();
    let server = Server::start(&[]);
    for file in ["sb-01.csv", "sb-02.csv", "sb-06.csv", "sb-08.csv"] {
        let (path, bytes) = bench(file);
        let mut printed = json(folder.path(), &["trace", &path]);
        printed["files"][0]["file"] = json!(file);
        let told = server.post_file("/api/trace", &json!({ "name": file }), &bytes).json();
        assert_eq!(told["trace"], printed, "{file}");
        let words = run(folder.path(), &["trace", &path, "--out", "out"]);
        for row in told["rows"][0].as_array().unwrap() {
            assert!(words.out.contains(row["what"].as_str().unwrap()), "{row}");
        }
        for phone in [false, true] {
            let told =
                server.post_file("/api/trace", &json!({ "name": file, "phone": phone }), &bytes).json();
            let drawn = fs::read_to_string(
                folder.path().join(["out/trace.svg", "out/trace-phone.svg"][usize::from(phone)]),
            );
            assert_eq!(told["svg"].as_str().unwrap(), drawn.unwrap(), "{file}");
        }
    }
    // What a result would be given of it.
    let peak = |file| server.post_file("/api/trace", &json!({ "name": file }), &bench(file).1).json();
    assert_eq!(peak("sb-01.csv")["peak"], "22.39 kN");
    let two = peak("sb-08.csv");
    assert!(
        two["peak"].is_null() && two["no_peak"].as_str().unwrap().contains("several load cells"),
        "{two}"
    );
    server.finish();
}

#[test]
fn what_a_trace_leaves_open_is_asked_by_its_field_and_mistakes_by_their_line() {
    let server = Server::start(&[]);
    let told = |text: &str, asked: Value| {
        let answer =
            server.post_file("/api/trace", &json!({ "name": "run.csv", "asked": asked }), text.as_bytes());
        let json = answer.json();
        (answer.status, json["mistakes"].as_array().cloned().unwrap_or_default(), json)
    };
    let curve: String = (0..60).map(|i| format!("{:.1};{}\n", f64::from(i) / 10.0, 40 * i)).collect();
    let bare = format!("time s;load\n{curve}0;0\n");
    let bare = bare.replace("\n0;0\n", "\n6.0;0\n6.1;0\n");
    let (status, mistakes, json) = told(&bare, json!({}));
    assert_eq!((status, &mistakes[0]["key"]), (422, &json!("unit")), "{json}");
    assert!(mistakes[0]["says"].as_str().unwrap().contains("the field Unit"), "{json}");
    let (status, _, read) = told(&bare, json!({ "unit": "lbf" }));
    assert_eq!(status, 200, "{read}");
    let kn = read["trace"]["files"][0]["cells"][0]["peak_kn"].as_f64().unwrap();
    assert!((kn - 40.0 * 59.0 * 0.004_448_221_615_260_5).abs() < 1e-9, "{kn}");
    // All that is wrong with the fields at once.
    let (status, mistakes, json) =
        told(&bare, json!({ "unit": "stone", "rate": "0", "decimal": "dot", "part": "x" }));
    let keys: Vec<&str> = mistakes.iter().map(|m| m["key"].as_str().unwrap()).collect();
    assert_eq!((status, keys), (422, vec!["unit", "rate", "decimal", "part"]), "{json}");
    let (status, mistakes, json) = told(&bare.replace("2.0;800", "2.0;eight"), json!({ "unit": "N" }));
    assert_eq!((status, &mistakes[0]["place"]), (422, &json!("line 22")), "{json}");
    for nothing in ["", "neither one nor the other\n", "PK\u{3}\u{4}\0\0\0\0"] {
        let (status, mistakes, json) = told(nothing, json!({}));
        let says = mistakes[0]["says"].as_str().unwrap();
        assert!(status == 422 && says.starts_with("run.csv is neither a model file nor a trace"), "{json}");
    }
    server.finish();
}

#[test]
fn a_request_with_a_file_is_held_to_its_form() {
    let server = Server::start(&[]);
    let (_, bytes) = bench("sb-01.csv");
    for body in [&b""[..], b"\x09\0\0\0{}", b"\xff\xff\xff\xff"] {
        assert_eq!(server.ask("POST", "/api/trace", &[BYTES], body).status, 400);
    }
    let json = ("Content-Type", "application/json");
    assert_eq!(server.ask("POST", "/api/trace", &[json], b"{}").status, 415);
    assert_eq!(server.ask("POST", "/api/solve", &[BYTES], b"{}").status, 415);
    let origin = ("Origin", "http://evil.example");
    assert_eq!(server.ask("POST", "/api/trace", &[BYTES, origin], &bytes).status, 403);
    // Larger than the command takes: refused by its length alone, and when it comes without one.
    let head = server.request("POST", "/api/trace", &[BYTES, ("Content-Length", "700000000")], b"");
    assert_eq!(server.send(&head).status, 413);
    server.finish();
}
