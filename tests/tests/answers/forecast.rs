//! `pullmap forecast` by the real binary: what fails first, at which load, how sure that is, and what it refuses.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{refused, run, run_with_threads};
use pullmap_tests::close;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// The forecast of a model with values set.
fn forecast(folder: &Path, model: &str, sets: &[&str]) -> Value {
    let mut words = vec!["forecast", model, "--json"];
    words.extend(sets.iter().flat_map(|set| ["--set", set]));
    let ran = run(folder, &words);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{words:?}");
    serde_json::from_str(&ran.out).unwrap()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

#[test]
fn the_broad_bar_goes_at_its_gate_and_earlier_toward_the_gate() {
    let folder = tempdir().unwrap();
    let even = forecast(folder.path(), "broadbar-alu", &["rig.both.width_mm=40"]);
    // The lug holds 11.15 kN by an independent limit analysis, the gate carries 0.44 of the pull.
    close("40 mm centred", number(&even, "peak_kn"), 11.15 / 0.44, 0.5);
    assert_eq!(
        (&even["fails_first"], &even["ends"]),
        (&"gate, torn out at the hinge pin".into(), &"breaks".into())
    );
    assert!(number(&even, "peak_kn") >= number(&even["against_marking"], "marked_kn"));
    let at_gate = forecast(folder.path(), "broadbar-alu", &["rig.both.offset_mm=15"]);
    assert_eq!(at_gate["fails_first"], even["fails_first"]);
    close(
        "12 mm at +15 over 40 mm centred",
        number(&at_gate, "peak_kn") / number(&even, "peak_kn"),
        0.6,
        0.1,
    );
    assert!(at_gate["tears_at"].as_str().unwrap().starts_with("spine"), "{}", at_gate["tears_at"]);
    let open = forecast(folder.path(), "broadbar-alu", &["rig.both.width_mm=40", "rig.gate=open"]);
    close("open over closed", number(&open, "peak_kn") / number(&even, "peak_kn"), 0.375, 0.125);
    assert_eq!((&open["ends"], &open["against_marking"]["gate"]), (&"opens".into(), &"open".into()));
}

#[test]
fn first_yield_section_limit_and_break_stay_apart_and_the_range_holds_the_middle() {
    let folder = tempdir().unwrap();
    for (model, sets) in
        [("broadbar-alu", &["rig.both.width_mm=40"][..]), ("pear", &[]), ("broadbar-steel", &[])]
    {
        let found = forecast(folder.path(), model, sets);
        assert!(number(&found, "first_yield_kn") < number(&found, "bends_at_kn"), "{model}");
        let range = &found["range_kn"];
        assert!(number(range, "p5") < number(range, "p50") && number(range, "p50") < number(range, "p95"));
        let middle = number(&found, "peak_kn");
        assert!((number(range, "p5")..number(range, "p95")).contains(&middle), "{model}: {range} {middle}");
        let sum =
            |list: &str, of: &str| found[list].as_array().unwrap().iter().map(|v| number(v, of)).sum::<f64>();
        close("chances", sum("chances", "chance"), 1.0, 1e-9);
        close("shares", sum("varied", "share"), 1.0, 1e-9);
        assert_eq!(found["matters_most"], found["varied"][0]);
        let at: Vec<f64> =
            found["limits"].as_array().unwrap().iter().filter_map(|l| l["at_kn"].as_f64()).collect();
        assert!(at.is_sorted() && at.len() > 10, "{model}: {at:?}");
        let told = found["story"].to_string().to_lowercase();
        assert!(!told.contains("safe") && found["caution"].as_str().unwrap().contains("planning only"));
    }
}

#[test]
fn a_range_in_the_model_widens_the_forecast_and_is_named() {
    let folder = tempdir().unwrap();
    let wide = "rig.both.width_mm=40";
    let plain = forecast(folder.path(), "broadbar-alu", &[wide, "nose.lip_height_mm=3.4"]);
    let set = "nose.lip_height_mm={ value = 3.4, plus_minus = 0.8 }";
    let unsure = forecast(folder.path(), "broadbar-alu", &[wide, set]);
    assert_eq!(number(&plain, "peak_kn"), number(&unsure, "peak_kn"));
    let low = |found: &Value| number(&found["range_kn"], "p5");
    assert!(low(&unsure) < low(&plain) - 0.5, "{} {}", low(&unsure), low(&plain));
    assert_eq!(unsure["matters_most"]["what"], "nose.lip_height_mm");
    assert_eq!(
        (&unsure["matters_most"]["from"], &unsure["matters_most"]["to"]),
        (&"2.6".into(), &"4.2".into())
    );
    assert!(!unsure["assumed"].to_string().contains("lip_height"));
}

#[test]
fn a_weak_strap_ends_the_pull() {
    let folder = tempdir().unwrap();
    let found = forecast(folder.path(), "broadbar-alu", &["rig.both.strap_strength_kn=9"]);
    assert_eq!((number(&found, "peak_kn"), &found["ends"]), (9.0, &"strap".into()));
    assert_eq!(found["tears_at"], Value::Null);
}

#[test]
fn the_forecasts_follow_the_published_schema() {
    let folder = tempdir().unwrap();
    let text = fs::read_to_string(pullmap_tests::project().join("docs/forecast.schema.json")).unwrap();
    let validator = jsonschema::validator_for(&serde_json::from_str(&text).unwrap()).unwrap();
    for (model, sets) in [
        ("broadbar-alu", &[][..]),
        ("pear", &["rig.gate=open"]),
        ("broadbar-alu", &["rig.gate=half", "rig.engaged_mm=1"]),
        ("oval", &["rig.both.strap_strength_kn=3"]),
    ] {
        let found = forecast(folder.path(), model, sets);
        let mistakes: Vec<String> = validator.iter_errors(&found).map(|e| e.to_string()).collect();
        assert!(mistakes.is_empty(), "{model} {sets:?}: {mistakes:?}");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "--json writes no file");
}

#[test]
fn a_load_that_is_asked_for_sets_the_exit_code() {
    let folder = tempdir().unwrap();
    let words = |kn| ["forecast", "broadbar-alu", "--set", "rig.both.width_mm=40", "--at-least", kn];
    let ran = run(folder.path(), &words("30"));
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.out.contains("below (low end of its range:") && ran.out.contains("accredited laboratory"));
    let ran = run(folder.path(), &words("4000 lbf"));
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("reached"), "{}", ran.out);
}

#[test]
fn a_part_that_breaks_before_the_hook_opens_counts_where_a_load_is_asked_for() {
    let folder = tempdir().unwrap();
    let words = |kn| ["forecast", "broadbar-alu", "--set", "nose.lip_on=gate", "--at-least", kn];
    let ran = run(folder.path(), &words("5"));
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.out.contains("below (the open hook then still holds to"), "{}", ran.out);
    // Nothing of the frame is told as if it came after the gate has gone.
    assert!(ran.out.contains("if the gate held"), "{}", ran.out);
    assert_eq!(run(folder.path(), &words("3")).code, 0);
}

#[test]
fn the_middle_lies_inside_the_range_for_slender_gates_too() {
    let folder = tempdir().unwrap();
    for (model, width) in
        [("broadbar-alu", 7), ("broadbar-alu", 8), ("oval", 6), ("oval", 7), ("offset-d", 6), ("pear", 6)]
    {
        let found = forecast(folder.path(), model, &[&format!("gate.width_mm={width}")]);
        let (range, middle) = (&found["range_kn"], number(&found, "peak_kn"));
        assert!(
            (number(range, "p5")..number(range, "p95")).contains(&middle),
            "{model} {width}: {range} {middle}"
        );
        // What fails first with everything at its middle is also the likeliest.
        assert_eq!(found["chances"][0]["what"], found["fails_first"], "{model} {width}");
    }
}

#[test]
fn a_range_of_the_engaged_depth_is_varied() {
    let folder = tempdir().unwrap();
    let at = |depth: &str| {
        let found =
            forecast(folder.path(), "broadbar-alu", &["rig.gate=half", &format!("rig.engaged_mm={depth}")]);
        (number(&found, "peak_kn"), found)
    };
    let (deep, shallow) = (at("4.8").0, at("1.7").0);
    let (_, found) = at("{ between = [1.5, 5] }");
    assert_eq!(found["matters_most"]["what"], "rig.engaged_mm");
    let range = &found["range_kn"];
    // Nine of ten pulls of an even range lie between about what its ends hold; a pin that has not bedded in presses down
    // to 0.57 of that near the mouth (an independent limit analysis).
    let p5 = number(range, "p5");
    assert!(p5 > 0.57 * shallow && p5 < 1.06 * shallow, "{p5} {shallow}");
    close("p95", number(range, "p95"), deep, 0.06 * deep);
    // Below some 1.3 mm friction does not hold the pin on the lip's corner: the range ends there, and that is told.
    let (_, wide) = at("{ between = [0.6, 5] }");
    let cut = wide["left_out"].to_string();
    assert!(cut.contains("rig.engaged_mm") && cut.contains("was varied"), "{cut}");
    close("p95", number(&wide["range_kn"], "p95"), deep, 0.06 * deep);
}

#[test]
fn small_parts_computed_decide_beside_their_formulas_by_hand() {
    let folder = tempdir().unwrap();
    for name in ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"] {
        let found = forecast(folder.path(), name, &[]);
        let computed = found["computed"].as_array().unwrap();
        assert_eq!(computed.len(), 5, "{name}: {computed:?}");
        for part in computed {
            let what = part["what"].as_str().unwrap();
            let limits = found["limits"].as_array().unwrap();
            let limit = limits.iter().find(|l| l["what"] == what).unwrap();
            let decides = part["decides"].as_bool().unwrap();
            let decided = if decides { "computed_kn" } else { "by_hand_kn" };
            close(what, number(part, decided), number(&limit["inputs"][0], "value"), 1e-9);
            let off = number(part, "by_hand_kn") / number(part, "computed_kn") - 1.0;
            assert_eq!(part["far"], off.abs() > 0.15, "{name}: {part}");
            // A formula by hand decides only where it is near and on the safe side; else the limit tells how far it lies.
            match decides {
                true => close(what, number(&limit["by_hand"], "excess"), off, 1e-9),
                false => assert!(off < 0.0 && off > -0.15 && limit["by_hand"].is_null(), "{name}: {part}"),
            }
            if let Some(narrow) = part["narrow_kn"].as_f64() {
                let computed = number(part, "computed_kn");
                assert!(narrow <= computed && computed <= number(part, "deep_kn"), "{name}: {part}");
            }
        }
    }
    let open = forecast(folder.path(), "oval", &["rig.gate=open"]);
    assert!(open["computed"].as_array().unwrap().is_empty());
}

#[test]
fn the_kept_models_end_where_an_independent_limit_analysis_has_them() {
    let folder = tempdir().unwrap();
    let kept = |name: &str, sets: &[&str]| {
        let path = pullmap_tests::project().join("tests/models").join(format!("{name}.toml"));
        forecast(folder.path(), path.to_str().unwrap(), sets)
    };
    // Frames with narrow straps: its open hooks at 7.18 and 8.85 kN, its closed one at 22.9 with the gate line taken as whole;
    // the frame's static limit lies up to 4.5 % below.
    for (name, sets, wanted) in [
        ("broadbar-alu", &["rig.gate=open"][..], 7.18),
        ("broadbar-steel", &["rig.gate=open", "rig.both.kind=strap", "rig.both.width_mm=12"], 8.85),
        ("broadbar-alu", &[], 22.9),
    ] {
        let found = number(&kept(name, sets), "peak_kn");
        assert!(found > 0.955 * wanted && found < 1.01 * wanted, "{name} {sets:?}: {found} for {wanted}");
    }
    // The nose pin of this oval is bent through at 7.4 kN in the gate line (by hand), below its lip.
    let oval = kept("oval", &[]);
    assert_eq!(oval["fails_first"], "nose pin, bent through");
    let limit = oval["limits"].as_array().unwrap().iter().find(|l| l["what"] == oval["fails_first"]).unwrap();
    close("nose pin", number(&limit["inputs"][0], "value"), 7.4, 0.05);
    for name in ["broadbar-steel", "offset-d", "pear"] {
        assert_eq!(kept(name, &[])["fails_first"], "frame opens", "{name}");
    }
}

#[test]
fn loads_that_may_lie_anywhere_are_solved_at_both_ends_together() {
    let folder = tempdir().unwrap();
    let found = forecast(folder.path(), "broadbar-alu", &["rig.both.offset_mm={ between = [-15, 15] }"]);
    // A sweep of 11 by 11 places of both straps, each solved in full, has 95 of 100 below 26.2 kN and 5 below 12.9; metal and
    // forms scatter on top of that. The product of what each end does alone stays at 22.
    close("p95", number(&found["range_kn"], "p95"), 26.2, 0.6);
    close("p5", number(&found["range_kn"], "p5"), 12.9, 0.6);
}

#[test]
fn a_range_that_is_cut_short_is_told_and_so_is_the_scatter_of_a_strap() {
    let folder = tempdir().unwrap();
    let found = forecast(folder.path(), "pear", &["rig.lower.offset_mm={ between = [-6, 6] }"]);
    let left_out = found["left_out"].to_string();
    assert!(left_out.contains("rig.lower.offset_mm: of -6 to 6 only -6 to 1.5 was varied"), "{left_out}");
    let found = forecast(folder.path(), "broadbar-alu", &["rig.both.strap_strength_kn=15"]);
    assert!(
        found["assumed"].to_string().contains("strength of the upper strap: coefficient of variation 5 %")
    );
    let (range, middle) = (&found["range_kn"], number(&found, "peak_kn"));
    assert!(number(range, "p5") < 0.97 * middle && middle < number(range, "p95"), "{range}");
}

#[test]
fn a_days_batch_ends_in_a_table_and_one_below_is_enough() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["forecast", "broadbar-alu", "pear", "--at-least", "20.5", "--out", "day"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    let table = ran.out.split("\nmodel ").nth(1).unwrap();
    let lines: Vec<&str> = table.lines().skip(1).take(2).collect();
    assert!(lines[0].starts_with("broadbar-alu") && lines[1].starts_with("pear"), "{table}");
    assert!(!lines[0].contains("below") && lines[1].contains("below 20.5 kN"), "{table}");
    for model in ["broadbar-alu", "pear"] {
        let out = folder.path().join("day").join(model);
        let mut names: Vec<String> =
            fs::read_dir(&out).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        assert_eq!(names, ["forecast.json", "forecast.png", "forecast.svg"]);
        let svg = fs::read_to_string(out.join("forecast.svg")).unwrap();
        assert!(svg.contains("<title") && svg.contains("The 90 % range is") && svg.contains("planning only"));
        let png = fs::read(out.join("forecast.png")).unwrap();
        assert_eq!(u32::from_be_bytes(png[16..20].try_into().unwrap()), 1600);
    }
}

#[test]
fn the_same_forecast_on_any_number_of_threads() {
    let folder = tempdir().unwrap();
    let read = |name: &str| {
        ["forecast.json", "forecast.png", "forecast.svg"]
            .map(|file| fs::read(folder.path().join(name).join(file)).unwrap())
    };
    for (name, threads) in [("one", 1), ("two", 2)] {
        let ran = run_with_threads(folder.path(), &["forecast", "pear", "--out", name], threads);
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
    assert!(read("one") == read("two"), "one thread and two differ");
}

#[test]
fn bad_input_is_refused() {
    let folder = tempdir().unwrap();
    refused(folder.path(), &["forecast"], &["MODEL"]);
    refused(folder.path(), &["forecast", "ovall"], &["oval"]);
    refused(folder.path(), &["forecast", "oval", "--at-least=-3"], &["at-least"]);
    refused(folder.path(), &["forecast", "oval", "--at-least", "3 mm"], &["force"]);
    refused(folder.path(), &["forecast", "oval", "--set", "nose.notch_dept_mm=3"], &["notch_depth_mm"]);
    refused(
        folder.path(),
        &["forecast", "broadbar-alu", "pear", "--set", "rig.both.width_mm=60"],
        &["width_mm"],
    );
    fs::write(folder.path().join("file"), "x").unwrap();
    refused(folder.path(), &["forecast", "oval", "--out", "file"], &["file"]);
}

#[test]
fn an_open_gate_is_told_beside_what_the_classes_ask_for() {
    let folder = tempdir().unwrap();
    for model in ["offset-d", "oval", "pear"] {
        let bars = ["rig.both.kind=bar", "rig.both.diameter_mm=12", "rig.both.offset_mm=0"];
        let shut = forecast(folder.path(), model, &bars);
        let open = forecast(folder.path(), model, &[&bars[..], &["rig.gate=open"]].concat());
        let part = number(&open, "peak_kn") / number(&shut, "peak_kn");
        close(model, number(&shut, "open_over_closed"), part, 1e-9);
        assert!(open["open_over_closed"].is_null());
        // EN 12275:2013: 0.28 to 0.35 for the smallest strengths of its classes. Plausible, no acceptance.
        assert!((0.2..0.6).contains(&part), "{model}: {part}");
        let mut words = vec!["forecast", model];
        words.extend(bars.iter().flat_map(|set| ["--set", set]));
        let said = run(folder.path(), &words).out;
        assert!(said.contains(&format!("at {part:.2} of that")) && said.contains("0.28 to 0.35"), "{said}");
    }
}
