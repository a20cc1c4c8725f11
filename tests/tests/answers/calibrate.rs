//! `pullmap log calibrate` and `forecast --calibration` by the real binary: pulls that were made with constants of their own are told by
//! them, and forecast better afterwards.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{done, json, refused, run, run_with_threads};
use pullmap_tests::schemas::{follows, follows_with};
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// Metal that is so many times as strong as that of the oval.
fn stronger(by: f64) -> Vec<String> {
    let metal = |name: &str| {
        format!(
            "material.{name}={{ name = 'heat 7', youngs_modulus_mpa = 71700, poisson_ratio = 0.33, yield_mpa = {}, ultimate_mpa = {}, \
             shear_ultimate_mpa = {}, density_g_cm3 = 2.81 }}",
            503.0 * by,
            572.0 * by,
            331.0 * by
        )
    };
    ["frame", "gate"].map(metal).to_vec()
}

fn number(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} in {value}"))
}

/// Plans and records pulls of a model at these parts of a load.
fn pulls(folder: &Path, words: &[&str], peaks_kn: &[f64], place: &str) {
    for peak in peaks_kn {
        let out = done(folder, &[&["log", "plan"], words, &["--sample", "ring"]].concat());
        let number = out.strip_prefix("Pull ").unwrap().split(' ').next().unwrap();
        let peak = format!("{peak:.4}");
        let told = ["log", "add", number, "--peak", &peak, "--outcome", "broke", "--where", place];
        done(folder, &told);
    }
}

#[test]
fn pulls_of_a_stronger_metal_are_told_by_it_and_move_other_forecasts() {
    let folder = tempdir().unwrap();
    let folder = folder.path();
    // What a metal that is 8 % stronger than the one that is entered would give, gate closed and open.
    let made = stronger(1.08);
    let sets: Vec<&str> = made.iter().flat_map(|set| ["--set", set.as_str()]).collect();
    let peak =
        |words: &[&str]| number(&json(folder, &[&["forecast", "broadbar-alu"], words].concat()), "/peak_kn");
    let open = ["--set", "rig.gate=open"];
    let (closed_kn, open_kn) = (peak(&sets), peak(&[&sets[..], &open].concat()));
    let scattered = |kn: f64| [0.97, 0.99, 1.0, 1.01, 1.03].map(|by| by * kn);
    pulls(folder, &["broadbar-alu"], &scattered(closed_kn), "lower bar");
    pulls(folder, &["broadbar-alu", "--set", "rig.gate=open"], &scattered(open_kn), "spine");
    let told = json(folder, &["log", "calibrate", "heat 7", "--dry-run"]);
    follows("calibration", &told);
    assert_eq!((number(&told, "/setups"), told["pulls"].as_array().unwrap().len()), (2.0, 10));
    // Strength and flow stress go together for a frame that opens: their product is told.
    let mean = |of: &str| number(&told, &format!("/mean/{of}"));
    let flow = (503.0 + mean("flow") * (572.0 - 503.0)) * mean("strength");
    let truth = 1.08 * 0.5 * (503.0 + 572.0);
    assert!((flow / truth - 1.0).abs() < 0.025, "{flow} {truth}");
    let tied = told["tied"].as_array().unwrap();
    assert!(tied.iter().any(|one| one["pair"] == serde_json::json!(["strength", "flow"])), "{tied:?}");
    // Nothing was kept.
    assert!(done(folder, &["log", "calibrations"]).starts_with("No calibration is kept here"));
    let kept = done(folder, &["log", "calibrate", "heat 7", "--out", "o"]);
    for sentence in told["sentences"].as_array().unwrap() {
        assert!(kept.contains(sentence.as_str().unwrap()), "{sentence}\n{kept}");
    }
    assert!(kept.contains("--calibration 'heat 7'") && kept.contains("accredited laboratory"), "{kept}");
    for name in ["calibration.png", "calibration.svg", "calibration-phone.png", "calibration.json"] {
        assert!(folder.join("o").join(name).is_file(), "{name}");
    }
    let written: Value =
        serde_json::from_str(&fs::read_to_string(folder.join("o/calibration.json")).unwrap()).unwrap();
    assert_eq!(written, told);
    let list = json(folder, &["log", "calibrations"]);
    follows("log-calibrations", &list);
    assert_eq!(
        (&list["calibrations"][0]["name"], &list["calibrations"][0]["mean"]),
        (&Value::from("heat 7"), &told["mean"])
    );
    // The forecast of another bar of that metal is nearer to what it would hold, and narrower; that of a pear is higher, too.
    for words in [vec!["broadbar-alu"], vec!["broadbar-alu", "--set", "rig.gate=open"], vec!["pear"]] {
        let of = |more: &[&str]| json(folder, &[&["forecast"], &words[..], more].concat());
        let (before, after) = (of(&[]), of(&["--calibration", "heat 7"]));
        follows_with("forecast", &after, &["calibration"]);
        assert!(before.get("calibration").is_none());
        assert_eq!(after["calibration"]["pulls"].as_array().unwrap().len(), 10);
        for used in after["calibration"]["constants"].as_array().unwrap() {
            let constant = used["constant"].as_str().unwrap();
            assert_eq!(used["mean"], told["mean"][constant], "{constant}");
            let of = told["constants"]
                .as_array()
                .unwrap()
                .iter()
                .find(|one| one["constant"] == used["constant"])
                .unwrap();
            assert_eq!((&used["range"][0], &used["range"][1]), (&of["after"][0], &of["after"][2]));
        }
        let made = if words == ["pear"] { Vec::new() } else { sets.clone() };
        if !made.is_empty() {
            let truth = number(&of(&made), "/peak_kn");
            let off = |told: &Value| (number(told, "/range_kn/p50") / truth).ln().abs();
            assert!(off(&after) < 0.5 * off(&before), "{words:?}: {} {}", off(&before), off(&after));
        }
        let wide = |told: &Value| (number(told, "/range_kn/p95") / number(told, "/range_kn/p5")).ln();
        // Of another connector the constants that were not pulled stay open, and a forecast without calibration takes them as sure.
        assert!(
            words == ["pear"] || wide(&after) < wide(&before),
            "{words:?}: {} {}",
            wide(&before),
            wide(&after)
        );
        assert!(number(&after, "/range_kn/p50") > number(&before, "/range_kn/p50"), "{words:?}");
        // First yield goes with the strength alone, whatever the stress at which sections yield through.
        let by = number(&after, "/first_yield_kn") / number(&before, "/first_yield_kn");
        assert!((by / mean("strength") - 1.0).abs() < 0.02, "{words:?}: {by}");
    }
    assert_eq!(run(folder, &["forecast", "oval", "--calibration", "heat 7", "--pulled"]).code, 2);
    // A pull is planned with it, and says so; its inputs are others than without.
    let out = done(folder, &["log", "plan", "broadbar-alu", "--sample", "next", "--calibration", "heat 7"]);
    assert!(out.contains("heat 7"), "{out}");
    let shown = json(folder, &["log", "show", "11"]);
    assert_eq!(shown["forecast"]["calibration"], "heat 7");
    // It may be absent, as it is of a forecast without one.
    let mut without = shown.clone();
    without["forecast"].as_object_mut().unwrap().remove("calibration");
    follows("log-show", &without);
    assert_ne!(shown["forecast"]["inputs"], json(folder, &["log", "show", "1"])["forecast"]["inputs"]);
    let same = json(folder, &["forecast", "broadbar-alu", "--calibration", "heat 7"]);
    assert_eq!(shown["forecast"]["p5_kn"], same["range_kn"]["p5"]);
    // What was corrected or withdrawn since is told.
    assert_eq!(same["calibration"]["changed_since"], serde_json::json!([]));
    done(folder, &["log", "withdraw", "2", "--why", "another cell"]);
    done(folder, &["log", "amend", "4", "--remark", "read again", "--why", "forgotten"]);
    let since = done(folder, &["forecast", "broadbar-alu", "--calibration", "heat 7"]);
    assert!(since.contains("Corrected or withdrawn since: pulls 2, 4; calibrate anew."), "{since}");
    // A package carries the name along.
    done(folder, &["log", "export", "pulls.json"]);
    done(folder, &["log", "import", "pulls.json", "--logbook", "other.sqlite"]);
    let there = json(folder, &["log", "show", "11", "--logbook", "other.sqlite"]);
    assert_eq!(there["forecast"]["calibration"], "heat 7");
}

#[test]
fn the_same_pulls_give_the_same_calibration_whatever_the_number_of_threads() {
    let folder = tempdir().unwrap();
    let folder = folder.path();
    pulls(folder, &["oval"], &[18.0, 19.0, 20.0], "spine");
    let words = ["log", "calibrate", "x", "--dry-run", "--json"];
    let [one, two] = [1, 2].map(|threads| run_with_threads(folder, &words, threads));
    assert_eq!((one.code, &one.out), (0, &two.out));
    let kept = |name: &str, threads| {
        assert_eq!(run_with_threads(folder, &["log", "calibrate", name], threads).code, 0);
        let ran = run_with_threads(folder, &["forecast", "oval", "--calibration", name, "--json"], threads);
        ran.out.replace(name, "NAME")
    };
    assert_eq!(kept("on one thread", 1), kept("on two threads", 2));
}

#[test]
fn what_tells_nothing_is_left_out_with_its_reason() {
    let folder = tempdir().unwrap();
    let folder = folder.path();
    refused(folder, &["log", "calibrate", "x"], &["there is no logbook"]);
    done(folder, &["log", "add", "--sample", "bare", "--peak", "20", "--outcome", "broke"]);
    refused(
        folder,
        &["log", "calibrate", "x"],
        &["is none that counts", "pull 1 left out: no model stands for it"],
    );
    done(folder, &["log", "add", "--sample", "b", "--model", "oval", "--peak", "20"]);
    done(folder, &["log", "plan", "oval", "--sample", "c"]);
    let upper = [
        "log",
        "add",
        "--sample",
        "d",
        "--model",
        "oval",
        "--upper-size",
        "30",
        "--peak",
        "20",
        "--outcome",
        "broke",
    ];
    done(folder, &upper);
    done(folder, &["log", "add", "--sample", "e", "--model", "oval", "--peak", "12", "--outcome", "stopped"]);
    refused(
        folder,
        &["log", "calibrate", "x"],
        &["of 5 pulls none that broke or opened has a model in its own rig"],
    );
    done(folder, &["log", "add", "--sample", "f", "--model", "oval", "--peak", "19", "--outcome", "broke"]);
    let told = json(folder, &["log", "calibrate", "x"]);
    let left: Vec<&str> =
        told["left_out"].as_array().unwrap().iter().map(|one| one.as_str().unwrap()).collect();
    for (number, why) in [(1, "no model"), (2, "how it ended"), (3, "not pulled yet"), (4, "size, upper end")]
    {
        assert!(
            left.iter().any(|one| one.starts_with(&format!("pull {number} ")) && one.contains(why)),
            "{left:?}"
        );
    }
    // A bound and a break: both count, only the latter as a limit.
    let counted: Vec<(i64, bool)> = told["pulls"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| (one["number"].as_i64().unwrap(), one["is_limit"].as_bool().unwrap()))
        .collect();
    assert_eq!(counted, [(5, false), (6, true)]);
    // It is kept now, and nothing is replaced.
    refused(folder, &["log", "calibrate", "x"], &["there is a calibration x already"]);
    refused(folder, &["forecast", "oval", "--calibration", "y"], &["there is no calibration y; allowed: x"]);
    refused(folder, &["log", "plan", "oval", "--sample", "g", "--calibration", "y"], &["allowed: x"]);
    refused(folder, &["log", "calibrate", "  "], &["found no name for the calibration"]);
    refused(folder, &["log", "calibrate", &"n".repeat(61)], &["up to 60 letters"]);
    assert_eq!(run(folder, &["forecast", "oval", "--logbook", "pullmap-logbook.sqlite"]).code, 2);
    assert_eq!(
        json(folder, &["log", "list"])["pulls"].as_array().unwrap().len(),
        6,
        "a plan that is refused leaves no pull"
    );
}

#[test]
fn pulls_that_no_constants_explain_are_told_and_not_kept() {
    let folder = tempdir().unwrap();
    let folder = folder.path();
    let calibrate = ["log", "calibrate", "x"];
    // Half of what is forecast.
    pulls(folder, &["broadbar-alu"], &[10.8, 10.9, 11.0, 11.1, 11.2], "lower bar");
    let why = "No constants within what is assumed go with pulls 1 to 5";
    refused(folder, &calibrate, &["nothing is kept as x", why, "pullmap explain", "--dry-run"]);
    let told = json(folder, &["log", "calibrate", "x", "--dry-run"]);
    follows("calibration", &told);
    assert!(told["against"][0].as_str().unwrap().starts_with(why), "{}", told["against"]);
    assert!(
        told["pulls"].as_array().unwrap().iter().all(|one| one["chance_of_slip"].as_f64().unwrap() > 0.9)
    );
    assert!(done(folder, &["log", "calibrations"]).starts_with("No calibration is kept here"));
    // Peaks that only a weak lip would give, and breaks that were found at the frame.
    let folder = tempdir().unwrap();
    let folder = folder.path();
    pulls(folder, &["broadbar-alu"], &[16.0, 16.1, 16.2, 16.2, 16.3, 16.4], "lower bar");
    refused(
        folder,
        &calibrate,
        &["nothing is kept as x", "let other parts fail first than those that were found broken"],
    );
    // One slip among many is told, and does no harm.
    let folder = tempdir().unwrap();
    let folder = folder.path();
    pulls(folder, &["broadbar-alu"], &[21.5, 21.7, 22.0, 22.2, 22.4, 21.9, 22.1, 11.0], "lower bar");
    let kept = done(folder, &calibrate);
    assert!(kept.contains("Note: the others do not explain pull 8"), "{kept}");
    let with = json(folder, &["forecast", "broadbar-alu", "--calibration", "x"]);
    assert!((number(&with, "/range_kn/p50") - 22.0).abs() < 0.5, "{}", with["range_kn"]);
}
