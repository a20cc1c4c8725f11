//! `pullmap log add --trace` by the real binary: the peak that a trace gives, that which it contradicts, and those that give none.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{json, run};
use pullmap_tests::project;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

fn bench(file: &str) -> String {
    project().join("bench/traces").join(file).display().to_string()
}

/// Records a pull with a trace, which must be done, and gives the words.
fn added(folder: &Path, trace: &str, more: &[&str]) -> String {
    let ran = run(folder, &[&["log", "add", "--sample", "bar", "--trace", trace], more].concat());
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{trace}");
    ran.out
}

#[test]
fn the_peak_is_that_of_the_trace_where_none_is_told() {
    let folder = tempdir().unwrap();
    let mut number = 0;
    // Further layouts: newtons with decimal commas, kilograms-force, raw counts, pounds-force.
    for file in ["sb-01.csv", "sb-02.csv", "sb-03.csv", "sb-10.csv", "sb-11.csv"] {
        let trace = json(folder.path(), &["trace", &bench(file)]);
        let read = trace["files"][0]["cells"][0]["peak_kn"].as_f64();
        let read = read.unwrap_or_else(|| panic!("{trace}"));
        let out = added(folder.path(), &bench(file), &[]);
        number += 1;
        let entered = format!("{read:.2} kN");
        assert!(out.contains(&format!("The peak is that of the trace: {entered},")), "{out}");
        let shown = json(folder.path(), &["log", "show", &number.to_string()]);
        assert_eq!(shown["result"]["peak"]["entered"], entered.as_str());
        assert!((shown["result"]["peak"]["kn"].as_f64().unwrap() - read).abs() <= 0.005 + 1e-9);
        assert_eq!(shown["result"]["trace"]["name"], file);
    }
    // The result of a pull that was planned, too.
    let planned = run(folder.path(), &["log", "plan", "oval", "--sample", "bar"]);
    assert_eq!(planned.code, 0);
    let ran = run(folder.path(), &["log", "add", "6", "--trace", &bench("sb-01.csv")]);
    assert!(ran.code == 0 && ran.out.contains("The peak of 22.4 kN lies "), "{ran:?}");
}

#[test]
fn a_trace_without_a_peak_is_refused_and_nothing_recorded() {
    let folder = tempdir().unwrap();
    let file = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    file("none.csv", "not a trace\n");
    file("peaks.csv", "sample;peak kN\nbar 1;22.4\nbar 2;21.6\nbar 3;23.0\n");
    let rising: String =
        (0..60).map(|i| format!("{:.1},{:.3}\n", f64::from(i) / 10.0, 0.2 * f64::from(i))).collect();
    file("cut.csv", &format!("time_s,force_kN\n{rising}"));
    for (trace, says) in [
        ("none.csv".to_owned(), "no lines of numbers are found"),
        ("peaks.csv".to_owned(), "it is a list of 3 peaks"),
        ("cut.csv".to_owned(), "is a lower bound of the peak"),
        (bench("sb-08.csv"), "several load cells (cell A 22.8 kN, cell B 21.9 kN)"),
    ] {
        let ran = run(folder.path(), &["log", "add", "--sample", "bar", "--trace", &trace]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{trace}: {ran:?}");
        assert!(ran.err.contains(says) && ran.err.contains("hint: add --peak"), "{trace}: {}", ran.err);
        assert!(!folder.path().join("pullmap-logbook.sqlite").exists(), "{trace}");
        // With a peak beside it is kept.
        let other = folder.path().join("told.sqlite").display().to_string();
        added(folder.path(), &trace, &["--peak", "22.8", "--logbook", &other]);
    }
}

#[test]
fn a_told_peak_counts_and_another_one_of_the_trace_is_noted() {
    let folder = tempdir().unwrap();
    for (file, told, noted) in [
        ("sb-01.csv", "22.4", None),
        ("sb-01.csv", "22.0", None),
        (
            "sb-01.csv",
            "21.8",
            Some("Note: the trace says 22.4 kN, and 21.8 kN was told; what was told counts."),
        ),
        ("sb-01.csv", "5400 lbf", Some("Note: the trace says 22.4 kN, and 24.0 kN was told")),
        // Either of two cells will do.
        ("sb-08.csv", "22.8 kN", None),
        ("sb-08.csv", "21.9 kN", None),
        ("sb-08.csv", "20 kN", Some("Note: the trace says 21.9 kN")),
    ] {
        let out = added(folder.path(), &bench(file), &["--peak", told]);
        match noted {
            Some(note) => assert!(out.contains(note), "{file} {told}: {out}"),
            None => assert!(!out.contains("Note:"), "{file} {told}: {out}"),
        }
    }
    let shown: Value = json(folder.path(), &["log", "show", "3"]);
    assert_eq!(shown["result"]["peak"]["entered"], "21.8");
}

#[test]
fn an_outcome_that_the_trace_tells_otherwise_is_noted() {
    let folder = tempdir().unwrap();
    let slowly: String = (0..400)
        .map(|i| {
            let up = f64::from((i - 20).clamp(0, 180).min((380 - i).clamp(0, 180)));
            format!("{:.1},{:.3}\n", 0.1 * f64::from(i), 0.1 * up)
        })
        .collect();
    fs::write(folder.path().join("slow.csv"), format!("time_s,force_kN\n{slowly}")).unwrap();
    let fell = bench("sb-01.csv");
    for (trace, outcome, note) in [
        (fell.as_str(), "stopped", Some("falls suddenly from its highest load")),
        (fell.as_str(), "broke", None),
        ("slow.csv", "broke", Some("comes down slowly, without a sudden fall")),
        ("slow.csv", "stopped", None),
        ("slow.csv", "opened", None),
    ] {
        let out = added(folder.path(), trace, &["--outcome", outcome]);
        match note {
            Some(note) => assert!(
                out.contains(&format!("Note: the outcome is \"{outcome}\", and the trace {note}")),
                "{out}"
            ),
            None => assert!(!out.contains("Note: the outcome"), "{out}"),
        }
    }
}
