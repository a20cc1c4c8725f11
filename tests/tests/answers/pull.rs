//! `pullmap pull` by the real binary, on a coarse mesh and in few steps: what it writes, what it refuses, and that it stops when it is told to.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{json, path, run, run_with_threads};
use pullmap_tests::pictures::png_size;
use pullmap_tests::schemas::follows;
use serde_json::Value;
use std::fs;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use tempfile::tempdir;

/// The colour of the seams of a strap in a picture.
const STRAP: &str = "#55635c";

/// A pull of a few seconds.
const COARSE: [&str; 6] = ["pull", "oval", "--mesh-size", "5", "--steps", "20"];

fn coarse<'a>(more: &[&'a str]) -> Vec<&'a str> {
    [&COARSE, more].concat()
}

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("{key}: {of}"))
}

#[test]
fn a_pull_to_a_load_leaves_the_same_files_whatever_the_number_of_threads() {
    let folder = tempdir().unwrap();
    let words = coarse(&["--until", "9", "--out"]);
    let ran = run_with_threads(folder.path(), &[&words[..], &["two"]].concat(), 2);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(ran.out.contains("Nothing ends the pull up to 9.0 kN"), "{}", ran.out);
    assert!(ran.out.contains("accredited laboratory"), "{}", ran.out);
    let again = run_with_threads(folder.path(), &[&words[..], &["one"]].concat(), 1);
    assert_eq!(again.out, ran.out.replace("two", "one"));
    let names = [
        "pull-film.png",
        "pull-maps.png",
        "pull-maps.svg",
        "pull-phone.png",
        "pull-phone.svg",
        "pull.csv",
        "pull.json",
        "pull.png",
        "pull.svg",
    ];
    let mut found: Vec<String> = fs::read_dir(folder.path().join("one"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    found.sort();
    assert_eq!(found, names);
    for name in names {
        let [one, two] = ["one", "two"].map(|f| fs::read(folder.path().join(f).join(name)).unwrap());
        assert!(one == two, "{name}");
    }
    let read = |name: &str| fs::read(folder.path().join("one").join(name)).unwrap();
    assert_eq!(png_size(&read("pull.png")), [1600, 1200]);
    assert_eq!(png_size(&read("pull-maps.png")), [1600, 1000]);
    assert_eq!(png_size(&read("pull-phone.png")), [1080, 2340]);
    let film = read("pull-film.png");
    // The poster stays longer than any moment but the last.
    assert_eq!(stays(&film)[..3], [150, 12, 12], "hundredths of a second");
    assert!(film.windows(4).any(|w| w == b"acTL") && film.len() < 3_000_000, "{}", film.len());
    let told: Value = serde_json::from_slice(&read("pull.json")).unwrap();
    follows("pull", &told);
    is_sound(&told, &String::from_utf8(read("pull.csv")).unwrap());
    assert!(!String::from_utf8(read("pull.json")).unwrap().contains(": -0.0,"));
    // Nothing was sought beyond the load that was asked for.
    assert!(ran.out.contains("not up to the load that was asked for"), "{}", ran.out);
    assert!(!ran.out.contains("hook") && told["hook"].is_null(), "{}", ran.out);
}

#[test]
fn a_pull_to_its_end_is_the_same_whatever_the_number_of_threads() {
    let folder = tempdir().unwrap();
    let words = ["pull", "broadbar-alu", "--mesh-size", "5", "--steps", "20", "--json"];
    let [one, two] = [1, 2].map(|threads| run_with_threads(folder.path(), &words, threads));
    assert_eq!((one.code, one.err.as_str()), (0, ""));
    assert!(one.out == two.out);
    let told: Value = serde_json::from_str(&one.out).unwrap();
    // Its hook and what stays were found at the same time.
    assert!(told["hook"]["steps"].as_array().unwrap().len() > 3, "{}", told["hook"]);
    assert!(told["no_longer_shuts"]["at_kn"].is_f64(), "{}", told["no_longer_shuts"]);
}

/// How long each picture of a film stays, hundredths of a second.
fn stays(film: &[u8]) -> Vec<u16> {
    let at = film.windows(4).enumerate().filter(|(_, w)| w == b"fcTL").map(|(at, _)| at + 24);
    at.map(|at| u16::from_be_bytes([film[at], film[at + 1]])).collect()
}

/// What must agree within one pull.
fn is_sound(told: &Value, csv: &str) {
    let steps = told["steps"].as_array().unwrap();
    let hook = told["hook"]["steps"].as_array().map_or(0, Vec::len);
    let rows: Vec<Vec<&str>> = csv.lines().map(|line| line.splitn(17, ',').collect()).collect();
    assert_eq!(rows.len(), 1 + steps.len() + hook);
    let column = |name: &str| rows[0].iter().position(|c| *c == name).unwrap();
    let mut highest: f64 = 0.0;
    for row in &rows {
        assert!(!row.contains(&"-0"), "{row:?}");
    }
    for (step, row) in steps.iter().zip(&rows[1..]) {
        assert_eq!(row[column("branch")], "gate");
        for key in ["load_kn", "stretch_mm", "spine_kn"] {
            assert_eq!(row[column(key)].parse::<f64>().unwrap(), number(step, key));
        }
        let (load, gate, spine) =
            (number(step, "load_kn"), number(step, "gate_kn"), number(step, "spine_kn"));
        assert!((gate + spine - load).abs() < 1e-3 * load.max(0.1), "{step}");
        highest = highest.max(load);
    }
    assert_eq!(number(&told["marks"], "peak_kn"), highest);
    assert_eq!(number(&told["end"], "load_kn"), number(&steps[steps.len() - 1], "load_kn"));
    let all = steps.len() + hook;
    assert_eq!(told["counts"]["steps"].as_u64().unwrap(), u64::try_from(all).unwrap());
}

#[test]
fn a_pull_to_the_end_tells_what_ended_it_and_what_the_hook_holds() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &coarse(&["--out", "whole"]));
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let told: Value =
        serde_json::from_slice(&fs::read(folder.path().join("whole/pull.json")).unwrap()).unwrap();
    follows("pull", &told);
    // What showed on the way stands in the order of its load.
    let table = ran
        .out
        .lines()
        .skip_while(|line| !line.starts_with("  "))
        .take_while(|line| !line.contains("highest load"));
    let loads: Vec<f64> =
        table.filter_map(|line| line.get(40..51)?.trim().strip_suffix(" kN")?.parse().ok()).collect();
    assert!(loads.len() >= 4 && loads.is_sorted(), "{loads:?}: {}", ran.out);
    // A step is named for what it is, not for the mark that it is near to.
    let said = words_of(&fs::read_to_string(folder.path().join("whole/pull-maps.svg")).unwrap());
    assert!(said.contains("just past") && said.contains("near the knee"), "{said}");
    let end = &told["end"];
    // A forecast of the same case has the same part first.
    assert_eq!(end["kind"], "part", "{end}");
    assert_eq!(end["failure"], "nose pin, bent through");
    let last = &told["steps"].as_array().unwrap()[told["steps"].as_array().unwrap().len() - 1];
    let (line, holds) = (number(last, "gate_line_kn"), number(end, "holds_along_gate_kn"));
    assert!((line / holds - 1.0).abs() < 0.01, "{line} of {holds} kN");
    let sentence = told["sentence"].as_str().unwrap();
    assert!(sentence.contains("The nose pin is bent through at"), "{sentence}");
    // The gate is gone, and its load with it.
    let hook = &told["hook"];
    assert!(number(hook, "first_kn") < 0.5 * number(end, "load_kn"), "{hook}");
    let first = &hook["steps"].as_array().unwrap()[0];
    assert_eq!((number(first, "gate_kn"), first["stretch_mm"].clone()), (0.0, last["stretch_mm"].clone()));
    let keeps = number(hook, "keeps_to_kn");
    assert!(
        keeps < number(hook, "peak_kn") && sentence.contains("no longer holds what pulls on"),
        "{sentence}"
    );
    assert!(told["set_found"].is_null() && told["unloaded"].is_null());
}

#[test]
fn the_load_that_left_a_stretch_leaves_it_again() {
    let folder = tempdir().unwrap();
    let words = ["pull", "broadbar-alu", "--mesh-size", "5", "--steps", "20", "--until", "23"];
    let set = ["--set-found", "0.1", "--unload-from", "21.8"];
    let told = json(folder.path(), &[&words[..], &set].concat());
    follows("pull", &told);
    let (found, unloaded) = (&told["set_found"], &told["unloaded"]);
    let at = number(found, "at_kn");
    let range = found["range_kn"].as_array().unwrap();
    let [low, high] = [0, 1].map(|i| range[i].as_f64().unwrap());
    assert!(low < at && at < high, "{found}");
    // Where the curve is level a tenth of a kilonewton is a hundredth of a millimetre.
    let off = number(unloaded, "set_mm") - 0.1 - 0.1 * (number(unloaded, "from_kn") - at);
    assert!(off.abs() < 0.03, "{unloaded} {found}");
    // So much bent, the gate no longer shuts, and a second pull has no gate.
    assert_eq!(unloaded["shuts"], false);
    assert!(number(unloaded, "room_mm") < 0.0 && number(&told["no_longer_shuts"], "at_kn") < at);
    let again = unloaded["again"].as_array().unwrap();
    assert!(again.len() > 3 && again.iter().all(|s| number(s, "gate_kn") == 0.0));
}

#[test]
fn a_load_is_found_though_no_way_down_is_from_the_end_of_the_pull() {
    let folder = tempdir().unwrap();
    let told =
        json(folder.path(), &["pull", "pear", "--mesh-size", "5", "--steps", "30", "--set-found", "0.1"]);
    let at = number(&told["set_found"], "at_kn");
    assert!(at > 19.0 && at < 21.0, "{}", told["set_found"]);
}

/// The words of a picture in order.
fn words_of(svg: &str) -> String {
    let texts = svg.split("data-words=\"").skip(1).filter_map(|text| text.split_once('"'));
    texts.map(|(words, _)| words.replace('\u{a0}', " ")).collect::<Vec<_>>().join(" | ")
}

#[test]
fn the_map_of_what_stays_reaches_its_highest_stress_and_shows_nothing_that_pulls() {
    let folder = tempdir().unwrap();
    let words =
        ["pull", "broadbar-alu", "--mesh-size", "5", "--steps", "20", "--until", "15", "--unload-from", "14"];
    let ran = run(folder.path(), &[&words[..], &["--out", "bent"]].concat());
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let read = |name: &str| fs::read_to_string(folder.path().join("bent").join(name)).unwrap();
    let told: Value = serde_json::from_str(&read("pull.json")).unwrap();
    let highest = number(&told["unloaded"], "residual_mpa");
    let said = words_of(&read("pull-unloaded.svg"));
    let most = |of: &dyn Fn(&str) -> Option<f64>| said.split(" | ").filter_map(of).fold(0.0, f64::max);
    let ruler = most(&|words| words.parse().ok());
    assert!(highest > 100.0 && ruler >= highest, "{highest} of {ruler}: {said}");
    // In the notch there is more, which the ruler marks at its end.
    let past = most(&|words| words.strip_prefix("to ")?.parse().ok());
    assert!(past > ruler, "{past} past {ruler}: {said}");
    assert!(said.contains("drawn alone"), "{said}");
    // The weave of a strap has a colour of its own.
    let [strip, alone] =
        [read("pull-maps.svg"), read("pull-unloaded.svg")].map(|svg| svg.matches(STRAP).count());
    assert!(strip > 0 && alone == 0, "{strip} {alone}");
}

#[test]
fn an_open_gate_is_told_and_shown_as_far_as_friction_keeps_what_pulls() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &coarse(&["--set", "rig.gate=open", "--out", "open"]));
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let read = |name: &str| fs::read_to_string(folder.path().join("open").join(name)).unwrap();
    let told: Value = serde_json::from_str(&read("pull.json")).unwrap();
    follows("pull", &told);
    let (to_deg, to_kn) = (number(&told, "keeps_to_deg"), number(&told, "keeps_to_kn"));
    let steps = told["steps"].as_array().unwrap();
    let kept = steps.iter().take_while(|s| number(s, "opened_deg").abs() <= to_deg);
    assert_eq!(kept.map(|s| number(s, "load_kn")).fold(0.0, f64::max), to_kn);
    assert!(to_kn < number(&told["marks"], "peak_kn"), "{to_kn}");
    let sentence = told["sentence"].as_str().unwrap();
    let begins =
        format!("The open hook holds {to_kn:.1} kN until its bars have turned by {to_deg:.0} degrees");
    assert!(sentence.starts_with(&begins) && ran.out.contains(&begins), "{sentence}");
    let row = ran.out.lines().find(|line| line.contains("the open hook while friction holds")).unwrap();
    assert!(row.contains(&format!("{to_kn:.1} kN")), "{row}");
    let said = words_of(&read("pull.svg"));
    assert!(said.contains(&format!("friction holds up to here {to_kn:.1} kN")), "{said}");
    assert!(words_of(&read("pull-maps.svg")).contains("friction holds up to here"));
}

#[test]
fn a_strain_at_a_contact_is_marked_as_no_result() {
    let folder = tempdir().unwrap();
    let words = ["pull", "broadbar-alu", "--mesh-size", "3", "--steps", "20", "--until", "16"];
    let strap = json(folder.path(), &words);
    let bars = ["--set", "rig.both.kind=bar", "--set", "rig.both.diameter_mm=12"];
    let bar = json(folder.path(), &[&words[..], &bars].concat());
    let last = |told: &Value| told["steps"].as_array().unwrap().last().unwrap().clone();
    assert_eq!(
        (&last(&strap)["plastic_trusted"], &strap["marks"]["yields_trusted"]),
        (&true.into(), &true.into())
    );
    assert_eq!(strap["warnings"].as_array().map(Vec::len), Some(0));
    assert_eq!(
        (&last(&bar)["plastic_trusted"], &bar["marks"]["yields_trusted"]),
        (&false.into(), &false.into())
    );
    assert_eq!(bar["warnings"].as_array().map(Vec::len), Some(2), "{}", bar["warnings"]);
    // Under a bar the frame yields long before the place at which a forecast looks.
    assert!(number(&bar["marks"], "yields_kn") < 0.8 * number(&strap["marks"], "yields_kn"));
    let said = run(folder.path(), &[&words[..], &bars].concat()).out;
    assert!(said.contains("beside contact or corner, not to be relied on"), "{said}");
}

#[test]
fn what_cannot_be_done_is_refused_with_exit_code_2_and_a_sentence() {
    let folder = tempdir().unwrap();
    let refused = |words: &[&str], says: &[&str]| {
        let ran = run(folder.path(), words);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words:?} {}", ran.err);
        for word in says {
            assert!(ran.err.contains(word), "{words:?}: {word}: {}", ran.err);
        }
    };
    for (option, value) in [
        ("--until", "0"),
        ("--until", "-3"),
        ("--until", "12mm"),
        ("--steps", "0"),
        ("--steps", "many"),
        ("--unload-from", "0"),
        ("--set-found", "0"),
        ("--set-found", "-1"),
        ("--set-found", "2 kN"),
    ] {
        refused(&["pull", "oval", option, value], &[option, "allowed"]);
    }
    let short = coarse(&["--until", "3"]);
    let set = [&short[..], &["--set-found", "1"]].concat();
    refused(
        &set,
        &["a permanent stretch of 1 mm is not reached", "hint: leave out --until, or give it a higher load"],
    );
    let unload = [&short[..], &["--unload-from", "5"]].concat();
    refused(
        &unload,
        &[
            "5.0 kN is not reached: the highest load is 3.0 kN",
            "hint: leave out --until, or let it be 5.0 kN or more",
        ],
    );
    // A strap of little strength ends it before.
    let weak = coarse(&["--until", "5", "--set", "rig.both.strap_strength_kn=2"]);
    refused(
        &weak,
        &[
            "5.0 kN is not reached: the highest load is 2.0 kN (the upper strap breaks)",
            "hint: give --until or --unload-from",
        ],
    );
    let short_stroke = coarse(&["--until", "15", "--set", "rig.stroke_mm=6"]);
    refused(&short_stroke, &["15.0 kN is not reached", "a longer stroke by --set rig.stroke_mm"]);
    // A metal of one's own without elongation has no curve.
    let own = "{ name = \"own\", density_g_cm3 = 2.8, youngs_modulus_mpa = 71700, poisson_ratio = 0.33, yield_mpa = 480, ultimate_mpa = 540 }";
    let metal = format!("material.frame={own}");
    refused(&coarse(&["--set", &metal]), &["material.frame.elongation is missing", "hint"]);
}

#[test]
fn the_stroke_of_the_bench_and_the_strength_of_a_strap_end_a_pull() {
    let folder = tempdir().unwrap();
    let told = json(folder.path(), &coarse(&["--set", "rig.stroke_mm=12"]));
    assert_eq!(told["end"]["kind"], "stroke", "{}", told["end"]);
    let steps = told["steps"].as_array().unwrap();
    let stroke = number(&steps[steps.len() - 1], "stroke_mm");
    assert!((stroke / 12.0 - 1.0).abs() < 2e-3, "{stroke}");
    assert!(told["sentence"].as_str().unwrap().contains("stroke of 12 mm"));
    let told = json(folder.path(), &coarse(&["--set", "rig.both.strap_strength_kn=2"]));
    assert_eq!(told["end"]["failure"], "upper strap");
    assert!((number(&told["end"], "load_kn") / 2.0 - 1.0).abs() < 2e-3, "{}", told["end"]);
    // No map or forecast depends on the stroke.
    let plain = json(folder.path(), &["forecast", "oval"]);
    assert_eq!(plain, json(folder.path(), &["forecast", "oval", "--set", "rig.stroke_mm=4"]));
}

#[test]
#[cfg(unix)]
fn an_interrupted_pull_keeps_what_it_reached_and_says_so() {
    let folder = tempdir().unwrap();
    let words = ["pull", "oval", "--steps", "240", "--out", "kept"];
    let mut child = Command::new(path())
        .args(words)
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    std::thread::sleep(Duration::from_secs(4));
    let pid = child.id().to_string();
    assert!(Command::new("kill").args(["-INT", &pid]).status().unwrap().success());
    let begun = Instant::now();
    while child.try_wait().unwrap().is_none() && begun.elapsed() < Duration::from_secs(60) {
        std::thread::sleep(Duration::from_millis(50));
    }
    // One that goes on all the same is not waited for.
    let _ = child.kill();
    let ran = child.wait_with_output().unwrap();
    let err = String::from_utf8(ran.stderr).unwrap();
    assert_eq!(ran.status.code(), Some(2), "{err}");
    assert!(err.contains("stopped at") && err.contains("is kept"), "{err}");
    let told: Value =
        serde_json::from_slice(&fs::read(folder.path().join("kept/pull.json")).unwrap()).unwrap();
    follows("pull", &told);
    assert_eq!((&told["stopped"], &told["end"]["kind"]), (&true.into(), &"stopped".into()));
    assert!(String::from_utf8(ran.stdout).unwrap().contains("The pull was stopped at"));
}
