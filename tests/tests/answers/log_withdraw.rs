//! `pullmap log withdraw`, and pulls that cannot be read, by the real binary.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{done, json, refused, run};
use pullmap_tests::schemas::follows;
use rusqlite::Connection;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// A logbook of so many bars that broke.
fn bars(folder: &Path, peaks: &[&str]) {
    for (place, peak) in peaks.iter().enumerate() {
        let sample = format!("bar {}", place + 1);
        done(folder, &["log", "add", "--sample", &sample, "--peak", peak, "--outcome", "broke"]);
    }
}

#[test]
fn a_withdrawn_pull_is_left_out_of_the_lot_and_stays_on_record() {
    let folder = tempdir().unwrap();
    let here = folder.path();
    bars(here, &["21.3", "22.1", "20.9", "12.4"]);
    let out = done(here, &["log", "withdraw", "4", "--why", "pulled by the wrong cell"]);
    assert!(out.contains("Pull 4 is withdrawn: it stays on record"), "{out}");
    let lot = json(here, &["lot"]);
    assert_eq!(lot["pulls"].as_array().unwrap().len(), 3, "{lot}");
    assert!(!lot.to_string().contains("12.4"));
    let listed = done(here, &["log", "list"]);
    assert!(!listed.contains("bar 4") && listed.contains("3 pulls."), "{listed}");
    assert!(listed.contains("1 pull that is withdrawn is not listed; --withdrawn lists it."), "{listed}");
    let all = done(here, &["log", "list", "--withdrawn"]);
    assert!(
        all.contains("x pull 4 was withdrawn ") && all.contains("4 pulls, 1 of them withdrawn."),
        "{all}"
    );
    let listed = json(here, &["log", "list", "--withdrawn"]);
    follows("log-list", &listed);
    assert_eq!(listed["pulls"][3]["withdrawn"], "pulled by the wrong cell");
    let shown = json(here, &["log", "show", "4"]);
    follows("log-show", &shown);
    assert_eq!(shown["withdrawn"]["why"], "pulled by the wrong cell");
    assert!(done(here, &["log", "show", "4"]).contains("it counts no more; why: pulled by the wrong cell"));
    refused(here, &["log", "withdraw", "4", "--why", "again"], &["pull 4 is withdrawn"]);
    refused(here, &["log", "amend", "4", "--peak", "22", "--why", "x"], &["pull 4 is withdrawn"]);
    refused(here, &["log", "withdraw", "3", "--why", " "], &["--why"]);
    // A table marks it, a package carries it.
    done(here, &["log", "export", "pulls.csv"]);
    let rows = fs::read_to_string(here.join("pulls.csv")).unwrap();
    assert!(rows.lines().nth(4).unwrap().contains("pulled by the wrong cell"), "{rows}");
    done(here, &["log", "export", "pulls.json"]);
    done(here, &["log", "import", "pulls.json", "--logbook", "other.sqlite"]);
    let there = json(here, &["log", "list", "--logbook", "other.sqlite"]);
    assert_eq!((there["pulls"].as_array().unwrap().len(), &there["withdrawn_not_listed"]), (3, &1.into()));
}

#[test]
fn a_pull_that_cannot_be_read_is_named_beside_the_others() {
    let folder = tempdir().unwrap();
    let here = folder.path();
    bars(here, &["21.3", "22.1"]);
    let broken = |number: i64| {
        format!(
            "INSERT INTO entries (recorded_at) VALUES ('2026-05-03T10:00:00Z');
             INSERT INTO pulls (seq, uid, sample) VALUES ({}, printf('%032d', {number}), 'bar 3');
             INSERT INTO entries (recorded_at) VALUES ('2026-05-03T10:00:00Z');
             INSERT INTO results (pull, seq, pulled_on, peak, peak_kn) VALUES ({number}, {}, '2026-05-03', '20', 25);",
            2 * number - 1,
            2 * number
        )
    };
    let file = here.join("pullmap-logbook.sqlite");
    Connection::open(&file).unwrap().execute_batch(&broken(3)).unwrap();
    let listed = done(here, &["log", "list"]);
    assert!(listed.contains("bar 1") && listed.contains("bar 2"), "{listed}");
    assert!(listed.contains("Left out: pull 3 cannot be read") && listed.contains("peak_kn"), "{listed}");
    assert_eq!(json(here, &["log", "list"])["unreadable"][0]["number"], 3);
    for file in ["pulls.csv", "pulls.json"] {
        let out = done(here, &["log", "export", file]);
        assert!(out.contains("2 pulls") && out.contains("Left out: pull 3"), "{out}");
    }
    // A lot that lacks one of its pulls would be another.
    refused(here, &["lot"], &["damaged: pull 3"]);
    done(here, &["log", "withdraw", "3", "--why", "cannot be read"]);
    assert_eq!(json(here, &["lot"])["pulls"].as_array().unwrap().len(), 2);
    // Nothing but what cannot be read: that is an error.
    let other = here.join("other");
    fs::create_dir(&other).unwrap();
    done(&other, &["log", "plan", "oval", "--sample", "bar"]);
    Connection::open(other.join("pullmap-logbook.sqlite"))
        .unwrap()
        .execute_batch(
            "INSERT INTO entries (recorded_at) VALUES ('2026-05-03T10:00:00Z');
             INSERT INTO results (pull, seq, pulled_on, peak, peak_kn) VALUES (1, 3, '2026-05-03', '20', 25);",
        )
        .unwrap();
    let ran = run(&other, &["log", "list"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("peak_kn") && ran.err.contains("log withdraw"), "{}", ran.err);
}
