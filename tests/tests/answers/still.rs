//! `pullmap still`: the real binary, and its pictures.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::args::{Field, StillKind};
use explorer::comparing::{Compared, compute, requested};
use explorer::mapping::Shown;
use explorer::stills::still;
use pullmap_tests::binary::{run, run_with_threads};
use pullmap_tests::model;
use pullmap_tests::pictures::{misplaced_words, png_size};
use report::compare::{beyond, title};
use solver::system::SystemSettings;
use std::fs;
use tempfile::tempdir;

const SIZES: [[u32; 2]; 3] = [[1920, 1080], [1080, 1920], [1080, 1080]];

#[test]
fn all_sizes_come_with_caption_alternative_text_and_source() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["still", "broadbar-alu", "--out", "out"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let out = folder.path().join("out");
    for [w, h] in SIZES {
        assert_eq!(png_size(&fs::read(out.join(format!("still-{w}x{h}.png"))).unwrap()), [w, h]);
        let svg = fs::read_to_string(out.join(format!("still-{w}x{h}.svg"))).unwrap();
        assert!(svg.contains("the spine carries 5.7 kN") && svg.contains("accredited laboratory"), "{w}x{h}");
    }
    let text = fs::read_to_string(out.join("still.txt")).unwrap();
    let sentence = "At 10 kN the gate carries 43 %; the frame opens first, at 21.9 kN.";
    assert!(text.starts_with(&format!("Caption: {sentence}\n")), "{text}");
    for part in ["Alternative text: ", "Of 10.0 kN the spine carries", "Source: pullmap ", "inputs "] {
        assert!(text.contains(part), "`{part}` is missing in {text}");
    }
    // The hash of the picture is the one that a map of the same inputs carries.
    let hash = text.split("inputs ").nth(1).unwrap().lines().next().unwrap();
    assert_eq!(hash, model("broadbar-alu", &[]).inputs_hash(&SystemSettings::default()));
}

#[test]
fn sizes_can_be_chosen_and_the_ground_left_out() {
    let folder = tempdir().unwrap();
    let words = [
        "still",
        "oval",
        "--size",
        "3840x2160,1080x1080",
        "--transparent",
        "--kind",
        "forecast",
        "--out",
        "o",
    ];
    assert_eq!(run(folder.path(), &words).code, 0);
    let out = folder.path().join("o");
    let mut names: Vec<String> =
        fs::read_dir(&out).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    assert_eq!(
        names,
        [
            "still-1080x1080.png",
            "still-1080x1080.svg",
            "still-3840x2160.png",
            "still-3840x2160.svg",
            "still.txt"
        ]
    );
    let png = fs::read(out.join("still-3840x2160.png")).unwrap();
    assert_eq!(png_size(&png), [3840, 2160]);
    assert_eq!(png[25], 6, "red, green, blue and alpha");
}

#[test]
fn the_same_bytes_on_one_thread_and_on_two() {
    let bytes = [1, 2].map(|threads| {
        let folder = tempdir().unwrap();
        let words = ["still", "pear", "--vary", "rig.gate=closed,open", "--out", "out"];
        assert_eq!(run_with_threads(folder.path(), &words, threads).code, 0);
        let mut files: Vec<_> =
            fs::read_dir(folder.path().join("out")).unwrap().map(|e| e.unwrap().path()).collect();
        files.sort();
        files.iter().map(|path| fs::read(path).unwrap()).collect::<Vec<_>>()
    });
    assert_eq!(bytes[0].len(), 7);
    assert!(bytes[0] == bytes[1], "the number of threads changes the files");
}

#[test]
fn bad_input_is_refused_with_everything_that_is_wrong() {
    let folder = tempdir().unwrap();
    for (words, says) in [
        (
            &["still", "oval", "pear", "--kind", "map", "--vary", "rig.load_kn=1,2"][..],
            &["found 2 models; allowed: 1", "allowed: with --kind compare"][..],
        ),
        (&["still", "oval", "--kind", "compare"], &["found 1 variant"]),
        (&["still", "oval", "pear", "offset-d"], &["found 3 variants; allowed: 2 on a still"]),
        (&["still", "oval", "--size", "100x100"], &["allowed: 1920x1080"]),
        (&["still", "ovl"], &["did you mean the built-in model oval"]),
        (
            &["still", "oval", "--set", "rig.load_kn=0", "--set", "nose.tipp_mm=3"],
            &["rig.load_kn", "tipp_mm"],
        ),
    ] {
        let ran = run(folder.path(), words);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words:?}: {ran:?}");
        for text in says {
            assert!(ran.err.contains(text), "{words:?}: `{text}` is missing in:\n{}", ran.err);
        }
    }
    assert!(fs::read_dir(folder.path()).unwrap().next().is_none(), "nothing is written");
}

/// Draws a kind in every size and checks its words.
fn check(kind: StillKind, compared: &Compared) {
    let shown: Vec<Shown<'_>> =
        compared.variants.iter().map(|c| Shown::new(&c.mapped, &c.model.title, 0.0)).collect();
    let scene = still(kind, compared, &shown, Field::VonMises, false).unwrap();
    let name = title(compared);
    for [w, h] in SIZES {
        let drawing = scene.still.drawing(w, h);
        assert_eq!(misplaced_words(&drawing), Vec::<String>::new(), "{name} {kind:?} {w}x{h}");
        let said = drawing.texts();
        let whole: String = said.iter().map(|t| format!("{} ", t.words)).collect();
        for line in said.iter().filter(|t| scene.still.sentence.contains(&t.words) && t.words.contains(' ')) {
            if line.words.len() > 16 {
                // A line about a load that is too high takes room from the statement where height is scarce.
                let part = if beyond(compared).is_some() && h <= w { 0.7 } else { 1.0 };
                let least = part * drawing.height / 30.0;
                assert!(line.size >= least - 1e-9, "{name} {w}x{h}: '{}' is small", line.words);
            }
        }
        for sign in scene.still.sentence.split(' ') {
            assert!(whole.contains(sign), "{name} {kind:?} {w}x{h}: '{sign}' of the statement is missing");
        }
        assert!(whole.contains("accredited laboratory") || whole.contains("laboratory"), "caution");
        assert!(
            whole.contains(&compared.variants[0].hash) || whole.contains(&compared.hash()),
            "source hash"
        );
        assert!(!whole.contains('…'), "{name} {kind:?} {w}x{h}: cut words in {whole}");
    }
}

#[test]
fn words_stay_on_the_page_and_clear_of_each_other() {
    let settings = SystemSettings::default();
    let names = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"].map(str::to_owned);
    for name in &names {
        let gates = Some(("rig.gate".to_owned(), "closed,open".to_owned()));
        let asked = requested(std::slice::from_ref(name), &[], gates.as_ref()).unwrap();
        let mut compared = compute(asked, &settings).unwrap();
        check(StillKind::Compare, &compared);
        for _ in 0..2 {
            compared.variants.reverse();
            check(StillKind::Map, &compared);
            check(StillKind::Forecast, &compared);
        }
    }
    let asked = requested(&names[..2], &[], None).unwrap();
    check(StillKind::Compare, &compute(asked, &settings).unwrap());
    let offsets = Some(("rig.both.offset_mm".to_owned(), "-15,15".to_owned()));
    let asked = requested(&names[..1], &[], offsets.as_ref()).unwrap();
    check(StillKind::Compare, &compute(asked, &settings).unwrap());
}

#[test]
fn a_long_statement_is_never_cut_and_tells_a_load_beyond_what_parts_bear() {
    let settings = SystemSettings::default();
    let lips = Some(("nose.lip_on".to_owned(), "frame,gate".to_owned()));
    let asked = requested(&["pear".to_owned()], &[], lips.as_ref()).unwrap();
    let mut compared = compute(asked, &settings).unwrap();
    // The lip on the gate gives at 5.4 kN, and the rig pulls at 10.
    let told = "Above what lip on gate holds: stresses tell where, not how much.";
    assert_eq!(beyond(&compared).as_deref(), Some(told));
    let kinds = |alone: bool| match alone {
        true => vec![StillKind::Map, StillKind::Forecast],
        false => vec![StillKind::Compare],
    };
    for alone in [false, true] {
        if alone {
            compared.variants.remove(0);
        }
        for kind in kinds(alone) {
            let shown: Vec<Shown<'_>> =
                compared.variants.iter().map(|c| Shown::new(&c.mapped, &c.model.title, 0.0)).collect();
            let scene = still(kind, &compared, &shown, Field::VonMises, false).unwrap();
            for [w, h] in SIZES {
                let drawing = scene.still.drawing(w, h);
                assert_eq!(misplaced_words(&drawing), Vec::<String>::new(), "{kind:?} {w}x{h}");
                let lines: Vec<&str> = drawing.texts().into_iter().map(|t| t.words.as_str()).collect();
                let whole = lines.join(" ");
                assert!(whole.contains(&scene.still.sentence), "{kind:?} {w}x{h}: {whole}");
                assert!(whole.contains("stresses tell where, not how much."), "{kind:?} {w}x{h}: {whole}");
                assert!(!whole.contains('…'), "{kind:?} {w}x{h}: {whole}");
            }
        }
    }
}
