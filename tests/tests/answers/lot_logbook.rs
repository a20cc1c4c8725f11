//! `pullmap lot` with the pulls of a logbook, by the real binary: which count and as what, what is noted of them, and their groups.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{json, run};
use pullmap_tests::schemas::follows;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// Peak, outcome, what pulls at both ends.
const PULLS: [(&str, &str, &str); 9] = [
    ("22.4", "broke", "strap"),
    ("21.6", "broke", "strap"),
    ("23.0", "broke", "strap"),
    ("21.0", "opened", "strap"),
    ("19.4", "strap broke", "strap"),
    ("18.0", "stopped", "strap"),
    ("20.9", "broke", "bench bar"),
    ("20.1", "broke", "bench bar"),
    ("20.5", "broke", "bench bar"),
];

fn recorded(folder: &Path) {
    for (i, (peak, outcome, end)) in PULLS.into_iter().enumerate() {
        let sample = format!("SB-{:02}", i + 1);
        let words = ["log", "add", "--sample", &sample, "--marking", "20", "--upper", end, "--lower", end];
        let ran = run(folder, &[&words[..], &["--peak", peak, "--outcome", outcome]].concat());
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
    // One whose outcome is not told, one of another lot, one that is planned only.
    for words in [
        &["log", "add", "--sample", "SB-10", "--peak", "40", "--marking", "20", "--upper", "strap"][..],
        &["log", "add", "--sample", "ring", "--peak", "50", "--outcome", "broke", "--kind", "trapeze ring"],
        &["log", "plan", "oval", "--sample", "SB-11"],
    ] {
        assert_eq!(run(folder, words).code, 0);
    }
}

/// What does not hang on where peaks are from.
fn figures(found: &Value) -> Value {
    let keys = ["sentence", "title", "breaks", "ended", "normal", "weibull", "marking", "farthest"];
    keys.into_iter().map(|key| (key.to_owned(), found[key].clone())).collect::<serde_json::Map<_, _>>().into()
}

#[test]
fn pulls_of_the_logbook_count_as_those_that_are_typed() {
    let folder = tempdir().unwrap();
    recorded(folder.path());
    let found = json(folder.path(), &["lot", "--sample", "sb-*"]);
    follows("lot", &found);
    let values: Vec<String> = PULLS
        .iter()
        .map(
            |(kn, outcome, _)| {
                if matches!(*outcome, "broke" | "opened") { (*kn).to_owned() } else { format!("{kn}+") }
            },
        )
        .collect();
    let typed = json(folder.path(), &["lot", "--values", &values.join(","), "--marking", "20"]);
    assert_eq!(figures(&found), figures(&typed));
    assert_eq!(typed["logbook"], Value::Null);
    assert_eq!((&found["pulls"][4]["sample"], &found["pulls"][4]["number"]), (&"SB-05".into(), &5.into()));
    let logbook = &found["logbook"];
    assert_eq!(logbook["marking_kn"], 20.0);
    assert_eq!((&logbook["opened"], &logbook["without_outcome"]), (&vec![4].into(), &vec![10].into()));
    assert_eq!(logbook["planned"], Value::from(vec![12]));
    let ran = run(folder.path(), &["lot", "--sample", "sb-*"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    for note in found["logbook"]["notes"].as_array().unwrap() {
        assert!(ran.out.contains(&format!("Note: {}", note.as_str().unwrap())), "{note}");
    }
    for says in [
        "The marking of 20 kN is that of all these pulls",
        "Opened: pull 4.",
        "Left out: pull 10, whose outcome was not told",
        "Left out: pull 12, planned only.",
        "upper end: strap (6), bench bar (3); lower end: strap (6), bench bar (3)",
        "--by upper compares them",
    ] {
        assert!(ran.out.contains(says), "`{says}` is missing in:\n{}", ran.out);
    }
    let svg = fs::read_to_string(folder.path().join("pullmap-out/lot/lot.svg")).unwrap();
    assert!(svg.contains("no one lot"), "the picture flags unlike rigs too");
    // What is alike has no such note, and another filter other pulls.
    let straps = run(folder.path(), &["lot", "--sample", "SB-*", "--rig", "strap", "--until", "2100-01-01"]);
    assert!(
        straps.out.starts_with("Lot of 6 pulls: 4 broke, 2 ended") && !straps.out.contains("differ:"),
        "{} {}",
        straps.out,
        straps.err
    );
    let ring = json(folder.path(), &["lot", "--kind", "trapeze*"]);
    assert_eq!((ring["pulls"].as_array().unwrap().len(), &ring["marking"]), (1, &Value::Null));
    // A marking that is told counts.
    let told = json(folder.path(), &["lot", "--sample", "SB-*", "--marking", "22"]);
    assert_eq!((&told["marking"]["kn"], &told["logbook"]["marking_kn"]), (&22.0.into(), &Value::Null));
    let breaks = run(folder.path(), &["lot", "--outcome", "broke", "--marked", "20"]);
    assert!(breaks.out.contains("Only pulls that ended so were asked for: broke."), "{}", breaks.out);
}

#[test]
fn groups_are_those_of_the_pulls_and_compared_as_typed_ones_are() {
    let folder = tempdir().unwrap();
    recorded(folder.path());
    let found = json(folder.path(), &["lot", "--marked", "20", "--outcome", "broke", "--by", "upper"]);
    follows("lot", &found);
    let groups = &found["logbook"]["groups"];
    let told: Vec<(&str, &Value)> = groups["groups"]
        .as_array()
        .unwrap()
        .iter()
        .map(|group| (group["name"].as_str().unwrap(), &group["pulls"]))
        .collect();
    assert_eq!(told, [("strap", &vec![1, 2, 3].into()), ("bench bar", &vec![7, 8, 9].into())]);
    let typed = json(folder.path(), &["lot", "--values", "22.4,21.6,23.0", "--against", "20.9,20.1,20.5"]);
    assert_eq!(groups["between"]["welch"], typed["against"]["welch"]);
    let strap = &groups["groups"][0];
    assert_eq!(strap["mean_kn"], typed["normal"]["mean_kn"]);
    assert_eq!(strap["bound_kn"], typed["normal"]["bounds"][0]["kn"]);
    assert_eq!(strap["least_kn"], 21.6);
    let ran = run(folder.path(), &["lot", "--marked", "20", "--outcome", "broke", "--by", "upper"]);
    assert!(ran.out.contains(groups["between"]["sentence"].as_str().unwrap()), "{}", ran.out);
    let svg = fs::read_to_string(folder.path().join("pullmap-out/lot/lot.svg")).unwrap();
    assert!(svg.contains(">strap<") && svg.contains("bench\u{a0}bar") || svg.contains("bench bar"));
    // With pulls that ended without a break nothing is tested; more groups than two are not.
    let all = json(folder.path(), &["lot", "--marked", "20", "--by", "upper"]);
    assert_eq!(all["logbook"]["groups"]["between"]["not_compared"], "ended");
    let outcome = json(folder.path(), &["lot", "--marked", "20", "--by", "outcome"]);
    assert_eq!(outcome["logbook"]["groups"]["groups"].as_array().unwrap().len(), 4);
    assert_eq!(outcome["logbook"]["groups"]["between"], Value::Null);
}

#[test]
fn a_model_with_other_values_is_a_group_of_its_own() {
    let folder = tempdir().unwrap();
    for (peak, sets) in
        [("22.4", None), ("15.1", Some("rig.gate=open")), ("21.8", None), ("15.4", Some("rig.gate=open"))]
    {
        let mut words =
            vec!["log", "add", "--sample", "bar", "--model", "oval", "--peak", peak, "--outcome", "broke"];
        words.extend(sets.iter().flat_map(|set| ["--set", *set]));
        assert_eq!(run(folder.path(), &words).code, 0);
    }
    let found = json(folder.path(), &["lot", "--by", "model"]);
    let groups = found["logbook"]["groups"]["groups"].as_array().unwrap();
    let told: Vec<(&str, &Value)> =
        groups.iter().map(|g| (g["name"].as_str().unwrap(), &g["pulls"])).collect();
    assert_eq!(
        told,
        [("oval, nothing set", &vec![1, 3].into()), ("oval, rig.gate=open", &vec![2, 4].into())]
    );
    let ran = run(folder.path(), &["lot", "--by", "model"]);
    assert!(ran.out.contains("By model and what was set over it:"), "{}", ran.out);
}

#[test]
fn up_to_twelve_groups_have_a_row_of_the_picture_and_of_more_it_says_so() {
    let folder = tempdir().unwrap();
    for i in 0..15 {
        let (kind, peak) = (format!("make-{i:02}"), format!("{}", 20.0 + 0.1 * f64::from(i * 7 % 15)));
        let sample = format!("bar {i}");
        let words =
            ["log", "add", "--sample", &sample, "--kind", &kind, "--peak", &peak, "--outcome", "broke"];
        assert_eq!(run(folder.path(), &words).code, 0);
    }
    let picture = |more: &[&str]| {
        let words = [&["lot", "--by", "kind"], more].concat();
        assert_eq!(run(folder.path(), &words).code, 0);
        fs::read_to_string(folder.path().join("pullmap-out/lot/lot.svg")).unwrap()
    };
    let drawn = |svg: &str| (0..15).filter(|i| svg.contains(&format!("\"make-{i:02}\""))).count();
    let all = picture(&[]);
    assert_eq!(drawn(&all), 12);
    assert!(all.contains("3 more groups are not drawn"));
    let few = picture(&["--kind", "make-0*"]);
    assert_eq!(drawn(&few), 10);
    assert!(!few.contains("not drawn"));
}

#[test]
fn what_cannot_be_asked_is_refused_with_a_sentence() {
    let folder = tempdir().unwrap();
    let refused = |words: &[&str], says: &str| {
        let ran = run(folder.path(), words);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words:?}");
        assert!(ran.err.contains(says), "{words:?}: `{says}` is missing in:\n{}", ran.err);
    };
    refused(&["lot"], "there is no logbook to take pulls from");
    refused(&["lot", "--logbook", "none.sqlite"], "none.sqlite: there is no logbook");
    assert_eq!(run(folder.path(), &["log", "plan", "oval", "--sample", "a"]).code, 0);
    refused(&["lot"], "no pull counts. Left out: pull 1, planned only.");
    assert_eq!(run(folder.path(), &["log", "add", "1", "--peak", "20"]).code, 0);
    refused(&["lot"], "Left out: pull 1, whose outcome was not told");
    refused(&["lot", "--sample", "b*"], "no pull meets what was asked for");
    refused(&["lot", "--values", "24,25", "--sample", "b", "--by", "gate"], "--by, --sample would take them");
    refused(&["lot", "--values", "24,25", "--logbook", "x"], "leave out --values, or that");
    refused(&["lot", "--by", "against"], "possible values");
    refused(&["lot", "--by", "gate", "--against", "24,25"], "cannot be used with");
    refused(&["lot", "--values", "24,25", "--spread", "4%"], "there is no marking");
}
