//! `pullmap compare`: the real binary, and its pictures.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::args::Field;
use explorer::comparing::{comparison, compute, wanted};
use explorer::mapping::Shown;
use pullmap_tests::binary::{run, run_with_threads};
use pullmap_tests::pictures::{misplaced_words, png_size, texts};
use pullmap_tests::{close, model, system};
use serde_json::Value;
use solver::strength::limits;
use solver::system::SystemSettings;
use std::fs;
use tempfile::tempdir;

fn json(words: &[&str]) -> Value {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), words);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{words:?}");
    serde_json::from_str(&ran.out).unwrap()
}

fn number(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} is missing in {value}"))
}

#[test]
fn differences_are_those_of_two_separate_runs() {
    let compared = json(&["compare", "broadbar-alu", "--vary", "nose.notch_depth_mm=4,8", "--json"]);
    let maps = ["4", "8"].map(|depth| {
        json(&["map", "broadbar-alu", "--set", &format!("nose.notch_depth_mm={depth}"), "--json"])
    });
    let all = ["4", "8"].map(|depth| {
        let sets = [("nose.notch_depth_mm", depth)];
        limits(&system("broadbar-alu", &sets), &model("broadbar-alu", &sets).rig).unwrap()
    });
    for (i, map) in maps.iter().enumerate() {
        let variant = &compared["variants"][i];
        for (here, there) in [
            ("/gate_fraction", "/share/gate_fraction"),
            ("/spine_kn", "/share/spine_kn"),
            ("/spine_moment_nm", "/sections/spine_mid/moment_nm"),
        ] {
            close(here, number(variant, here), number(map, there), 1e-9);
        }
        close("forecast", number(variant, "/breaks_at_kn"), all[i].breaks_at_kn, 1e-9);
        assert_eq!(variant["gives_first"], all[i].gives_first.as_str());
    }
    let difference = &compared["differences"][0];
    let less = |path: &str| number(&maps[1], path) - number(&maps[0], path);
    close("share", number(difference, "/gate_fraction"), less("/share/gate_fraction"), 1e-9);
    close("spine", number(difference, "/spine_kn"), less("/share/spine_kn"), 1e-9);
    close("forecast", number(difference, "/breaks_at_kn"), all[1].breaks_at_kn - all[0].breaks_at_kn, 1e-9);
    // The deep notch weakens the nose: the part that gives first changes, and the sentence says so.
    let sentence = difference["sentence"].as_str().unwrap();
    assert!(sentence.starts_with("With notch depth 8 mm instead of 4 mm the gate carries"), "{sentence}");
    assert!(sentence.contains("the root of the nose gives first, at 18.6 kN, not the lip"), "{sentence}");
}

#[test]
fn files_are_written_and_the_answer_is_plain() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["compare", "broadbar-alu", "--vary", "rig.both.offset_mm=0,15"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(ran.out.contains("With offset 15 mm instead of 0 mm the gate carries 72 % instead of 43 %"));
    assert!(ran.out.contains("accredited laboratory"), "the caution is missing");
    let out = folder.path().join("pullmap-out/broadbar-alu");
    assert_eq!(png_size(&fs::read(out.join("compare.png")).unwrap()), [1600, 1200]);
    let svg = fs::read_to_string(out.join("compare.svg")).unwrap();
    assert!(svg.contains("accredited laboratory") && svg.contains("offset 15 mm: gate 72"), "description");
    let json: Value = serde_json::from_str(&fs::read_to_string(out.join("compare.json")).unwrap()).unwrap();
    assert_eq!(json["format"], "pullmap-compare-1");
}

#[test]
fn the_same_bytes_on_one_thread_and_on_two() {
    let bytes = [1, 2].map(|threads| {
        let folder = tempdir().unwrap();
        let words = ["compare", "offset-d", "oval", "pear", "--out", "out"];
        let ran = run_with_threads(folder.path(), &words, threads);
        assert_eq!(ran.code, 0, "{ran:?}");
        ["compare.png", "compare.svg", "compare.json"]
            .map(|name| fs::read(folder.path().join("out").join(name)).unwrap())
    });
    assert!(bytes[0] == bytes[1], "the number of threads changes the files");
}

#[test]
fn what_cannot_be_computed_is_told_and_the_rest_is_shown() {
    let compared = json(&["compare", "broadbar-alu", "--vary", "nose.notch_depth_mm=2,60,4,6", "--json"]);
    assert_eq!(compared["variants"].as_array().unwrap().len(), 2);
    let left: Vec<&str> =
        compared["left_out"].as_array().unwrap().iter().map(|l| l["reason"].as_str().unwrap()).collect();
    assert!(left[0].contains("needs more than 2.35 mm"), "{left:?}");
    assert!(left[1].contains("--vary nose.notch_depth_mm=60") && left[1].contains("found 60 mm"), "{left:?}");
}

#[test]
fn bad_input_is_refused_with_everything_that_is_wrong() {
    let folder = tempdir().unwrap();
    for (words, says) in [
        (&["compare", "oval"][..], &["found 1 variant; allowed: 2 to 6", "--vary KEY"][..]),
        (&["compare", "oval", "--vary", "rig.load_kn=1,2,3,4,5,6,7"], &["found 7 variants"]),
        (
            &["compare", "oval", "pear", "--vary", "rig.load_kn=1,,1"],
            &["2 models", "value 2 is empty", "found 1 twice"],
        ),
        (&["compare", "oval", "--vary", "nose.notch_dept_mm=4,5"], &["no model file has"]),
        (
            &["compare", "oval", "no-such-file.toml", "--set", "rig.load_kn=-1"],
            &["no-such-file.toml", "rig.load_kn=-1"],
        ),
        (&["compare", "broadbar-alu", "--vary", "nose.notch_depth_mm=6,60"], &["found 1 of 2", "60 mm"]),
    ] {
        let ran = run(folder.path(), words);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words:?}: {ran:?}");
        for text in says {
            assert!(ran.err.contains(text), "{words:?}: `{text}` is missing in:\n{}", ran.err);
        }
        assert!(!ran.err.contains("panicked"), "{}", ran.err);
    }
    assert!(fs::read_dir(folder.path()).unwrap().next().is_none(), "nothing is written");
}

/// Models, and what varies.
type Asked<'a> = (&'a [String], Option<(String, String)>);

#[test]
fn one_scale_serves_all_and_words_keep_clear() {
    let settings = SystemSettings::default();
    let names = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"].map(str::to_owned);
    let offsets = |list: &str| Some(("rig.both.offset_mm".to_owned(), list.to_owned()));
    let cases: [Asked<'_>; 6] = [
        (&names, None),
        (&names[1..], None),
        (&names[2..], None),
        (&names[3..], None),
        (&names[..1], offsets("-15,-10,-5,0,5,15")),
        (&names[..1], Some(("rig.gate".to_owned(), "closed,open".to_owned()))),
    ];
    for (models, vary) in cases {
        let (variants, key) = wanted(models, &[], vary.as_ref()).unwrap();
        let compared = compute(variants, key, &settings).unwrap();
        let shown: Vec<Shown<'_>> = compared.cases.iter().map(|c| Shown::new(&c.solved, 0.0)).collect();
        let whole = comparison(&compared, &shown, Field::VonMises);
        let alone: Vec<f64> = whole
            .variants
            .iter()
            .map(|variant| {
                let one = viz::Comparison { variants: vec![variant.clone()], ..whole.clone() };
                one.legend_mpa()[1]
            })
            .collect();
        let [low, high] = whole.legend_mpa();
        assert_eq!(low, 0.0);
        if vary.is_some() {
            // Of one metal: the scale is that of the hottest variant, which therefore looks as it does alone.
            assert_eq!(high, alone.iter().copied().fold(0.0, f64::max));
            assert!(alone.iter().any(|h| *h < high), "the others alone would be drawn hotter: {alone:?}");
        }
        for field in [Field::VonMises, Field::PullDirection, Field::Threads] {
            let picture = comparison(&compared, &shown, field);
            let drawing = picture.drawing(1600, 1200);
            assert_eq!(misplaced_words(&drawing), Vec::<String>::new(), "{models:?} {field:?}");
            let said = texts(&drawing.items);
            for case in &compared.cases {
                assert!(said.iter().any(|t| t.words == case.label), "{} is not named", case.label);
            }
            assert_eq!(
                said.iter().filter(|t| t.words.contains("MPa") && t.words.contains("stress")).count(),
                { usize::from(field == Field::VonMises) }
            );
        }
    }
}
