//! The real binary: what it prints, writes and refuses.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{refused, run, run_with_threads};
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// A model file of the broad bar with one line changed.
fn changed(folder: &Path, from: &str, to: &str) -> String {
    let text = fs::read_to_string(pullmap_tests::project().join("models/broadbar-alu.toml")).unwrap();
    assert!(text.contains(from), "the model has no `{from}`");
    let path = folder.join("changed.toml");
    fs::write(&path, text.replacen(from, to, 1)).unwrap();
    path.to_str().unwrap().to_owned()
}

fn files(folder: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn alone_it_says_what_it_is_for() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &[]);
    assert_eq!(ran.code, 0);
    assert!(ran.out.contains("pullmap map broadbar-alu"), "{}", ran.out);
    assert!(ran.out.lines().count() < 25, "one screen");
}

#[test]
fn map_writes_pictures_and_findings_and_answers_plainly() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["map", "broadbar-alu"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(
        ran.out.contains("At 10 kN the gate carries 4.3 kN, 43 %; it engages at 0.17 kN."),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("accredited laboratory"), "the caution is missing");
    let out = folder.path().join("pullmap-out/broadbar-alu");
    assert_eq!(files(&out), ["findings.json", "map.png", "map.svg"]);
    let png = fs::read(out.join("map.png")).unwrap();
    assert_eq!(&png[..8], b"\x89PNG\r\n\x1a\n");
    assert_eq!(u32::from_be_bytes(png[16..20].try_into().unwrap()), 1600);
    assert_eq!(u32::from_be_bytes(png[20..24].try_into().unwrap()), 1200);
    let svg = fs::read_to_string(out.join("map.svg")).unwrap();
    assert!(svg.contains("<title") && svg.contains("<desc"));
}

#[test]
fn a_picture_of_a_changed_model_says_what_was_changed() {
    let folder = tempdir().unwrap();
    for command in [&["map"][..], &["sketch"], &["seats"], &["forecast"], &["explain", "--broke-at", "20"]] {
        let words = [command, &["broadbar-alu", "--out", "o", "--set", "nose.notch_depth_mm=7"]].concat();
        let ran = run(folder.path(), &words);
        assert_eq!(ran.code, 0, "{words:?}: {}", ran.err);
        let svg = fs::read_to_string(folder.path().join(format!("o/{}.svg", command[0]))).unwrap();
        assert!(svg.contains("hanged: notch depth\u{a0}7\u{a0}mm"), "{command:?}");
    }
}

#[test]
fn letters_that_the_font_lacks_are_told_once_and_stay_text_in_svg() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["map", "oval", "--out", "o", "--set", "title=環 3"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(ran.out.matches("the font of the pictures has no").count(), 1, "{}", ran.out);
    assert!(fs::read_to_string(folder.path().join("o/map.svg")).unwrap().contains(">環 3</text>"));
}

#[test]
fn the_findings_follow_the_published_schema() {
    let folder = tempdir().unwrap();
    let schema: Value = serde_json::from_str(
        &fs::read_to_string(pullmap_tests::project().join("docs/findings.schema.json")).unwrap(),
    )
    .unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    for words in [
        &["map", "broadbar-alu", "--json"][..],
        &["map", "broadbar-steel", "--json"],
        &["map", "pear", "--json", "--set", "rig.gate=open"],
        &["map", "broadbar-alu", "--json", "--set", "rig.gate=half", "--set", "rig.engaged_mm=3"],
        &["map", "broadbar-alu", "--json", "--set", "rig.load_kn=0.1"],
    ] {
        let ran = run(folder.path(), words);
        assert_eq!(ran.code, 0, "{words:?}: {}", ran.err);
        let findings: Value = serde_json::from_str(&ran.out).unwrap();
        let mistakes: Vec<String> = validator.iter_errors(&findings).map(|e| e.to_string()).collect();
        assert!(mistakes.is_empty(), "{words:?}: {mistakes:?}");
    }
    assert_eq!(files(folder.path()), Vec::<String>::new(), "--json writes no file");
}

#[test]
fn the_same_input_gives_the_same_bytes_on_any_number_of_threads() {
    let folder = tempdir().unwrap();
    let read = |name: &str| {
        ["findings.json", "map.png", "map.svg", "fields.vtu", "fields.npz"]
            .map(|file| fs::read(folder.path().join(name).join(file)).unwrap())
    };
    for (name, threads) in [("one", 1), ("two", 2), ("again", 2)] {
        let fields = format!("{name}/fields.vtu");
        let words = ["map", "offset-d", "--out", name, "--fields", &fields];
        assert_eq!(run_with_threads(folder.path(), &words, threads).code, 0);
    }
    for (a, b) in [("one", "two"), ("two", "again")] {
        for (x, y) in read(a).iter().zip(&read(b)) {
            assert!(x == y, "{a} and {b} differ");
        }
    }
}

#[test]
fn running_again_overwrites_only_its_own_files() {
    let folder = tempdir().unwrap();
    fs::create_dir(folder.path().join("out")).unwrap();
    fs::write(folder.path().join("out/notes.txt"), "mine").unwrap();
    for _ in 0..2 {
        assert_eq!(run(folder.path(), &["map", "oval", "--out", "out"]).code, 0);
    }
    assert_eq!(files(&folder.path().join("out")), ["findings.json", "map.png", "map.svg", "notes.txt"]);
    assert_eq!(fs::read_to_string(folder.path().join("out/notes.txt")).unwrap(), "mine");
}

#[test]
fn several_models_get_a_folder_each() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["map", "oval", "pear", "--out", "day"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(files(&folder.path().join("day")), ["oval", "pear"]);
    let ran = run(folder.path(), &["map", "oval", "pear", "--json"]);
    let both: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(both.as_array().unwrap().len(), 2);
}

#[test]
fn fields_pictures_shapes_and_timing() {
    let folder = tempdir().unwrap();
    let mut pictures = Vec::new();
    for field in ["von-mises", "pull-direction", "principal", "trajectories"] {
        let ran = run(folder.path(), &["map", "oval", "--out", field, "--field", field]);
        assert_eq!(ran.code, 0, "{field}: {}", ran.err);
        pictures.push(fs::read(folder.path().join(field).join("map.png")).unwrap());
    }
    let ran = run(folder.path(), &["map", "oval", "--out", "shape", "--show-shape", "5", "--timing"]);
    assert_eq!(ran.code, 0);
    assert!(ran.err.contains(" ms "), "{}", ran.err);
    pictures.push(fs::read(folder.path().join("shape/map.png")).unwrap());
    // Beyond what keeps it a connector the drawn shape is held, and both answer and picture say at how much.
    assert!(!ran.out.contains("--show-shape"), "{}", ran.out);
    let far = run(folder.path(), &["map", "oval", "--out", "far", "--show-shape", "5000"]);
    let (_, most) = far.out.split_once("--show-shape 5000: allowed for this pull are up to ").unwrap();
    let most = most.split(',').next().unwrap();
    assert!((10.0..100.0).contains(&most.parse::<f64>().unwrap()), "{}", far.out);
    let told = fs::read_to_string(folder.path().join("far/map.svg")).unwrap();
    let held = run(folder.path(), &["map", "oval", "--out", "held", "--show-shape", most]);
    assert!(!held.out.contains("--show-shape"), "{}", held.out);
    assert_eq!(told, fs::read_to_string(folder.path().join("held/map.svg")).unwrap());
    for i in 0..pictures.len() {
        for j in 0..i {
            assert!(pictures[i] != pictures[j], "pictures {i} and {j} are the same");
        }
    }
}

#[test]
fn set_changes_any_key_and_both_ends() {
    let folder = tempdir().unwrap();
    let share = |sets: &[&str]| {
        let mut words = vec!["map", "broadbar-alu", "--json"];
        for set in sets {
            words.extend(["--set", set]);
        }
        let ran = run(folder.path(), &words);
        assert_eq!(ran.code, 0, "{sets:?}: {}", ran.err);
        let findings: Value = serde_json::from_str(&ran.out).unwrap();
        findings["share"]["gate_fraction"].as_f64().unwrap()
    };
    let base = share(&[]);
    assert!((share(&["rig.both.offset_mm=15"]) - 0.720).abs() < 0.006);
    assert!((share(&["rig.both.offset_mm=0.59 in"]) - share(&["rig.both.offset_mm=14.986"])).abs() < 1e-12);
    assert!((share(&["rig.load_kn=2248 lbf"]) - base).abs() < 1e-4);
    assert!(share(&["nose.notch_depth_mm=5"]) != base);
}

#[test]
fn new_writes_a_model_that_maps_and_never_overwrites() {
    let folder = tempdir().unwrap();
    assert_eq!(run(folder.path(), &["new", "mine.toml", "--like", "pear"]).code, 0);
    assert_eq!(run(folder.path(), &["map", "mine.toml", "--out", "out"]).code, 0);
    let before = fs::read(folder.path().join("mine.toml")).unwrap();
    refused(folder.path(), &["new", "mine.toml"], &["mine.toml", "--force"]);
    assert_eq!(fs::read(folder.path().join("mine.toml")).unwrap(), before);
    assert_eq!(run(folder.path(), &["new", "mine.toml", "--force"]).code, 0);
    assert_ne!(fs::read(folder.path().join("mine.toml")).unwrap(), before);
}

#[test]
fn sketch_draws_without_solving() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["sketch", "offset-d"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(files(&folder.path().join("pullmap-out/offset-d")), ["sketch.png", "sketch.svg"]);
}

#[test]
fn materials_are_listed_with_values_and_sources() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["materials"]);
    assert!(ran.code == 0 && ran.out.contains("7075-t6") && ran.out.contains("503"), "{}", ran.out);
    let ran = run(folder.path(), &["materials", "--json"]);
    let list: Value = serde_json::from_str(&ran.out).unwrap();
    assert!(list.to_string().contains("source"));
}

#[test]
fn bad_files_are_refused() {
    let folder = tempdir().unwrap();
    refused(folder.path(), &["map", "nowhere.toml"], &["nowhere.toml"]);
    fs::write(folder.path().join("not.toml"), "this is = = not\n").unwrap();
    refused(folder.path(), &["map", "not.toml"], &["not.toml:1"]);
    refused(folder.path(), &["map", "ovall"], &["oval"]);
    fs::create_dir(folder.path().join("a-folder")).unwrap();
    refused(folder.path(), &["map", "a-folder"], &["a-folder"]);
}

#[test]
fn bad_values_are_refused_with_their_line_and_what_is_allowed() {
    let folder = tempdir().unwrap();
    let refuse = |from: &str, to: &str, says: &[&str]| {
        let path = changed(folder.path(), from, to);
        refused(folder.path(), &["map", &path], says);
    };
    refuse("notch_depth_mm = 6", "notch_dept_mm = 6", &["notch_depth_mm", "changed.toml:"]);
    refuse("notch_depth_mm = 6", "notch_depth_mm = 'deep'", &["changed.toml:", "notch_depth_mm"]);
    refuse("notch_depth_mm = 6", "notch_depth_mm = -6", &["notch_depth_mm", "-6"]);
    refuse("notch_depth_mm = 6", "notch_depth_mm = nan", &["notch_depth_mm"]);
    refuse("notch_depth_mm = 6", "notch_depth_mm = 6000", &["notch_depth_mm", "6000"]);
    refuse("notch_depth_mm = 6", "notch_depth_mm = 13.9", &["notch"]);
    refuse("inside_length_mm = 60", "inside_length_mm = 20", &["changed.toml"]);
    // Several mistakes come at once.
    let path = changed(folder.path(), "notch_depth_mm = 6", "notch_depth_mm = -6\ncolour = 3");
    let ran = refused(folder.path(), &["map", &path], &["notch_depth_mm", "colour"]);
    assert!(ran.err.lines().count() >= 2);
}

#[test]
fn bad_rigs_are_refused() {
    let folder = tempdir().unwrap();
    let refuse = |set: &str, says: &[&str]| {
        refused(folder.path(), &["map", "broadbar-alu", "--set", set], says);
    };
    refuse("rig.load_kn=0", &["load_kn"]);
    refuse("rig.load_kn=-3", &["load_kn"]);
    refuse("rig.direction=across", &["across"]);
    refuse("rig.both.width_mm=60", &["width_mm"]);
    refuse("rig.upper.offset_mm=30", &["offset_mm"]);
    refuse("rig.upper.kind=rope", &["strap"]);
    refuse("window.corner_radius_mm=29", &["radi"]);
    refuse("nonsense", &["KEY=VALUE"]);
}

#[test]
fn folders_that_cannot_be_written_are_refused_and_nothing_is_left() {
    let folder = tempdir().unwrap();
    fs::write(folder.path().join("file"), "x").unwrap();
    refused(folder.path(), &["map", "oval", "--out", "file/below"], &["file"]);
    refused(folder.path(), &["map", "oval", "--out", "file"], &["file"]);
    refused(folder.path(), &["map", "oval", "--out", "out", "--fields", "file/fields.vtu"], &["file"]);
    assert_eq!(files(folder.path()), ["file"]);
}

#[test]
fn a_folder_that_cannot_be_is_told_before_anything_is_solved() {
    let folder = tempdir().unwrap();
    fs::write(folder.path().join("file"), "").unwrap();
    // A file without a mistake that gives no outline: whichever comes first is told.
    let no_outline = ["--set", "nose.flank_angle_deg=45"];
    for words in [
        &["map", "oval"][..],
        &["forecast", "oval"],
        &["seats", "oval"],
        &["explain", "oval", "--broke-at", "12", "--where", "lip"],
        &["compare", "oval", "pear"],
        &["still", "oval"],
    ] {
        let ran = run(folder.path(), &[words, &no_outline, &["--out", "file/below"]].concat());
        assert_eq!(ran.code, 2);
        assert!(ran.err.contains("cannot make the folder file/below"), "{words:?}: {}", ran.err);
    }
    refused(folder.path(), &["verify", "--out", "file/below"], &["cannot make the folder"]);
    // Nothing is made where no answer comes.
    let ran = run(folder.path(), &[&["map", "broadbar-alu"][..], &no_outline, &["--out", "later"]].concat());
    assert!(ran.code == 2 && ran.err.contains("hint: nose.flank_angle_deg"), "{}", ran.err);
    let words = [&["map", "oval"][..], &no_outline].concat();
    refused(
        folder.path(),
        &words,
        &["root of the nose running into each other", "moved by nose.flank_angle_deg"],
    );
    assert_eq!(files(folder.path()), ["file"]);
}

#[cfg(unix)]
#[test]
fn a_pipe_is_read_and_one_that_nobody_writes_into_is_not_waited_for() {
    use std::process::Command;
    let folder = tempdir().unwrap();
    let pipe = folder.path().join("pipe.toml");
    assert!(Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let words = ["sketch", "pipe.toml", "--out", "s"];
    refused(folder.path(), &words, &["pipe.toml", "a pipe that nothing is written into"]);
    let text = fs::read_to_string(pullmap_tests::project().join("models/oval.toml")).unwrap();
    let writer = std::thread::spawn(move || {
        std::thread::sleep(std::time::Duration::from_millis(300));
        fs::write(pipe, text).unwrap();
    });
    // A writer that is a little late is waited for.
    assert_eq!(run(folder.path(), &words).code, 0);
    writer.join().unwrap();
}

#[test]
fn bad_options_are_refused() {
    let folder = tempdir().unwrap();
    refused(folder.path(), &["map"], &["MODEL"]);
    refused(folder.path(), &["mapp", "oval"], &["map"]);
    refused(folder.path(), &["map", "oval", "--field", "heat"], &["von-mises"]);
    refused(folder.path(), &["map", "oval", "--mesh-size", "0"], &["0.1"]);
    refused(folder.path(), &["map", "oval", "--show-shape", "-2"], &["found -2; allowed: 0.01 to 10000"]);
    let least =
        refused(folder.path(), &["forecast", "oval", "--at-least", "-3"], &["allowed: 0.01 to 1000 kN"]);
    assert!(!least.err.contains("-- -3"), "{}", least.err);
    refused(folder.path(), &["map", "oval", "pear", "--fields", "x.vtu"], &["--fields"]);
    refused(folder.path(), &["map", "oval", "--fields", "x.txt"], &[".vtu"]);
}

#[test]
fn verify_meets_every_published_number_and_writes_a_page() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["verify", "--out", "v"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("published problems are met") && !ran.out.contains("FAIL"), "{}", ran.out);
    let page = fs::read_to_string(folder.path().join("v/verification.html")).unwrap();
    assert!(page.contains("<svg") && !page.contains("<script"));
    let ran = run(folder.path(), &["verify", "--json"]);
    let results: Value = serde_json::from_str(&ran.out).unwrap();
    assert!(results["problems"].as_array().unwrap().len() >= 57);
    assert_eq!(results["passes"], true);
}

#[test]
fn sensitivity_varies_what_is_known_within_a_range() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["map", "pear", "--sensitivity", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    for words in [
        "Sensitivity, one thing varied",
        "nose.notch_depth_mm",
        "mesh: unknowns",
        "stiffness of the straps",
        "points",
    ] {
        assert!(ran.out.contains(words), "`{words}` is missing in:\n{}", ran.out);
    }
    let ran = run(folder.path(), &["map", "broadbar-alu", "--sensitivity", "--json"]);
    let all: Value = serde_json::from_str(&ran.out).unwrap();
    let base = all["sensitivity"]["base"]["gate_fraction"].as_f64().unwrap();
    assert_eq!(all["findings"]["share"]["gate_fraction"].as_f64().unwrap(), base);
    for variation in all["sensitivity"]["variations"].as_array().unwrap() {
        let changes = variation["tried"]
            .as_array()
            .unwrap()
            .iter()
            .map(|t| (t[1]["gate_fraction"].as_f64().unwrap() - base).abs());
        let largest = changes.fold(0.0, f64::max);
        // Mesh and kept breadth hardly matter; clearance does, a little.
        if variation["numerical"] == true {
            assert!(largest < 1e-3, "{variation}");
        } else if variation["what"] == "nose.pin_clearance_mm" {
            assert!((5e-4..5e-3).contains(&largest), "{variation}");
        }
    }
}

#[test]
fn an_accuracy_is_reached_or_told_not_to_be() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["map", "broadbar-alu", "--json", "--accuracy", "2%"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let told: Value = serde_json::from_str(&ran.out).unwrap();
    let rounds = told["refinement"]["rounds"].as_array().unwrap();
    assert_eq!(told["refinement"]["reached"], true);
    assert!(rounds.len() > 1 && rounds[0]["change"].is_null());
    assert!(rounds.last().unwrap()["change"].as_f64().unwrap() <= 0.02);
    assert_eq!(rounds.last().unwrap()["unknowns"], told["findings"]["mesh"]["unknowns"]);
    let single = run_with_threads(folder.path(), &["map", "broadbar-alu", "--json", "--accuracy", "2%"], 1);
    assert_eq!(single.out, ran.out, "threads must not matter");

    // A mesh that fills the budget already leaves nothing to refine.
    let words = ["map", "broadbar-alu", "--accuracy", "0.1%", "--mesh-size", "0.26"];
    let ran = run(folder.path(), &words);
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(ran.out.contains("Note: The budget allows no finer mesh"), "{}", ran.out);
    refused(folder.path(), &["map", "oval", "--accuracy", "50%"], &["found 50%; allowed: 0.1 to 20 %"]);
}

#[test]
fn a_named_file_needs_a_folder_and_a_named_folder_is_made() {
    let folder = tempdir().unwrap();
    let says = ["there is no folder nowhere", "make that folder first"];
    refused(folder.path(), &["new", "nowhere/mine.toml"], &says);
    refused(folder.path(), &["map", "oval", "--fields", "nowhere/oval.vtu"], &says);
    refused(folder.path(), &["map", "oval", "--json", "--fields", "nowhere/oval.vtu"], &says);
    assert_eq!(files(folder.path()), Vec::<String>::new());
    assert_eq!(run(folder.path(), &["sketch", "oval", "--out", "some/where"]).code, 0);
    assert!(folder.path().join("some/where/sketch.png").is_file());
    assert_eq!(run(folder.path(), &["map", "oval", "--out", "a/b", "--fields", "a/b/oval.vtu"]).code, 0);
    assert!(folder.path().join("a/b/oval.npz").is_file());
}

#[test]
fn a_depth_of_engagement_is_taken_where_it_is_not_told_and_missed_nowhere() {
    let folder = tempdir().unwrap();
    let half = run(folder.path(), &["map", "broadbar-alu", "--set", "rig.gate=half"]);
    assert_eq!(half.code, 0, "{}", half.err);
    assert!(half.out.contains("engaged half way into the notch is taken"), "{}", half.out);
    let idle = run(folder.path(), &["map", "broadbar-alu", "--set", "rig.engaged_mm=2"]);
    assert!(idle.out.contains("rig.engaged_mm plays no part"), "{}", idle.out);
    // A file that says half shut without saying how far is not guessed at.
    let file = changed(folder.path(), "gate = \"closed\"", "gate = \"half\"");
    refused(folder.path(), &["map", &file], &["rig.engaged_mm: missing"]);
}

#[test]
fn what_a_file_holds_does_not_steer_the_terminal() {
    let folder = tempdir().unwrap();
    fs::write(folder.path().join("odd.toml"), "\"k\\u001b[31mey\" = 3\n").unwrap();
    let ran = run(folder.path(), &["map", "odd.toml"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("k\\u{1b}[31mey: found a key"), "{}", ran.err);
    assert!(!ran.err.contains('\u{1b}'));
}

#[test]
fn threads_without_end_are_refused() {
    let folder = tempdir().unwrap();
    let ran = run_with_threads(folder.path(), &["map", "broadbar-alu"], 5000);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("found 5000; allowed: 1 to 256"), "{}", ran.err);
}

/// A limit of the address space, as shared machines set it.
#[cfg(target_os = "linux")]
#[test]
fn too_little_memory_is_told_before_the_work() {
    let folder = tempdir().unwrap();
    let limited = |kilobytes: u32, arguments: &str| {
        let line = format!(
            "ulimit -v {kilobytes}; RAYON_NUM_THREADS=2 exec '{}' {arguments}",
            pullmap_tests::binary::path().display()
        );
        let ran =
            std::process::Command::new("sh").args(["-c", &line]).current_dir(folder.path()).output().unwrap();
        (ran.status.code(), String::from_utf8(ran.stderr).unwrap())
    };
    for (kilobytes, arguments, words) in [
        (100_000, "map broadbar-alu", "memory for an answer on "),
        (500_000, "map broadbar-alu --mesh-size 0.15", "hint: ask for a larger --mesh-size"),
        (290_000, "still broadbar-alu --size 3840x2160", "hint: ask for a smaller --size"),
    ] {
        let (code, told) = limited(kilobytes, arguments);
        assert_eq!(code, Some(2), "{arguments}: {told}");
        assert!(told.contains(words) && told.lines().count() == 2, "{arguments}: {told}");
    }
}

#[test]
fn a_load_far_beyond_all_is_headed_as_meaningless() {
    let folder = tempdir().unwrap();
    let at =
        |kn: &str| run(folder.path(), &["map", "broadbar-alu", "--set", &format!("rig.load_kn={kn}")]).out;
    let far = at("1000");
    assert!(far.contains("at 21.9 kN. A map of 46 times what the connector holds means nothing.\n"), "{far}");
    assert!(far.contains("neither where nor how much; ask for a load that it holds."), "{far}");
    assert!(!far.contains("can be trusted"), "{far}");
    assert!(!at("60").contains("means nothing"));
    // A strap that breaks takes nothing from the map of the connector.
    let weak = ["map", "broadbar-alu", "--set", "rig.both.strap_strength_kn=1.5"];
    let weak = run(folder.path(), &weak).out;
    assert!(weak.contains("strap would have broken") && !weak.contains("means nothing"), "{weak}");
    assert!(weak.contains("What follows is what the connector would see of a stronger strap."), "{weak}");
}

#[test]
fn shells_complete_every_command_and_every_command_has_a_manual_page() {
    let folder = tempdir().unwrap();
    let help = run(folder.path(), &["--help"]);
    let commands: Vec<&str> = help
        .out
        .split("Commands:")
        .nth(1)
        .unwrap()
        .split("Options:")
        .next()
        .unwrap()
        .lines()
        .filter_map(|line| line.strip_prefix("  ").filter(|l| !l.starts_with(' ')))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .collect();
    assert!(commands.len() > 12 && commands.contains(&"map"), "{commands:?}");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let ran = run(folder.path(), &["completions", shell]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{shell}");
        for name in &commands {
            assert!(ran.out.contains(name), "{shell}: {name}");
        }
    }
    let ran = run(folder.path(), &["manual", "--out", "pages"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    for name in &commands {
        let page = fs::read_to_string(folder.path().join(format!("pages/pullmap-{name}.1"))).unwrap();
        assert!(page.starts_with(".ie") || page.contains(".TH"), "{name}");
        assert!(page.contains(".SH NAME"), "{name}");
    }
    assert!(fs::read_to_string(folder.path().join("pages/pullmap.1")).unwrap().contains("pullmap\\-map"));
    assert_eq!(run(folder.path(), &["completions", "cmd"]).code, 2);
}
