//! `pullmap compare`: the real binary, and its pictures.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::args::Field;
use explorer::comparing::{comparison, compute, requested};
use explorer::mapping::Shown;
use geometry::outline::{Across, Bar, FrameLocation};
use pullmap_tests::binary::{run, run_with_threads};
use pullmap_tests::pictures::{misplaced_words, png_size};
use pullmap_tests::schemas::follows;
use pullmap_tests::{close, model, system};
use report::compare::{beyond, label};
use serde_json::Value;
use solver::strength::{FailureMode, limits};
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
        let model = model("broadbar-alu", &sets);
        limits(&system("broadbar-alu", &sets), &model.strengths(), &model.rig).unwrap()
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
        close("forecast", number(variant, "/peak_kn"), all[i].peak_kn, 1e-9);
        assert_eq!(variant["fails_first"], report::failure_modes::name(all[i].fails_first));
    }
    let difference = &compared["differences"][0];
    let less = |path: &str| number(&maps[1], path) - number(&maps[0], path);
    close("share", number(difference, "/gate_fraction"), less("/share/gate_fraction"), 1e-9);
    close("spine", number(difference, "/spine_kn"), less("/share/spine_kn"), 1e-9);
    close("forecast", number(difference, "/peak_kn"), all[1].peak_kn - all[0].peak_kn, 1e-9);
    // The deep notch weakens the nose: the part that fails first changes, and the sentence says so.
    let sentence = difference["sentence"].as_str().unwrap();
    assert!(sentence.starts_with("With notch depth 8 mm instead of 4 mm the gate carries"), "{sentence}");
    assert!(sentence.contains("the root of the nose fails first, at 18.6 kN, not the frame"), "{sentence}");
}

#[test]
fn what_is_printed_follows_the_published_schema() {
    for words in [
        &["broadbar-alu", "--vary", "nose.notch_depth_mm=2,60,4,6"][..],
        &["oval", "pear", "broadbar-steel"],
        &["broadbar-alu", "--vary", "rig.gate=closed,open", "--set", "rig.both.strap_strength_kn=3"],
    ] {
        follows("compare", &json(&[&["compare", "--json"], words].concat()));
    }
}

#[test]
fn a_strap_beside_a_bar_needs_no_diameter_and_says_which_was_taken() {
    let compared = json(&["compare", "broadbar-alu", "--vary", "rig.both.kind=strap,bar", "--json"]);
    let taken = "bench bars of 12 mm are taken, since rig.both.diameter_mm is not given";
    assert_eq!(compared["assumed"], serde_json::json!([taken]));
    assert_eq!(compared["variants"][1]["label"], "load by bench bar");
    let told = ["broadbar-alu", "--set", "rig.both.kind=bar", "--set", "rig.both.diameter_mm=12", "--json"];
    let bars = json(&[&["map"], &told[..]].concat());
    let share = number(&bars, "/share/gate_fraction");
    close("share of the gate", number(&compared, "/variants/1/gate_fraction"), share, 1e-12);

    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["compare", "broadbar-steel", "--vary", "rig.upper.kind=bar,strap"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(ran.out.contains("Note: a strap of 12 mm is taken, since rig.upper.width_mm"), "{}", ran.out);
    let svg = fs::read_to_string(folder.path().join("pullmap-out/broadbar-steel/compare.svg")).unwrap();
    assert!(svg.contains("a strap of 12 mm is taken, the usual size"), "the picture hides it");
    assert!(!svg.contains("rig.upper"), "a picture's reader has no keys");
    let ran = run(folder.path(), &["compare", "oval", "oval"]);
    assert!(ran.out.contains("With oval both times the gate still carries"), "{}", ran.out);
}

#[test]
fn names_keep_their_hyphens_and_numbers_their_minus() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["compare", "oval", "--vary", "material.frame=7075-t6,4340-180"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(ran.out.contains("With frame metal 4340-180 instead of 7075-t6 the gate"), "{}", ran.out);
    let out = folder.path().join("pullmap-out/oval");
    let svg = fs::read_to_string(out.join("compare.svg")).unwrap();
    assert!(svg.contains("frame metal 7075-t6") && !svg.contains("7075\u{2212}t6"));
    let ran = run(folder.path(), &["compare", "oval", "--vary", "rig.both.offset_mm=-3,3"]);
    assert!(ran.out.contains("instead of -3 mm") && !ran.out.contains('\u{2212}'), "{}", ran.out);
    let json = fs::read_to_string(out.join("compare.json")).unwrap();
    assert!(json.contains("offset -3 mm") && !json.contains('\u{2212}'));
    let svg = fs::read_to_string(out.join("compare.svg")).unwrap();
    assert!(
        svg.contains("offset\u{a0}\u{2212}3") || svg.contains("\u{2212}3\u{a0}mm"),
        "type has a true minus"
    );
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
    assert_eq!(json["format"], "pullmap-compare-3");
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
    assert!(left[0].contains("nose.notch_depth_mm: found 2.00 mm; allowed: more than 2.35 mm"), "{left:?}");
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
        (
            &["compare", "oval", "--vary", "title=a,b"],
            &["title: found a key that changes nothing: it is a name"],
        ),
        (
            &["compare", "oval", "--vary", "material.frame=304,cheese"],
            &["found \"cheese\"; allowed: 7075-t6"],
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

#[test]
fn long_names_and_sentences_lose_no_word() {
    let folder = tempdir().unwrap();
    let text = fs::read_to_string(pullmap_tests::project().join("models/oval.toml")).unwrap();
    let name =
        |i: usize| format!("connector-of-the-{i}nd-pulley-in-the-big-tent-as-measured-with-a-caliper.toml");
    let paths: Vec<String> = (0..6)
        .map(|i| {
            let path = folder.path().join(name(i));
            fs::write(&path, &text).unwrap();
            path.to_str().unwrap().to_owned()
        })
        .collect();
    for count in [2, 3, 4, 5, 6] {
        let asked = requested(&paths[..count], &[], None).unwrap();
        let compared = compute(asked, &SystemSettings::default()).unwrap();
        let shown: Vec<Shown<'_>> =
            compared.variants.iter().map(|c| Shown::new(&c.mapped, &c.model.title, 0.0)).collect();
        let picture = comparison(&compared, &shown, Field::VonMises);
        let [wide, high] = picture.size();
        let drawing = picture.drawing(wide, high);
        assert_eq!(misplaced_words(&drawing), Vec::<String>::new(), "{count} variants");
        let lines: Vec<&str> = drawing.texts().into_iter().map(|t| t.words.as_str()).collect();
        assert!(!lines.iter().any(|line| line.contains('…')), "{count} variants: {lines:?}");
        // Lines end at blanks or after the hyphens of a name.
        let whole = lines.join(" ").replace("- ", "-");
        assert!(
            whole.contains(&picture.sentence.replace('\u{a0}', " ")) || whole.contains(&picture.sentence)
        );
    }
}

#[test]
fn the_ring_is_where_the_forecast_says_that_the_frame_tears() {
    let names = ["pear", "offset-d"].map(str::to_owned);
    let asked = requested(&names, &[], None).unwrap();
    let compared = compute(asked, &SystemSettings::default()).unwrap();
    let shown: Vec<Shown<'_>> =
        compared.variants.iter().map(|c| Shown::new(&c.mapped, &c.model.title, 0.0)).collect();
    let picture = comparison(&compared, &shown, Field::VonMises);
    for (case, variant) in compared.variants.iter().zip(&picture.variants) {
        assert_eq!(case.limits.fails_first, FailureMode::FrameOpens);
        let place = case.mapped.system.outline.frame_location(variant.mark);
        assert_eq!(Some(place), case.limits.tears_at);
        let outside = matches!(place, FrameLocation::Bar(Bar::Upper, _, Across::Outer));
        assert!(outside, "{:?}: {place:?}", case.name);
    }
    let [wide, high] = picture.size();
    let drawing = picture.drawing(wide, high);
    assert!(drawing.texts().iter().any(|t| t.words == "fails first"), "the legend of the rings");
}

#[test]
fn a_load_beyond_what_a_variant_bears_is_told_in_print_and_picture() {
    let folder = tempdir().unwrap();
    let words = ["compare", "broadbar-alu", "--vary", "rig.both.offset_mm=-15,0", "--set", "rig.load_kn=30"];
    let ran = run(folder.path(), &words);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("Note: offset 0 mm: Before 30 kN the gate line would have gone"), "{}", ran.out);
    assert!(!ran.out.contains("Note: offset -15 mm"), "33.1 kN are held there: {}", ran.out);
    let report = json(&[&words[..], &["--json"]].concat());
    assert_eq!(report["variants"][0]["beyond"], serde_json::json!([]));
    assert_eq!(report["variants"][1]["beyond"].as_array().map(Vec::len), Some(2));
    let sets = [("rig.load_kn".to_owned(), "30".to_owned())];
    let vary = ("rig.both.offset_mm".to_owned(), "-15,0".to_owned());
    let asked = requested(&["broadbar-alu".to_owned()], &sets, Some(&vary)).unwrap();
    let compared = compute(asked, &SystemSettings::default()).unwrap();
    let told = beyond(&compared).unwrap();
    assert_eq!(told, "Above what offset 0\u{a0}mm holds: stresses tell where, not how much.");
    let shown: Vec<Shown<'_>> =
        compared.variants.iter().map(|c| Shown::new(&c.mapped, &c.model.title, 0.0)).collect();
    let drawing = comparison(&compared, &shown, Field::VonMises).drawing(1600, 1200);
    assert!(drawing.texts().iter().any(|t| t.words == told));
    let of = |i: usize| shown[i].map("", "", Field::VonMises).beyond;
    assert_eq!(of(0), None);
    assert!(of(1).unwrap().contains("not how much"));
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
        let asked = requested(models, &[], vary.as_ref()).unwrap();
        let compared = compute(asked, &settings).unwrap();
        let shown: Vec<Shown<'_>> =
            compared.variants.iter().map(|c| Shown::new(&c.mapped, &c.model.title, 0.0)).collect();
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
        for field in [Field::VonMises, Field::PullDirection, Field::Trajectories] {
            let picture = comparison(&compared, &shown, field);
            let [wide, high] = picture.size();
            let drawing = picture.drawing(wide, high);
            assert_eq!(misplaced_words(&drawing), Vec::<String>::new(), "{models:?} {field:?}");
            // A window for each connector, one for each nose that engages, and one for the ruler.
            let windows = drawing.items.iter().filter(|i| matches!(i, viz::Item::Clipped { .. })).count();
            let engaged = compared
                .variants
                .iter()
                .filter(|c| !matches!(c.model.rig.gate, solver::rig::GateState::Open))
                .count();
            let ruler = usize::from(field != Field::Trajectories);
            assert_eq!(windows, compared.variants.len() + engaged + ruler, "{models:?} {field:?}");
            let said = drawing.texts();
            for case in &compared.variants {
                let name = label(&case.name);
                assert!(said.iter().any(|t| t.words == name), "{name} is not named");
            }
            assert_eq!(
                said.iter().filter(|t| t.words.contains("MPa") && t.words.contains("stress")).count(),
                { usize::from(field == Field::VonMises) }
            );
        }
    }
}

#[test]
fn a_gate_half_shut_is_compared_without_its_depth_and_says_what_was_taken() {
    let folder = tempdir().unwrap();
    let words = ["compare", "broadbar-alu", "--vary", "rig.gate=closed,half,open"];
    let ran = run(folder.path(), &words);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(!ran.out.contains("Left out"), "{}", ran.out);
    let taken = "Note: a pin engaged half way into the notch is taken, since rig.engaged_mm is not given";
    assert!(ran.out.contains(taken), "{}", ran.out);
    let told = run(folder.path(), &[&words[..], &["--set", "rig.engaged_mm=2"]].concat());
    assert!(told.code == 0 && !told.out.contains("is not given"), "{}", told.out);
}

#[test]
fn a_first_yield_beyond_what_fails_first_says_what_it_supposes() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["compare", "broadbar-alu", "--vary", "nose.lip_on=frame,gate"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let notes: Vec<&str> = ran.out.lines().filter(|line| line.contains("its first yield supposes")).collect();
    assert!(matches!(notes[..], [note] if note.contains("gate") && note.contains("3.3 kN")), "{}", ran.out);
}
