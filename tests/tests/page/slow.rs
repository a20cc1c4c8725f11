//! What may take a while: it tells how far it has come, ends when nobody waits, and never stands in the way of a hand.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::run;
use pullmap_tests::server::{Server, read_answer};
use serde_json::{Value, json};
use std::io::Write;
use std::thread;
use std::time::Duration;

const JSON: (&str, &str) = ("Content-Type", "application/json");
/// Solves of a hand that must be answered while one explanation is made.
const BESIDE: u64 = 40;
/// Cases that may still end after nobody waits: those that were being solved.
const IN_WORK: u64 = 8;

/// The bytes of a question for an explanation.
fn explain(server: &Server, session: &str) -> Vec<u8> {
    let body = json!({ "version": 2, "session": session, "ticket": 1, "broke_at_kn": 17.2, "where": "lip",
        "state": { "model": "broadbar-alu" } });
    server.request("POST", "/api/explain", &[JSON], body.to_string().as_bytes())
}

fn progress(server: &Server, session: &str) -> Value {
    let body = json!({ "version": 2, "session": session, "ticket": 1, "of": "/api/explain" });
    server.ask("POST", "/api/progress", &[JSON], body.to_string().as_bytes()).json()
}

/// Waits until an explanation has solved something.
fn under_way(server: &Server, session: &str) -> Value {
    loop {
        let told = progress(server, session);
        if told["done"].as_u64().unwrap() > 0 {
            return told;
        }
        thread::sleep(Duration::from_millis(5));
    }
}

#[test]
fn a_hand_is_answered_again_and_again_while_an_explanation_is_made() {
    let server = Server::start(&[]);
    // The system of the hand is there, as it is on a page that is shown.
    let solve = |ticket: u64| {
        let set = json!({ "rig.upper.offset_mm": 0.1 * (ticket % 50) as f64 });
        let body = json!({ "version": 2, "session": "thehand1", "ticket": ticket, "want": { "quick": true },
            "state": { "model": "broadbar-alu", "set": set } });
        assert_eq!(server.ask("POST", "/api/solve", &[JSON], body.to_string().as_bytes()).status, 200);
    };
    solve(1);
    let mut stream = server.connect();
    stream.write_all(&explain(&server, "besideahand")).unwrap();
    let (mut solved, mut seen) = (0, under_way(&server, "besideahand"));
    assert!(seen["says"].as_str().unwrap().starts_with("Solved "), "{seen}");
    loop {
        let told = progress(&server, "besideahand");
        if told["working"] == json!(false) {
            break;
        }
        // It goes on beside the hand, and never back.
        let [before, now] = [&seen, &told].map(|told| told["done"].as_u64().unwrap());
        assert!(now >= before && now <= told["of"].as_u64().unwrap(), "{seen}, then {told}");
        seen = told;
        solved += 1;
        solve(1 + solved);
    }
    assert_eq!(read_answer(&mut stream).unwrap().status, 200);
    assert!(solved >= BESIDE, "{solved} solves beside an explanation");
    server.finish();
}

#[test]
fn an_explanation_that_nobody_waits_for_ends_and_gives_its_place_back() {
    let server = Server::start(&[]);
    let mut stream = server.connect();
    stream.write_all(&explain(&server, "hangsup1")).unwrap();
    let left_at = under_way(&server, "hangsup1")["done"].as_u64().unwrap();
    drop(stream);
    loop {
        let told = progress(&server, "hangsup1");
        if told["working"] == json!(false) {
            break;
        }
        assert!(told["done"].as_u64().unwrap() <= left_at + IN_WORK, "left at {left_at}, and still: {told}");
        thread::sleep(Duration::from_millis(5));
    }
    let chart = json!({ "state": { "model": "oval" }, "key": "rig.both.offset_mm", "from": -2, "to": 2, "n": 3,
        "what": "share", "size": [400, 300] });
    assert_eq!(server.post("/api/chart", &chart).status, 200);
    server.finish();
}

#[test]
fn range_and_sensitivity_are_those_of_the_commands() {
    let server = Server::start(&[]);
    let folder = tempfile::tempdir().unwrap();
    let printed = |words: &[&str]| -> Value { serde_json::from_str(&run(folder.path(), words).out).unwrap() };
    let state = json!({ "state": { "model": "oval", "set": { "rig.load_kn": 6 } } });
    let range = server.post("/api/range", &state).json();
    assert_eq!(range["forecast"], printed(&["forecast", "oval", "--json", "--set", "rig.load_kn=6"]));
    let told = server.post("/api/sensitivity", &state).json();
    let wanted = printed(&["map", "oval", "--sensitivity", "--json", "--set", "rig.load_kn=6"]);
    assert_eq!(told["sensitivity"], wanted["sensitivity"]);
    let sentence = told["sentence"].as_str().unwrap();
    let said = run(folder.path(), &["map", "oval", "--sensitivity", "--set", "rig.load_kn=6"]).out;
    assert!(said.contains(sentence) && sentence.starts_with("The gate's "), "{sentence}");
    server.finish();
}
