//! `pullmap lot` by the real binary: what is told agrees with itself, limits end the program as they should, and bad values are told.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::lots::picture;
use lab::statistics::{Asked, Figures, Lot, Pull, Question};
use pullmap_tests::binary::{json, run, run_with_threads};
use pullmap_tests::pictures::{misplaced_words, png_size};
use pullmap_tests::schemas::follows;
use report::lot::answer;
use serde_json::Value;
use std::fs;
use tempfile::tempdir;

fn lot(broke: &[f64], held: &[f64]) -> Lot {
    let pulls = broke.iter().map(|kn| Pull::new(*kn, true));
    Lot::new(pulls.chain(held.iter().map(|kn| Pull::new(*kn, false))).collect()).unwrap()
}

/// Every option at once, on pulls that all broke.
const WHOLE: [&str; 13] = [
    "lot",
    "--values",
    "24.1,23.7,22.9,24.6,23.3",
    "--marking",
    "22",
    "--claim",
    "22",
    "--share",
    "99%",
    "--against",
    "25,26,27",
    "--at-least",
    "20",
];

#[test]
fn files_follow_the_schema_and_are_the_same_on_any_number_of_threads() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &[&WHOLE[..], &["--out", "one"]].concat());
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(ran.out.contains("Statistics of a few pulls") && ran.out.contains("accredited laboratory"));
    assert_eq!(run_with_threads(folder.path(), &[&WHOLE[..], &["--out", "other"]].concat(), 1).code, 0);
    for name in ["lot.json", "lot.svg", "lot.png", "lot-phone.png", "lot-phone.svg"] {
        let [one, other] = ["one", "other"].map(|out| fs::read(folder.path().join(out).join(name)).unwrap());
        assert!(one == other, "{name}");
    }
    assert_eq!(png_size(&fs::read(folder.path().join("one/lot.png")).unwrap()), [1600, 1200]);
    let told = fs::read_to_string(folder.path().join("one/lot.json")).unwrap();
    follows("lot", &serde_json::from_str(&told).unwrap());
    follows(
        "lot",
        &json(folder.path(), &["lot", "--values", "24.1,23.7,22.9,21.5+", "--marking", "22", "--claim", "3"]),
    );
    follows("lot", &json(folder.path(), &["lot", "--values", "24.1", "--claim", "22", "--against", "25"]));
}

#[test]
fn headline_table_and_json_tell_one_bound() {
    let folder = tempdir().unwrap();
    for values in ["24.1,23.7,22.9,24.6,23.3", "24.1,23.7,22.9,21.5+", "19.99,20.01,20,20.02", "24,20"] {
        let found = json(folder.path(), &["lot", "--values", values]);
        let bound = found["normal"]["bounds"][0]["kn"].as_f64().unwrap();
        let ran = run(folder.path(), &["lot", "--values", values]);
        let told = if bound > 0.01 {
            format!("{:.1} kN", (10.0 * bound).floor() / 10.0)
        } else {
            "no load".to_owned()
        };
        let rows: Vec<&str> =
            ran.out.lines().filter(|l| l.contains("95 % of the lot break above, 95 %")).collect();
        assert!(rows.len() == 1 && rows[0].contains(&told), "{values}: {told} {rows:?}");
        let headline = ran.out.lines().nth(1).unwrap();
        assert_eq!(headline, found["sentence"].as_str().unwrap());
        let said = if bound > 0.01 { told } else { "too few, or too far apart".to_owned() };
        assert!(headline.contains(&said), "{headline}");
        let svg = fs::read_to_string(folder.path().join("pullmap-out/lot/lot.svg")).unwrap();
        assert!(
            svg.contains(&format!(
                "95\u{a0}%, normal: {}",
                if bound > 0.01 { said.replace(' ', "\u{a0}") } else { "no load".to_owned() }
            )),
            "{values}"
        );
    }
}

#[test]
fn a_limit_ends_with_1_just_where_the_bound_does_not_reach_it() {
    let folder = tempdir().unwrap();
    let values = "24.1,23.7,22.9,24.6,23.3";
    let found = json(folder.path(), &["lot", "--values", values]);
    let bound = found["normal"]["bounds"][0]["kn"].as_f64().unwrap();
    for (limit, code) in [(bound - 1e-6, 0), (bound + 1e-6, 1)] {
        let ran = run(folder.path(), &["lot", "--values", values, "--at-least", &limit.to_string()]);
        assert_eq!(ran.code, code, "{limit}: {}", ran.out);
        assert_eq!(ran.out.contains("and are not reached"), code == 1);
    }
    // One pull, or none that broke, reaches nothing.
    for values in ["24.1", "24.1+,25+", "24,24,24"] {
        let ran = run(folder.path(), &["lot", "--values", values, "--at-least", "1"]);
        assert_eq!(ran.code, 1, "{values}: {}", ran.out);
    }
}

#[test]
fn a_load_asked_for_is_told_with_all_its_digits() {
    let folder = tempdir().unwrap();
    let values = "24.1,23.7,22.9,24.6,23.3,23.9,24.0,23.5";
    let bound =
        json(folder.path(), &["lot", "--values", values])["normal"]["bounds"][0]["kn"].as_f64().unwrap();
    // Below the bound, and above it when rounded to hundredths.
    let asked = ((bound * 100.0).ceil() / 100.0 - 1e-3).min(bound - 1e-7);
    for option in ["--claim", "--at-least"] {
        for (load, code) in [(asked, 0), (bound + 1e-7, if option == "--claim" { 0 } else { 1 })] {
            let ran = run(folder.path(), &["lot", "--values", values, option, &load.to_string()]);
            assert_eq!(ran.code, code, "{}", ran.out);
            let line = ran
                .out
                .lines()
                .find(|l| l.contains("may be claimed") || l.contains("were asked for"))
                .unwrap();
            assert!(line.contains(&format!("{load} kN")), "{load}: {line}");
        }
    }
    // A unit is turned into kN, and not rounded up on the way.
    let ran = run(folder.path(), &["lot", "--values", values, "--claim", "4945 lbf"]);
    assert!(ran.out.contains(&format!("{} kN", 4945.0 * 4.448_221_615_260_5e-3)), "{}", ran.out);
}

#[test]
fn what_is_taken_for_granted_stands_beside_the_load() {
    let folder = tempdir().unwrap();
    let out = |values: &str| run(folder.path(), &["lot", "--values", values]).out;
    let plain = out("24.1,23.7,22.9,24.6,23.3");
    let headline = plain.lines().nth(1).unwrap();
    assert!(headline.contains("if the lot is normal") && !headline.contains("not exact"), "{headline}");
    let held = out("24.1,23.7,22.9,21.5+");
    assert!(
        held.lines().nth(1).unwrap().contains("if the lot is normal (not exact, but on the safe side"),
        "{held}"
    );
    // Where there is no load there is no confidence in it, and where only a Weibull lot has one the headline tells it.
    let none = out("24,12,17");
    let rating = none.lines().find(|l| l.contains("mean - 3 standard deviations, n - 1")).unwrap();
    assert!(rating.trim_end().ends_with("no load"), "{rating}");
    let bounds = none.lines().find(|l| l.contains("95 % of the lot break above, 95 %")).unwrap();
    let weibull = bounds.split("no load").nth(1).unwrap().trim();
    assert!(
        weibull.ends_with("kN")
            && none.lines().nth(1).unwrap().contains(&format!("of a Weibull lot {weibull}")),
        "{none}"
    );
    // Two that are written alike make no outlier of a third.
    let three = out("24,24,25");
    assert!(three.contains("not judged") && !three.contains("an outlier"), "{three}");
    let ran = run(folder.path(), &["lot", "--values", "3000,3100,2900 lbf"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("value 1: found no unit, beside \"2900 lbf\""), "{}", ran.err);
}

#[test]
fn what_a_claim_needs_is_enough_and_one_less_is_not() {
    let folder = tempdir().unwrap();
    let claim = |values: &str, kn: &str| {
        json(folder.path(), &["lot", "--values", values, "--claim", kn])["claim"].clone()
    };
    let found = claim("24.1,23.7,22.9,24.6", "22");
    assert_eq!((found["stands"].as_bool(), found["plan"].as_str()), (Some(false), Some("pulls")));
    assert!(found["confidence_now"].as_f64().unwrap() < 0.95 && found["bound_kn"].as_f64().unwrap() < 22.0);
    let needed = usize::try_from(found["breaks_needed"].as_u64().unwrap()).unwrap();
    // Pulls with that very mean and standard deviation: half above, half below, as many as it takes.
    let normal = json(folder.path(), &["lot", "--values", "24.1,23.7,22.9,24.6"])["normal"].clone();
    let [mean, sd] = ["mean_kn", "sd_kn"].map(|key| normal[key].as_f64().unwrap());
    for (count, stands) in [(needed, true), (needed - 1, false)] {
        let pairs = count / 2;
        let n = count as f64;
        let off = sd * ((n - 1.0) / (2.0 * pairs as f64)).sqrt();
        let mut peaks: Vec<String> =
            (0..pairs).flat_map(|_| [mean - off, mean + off]).map(|kn| kn.to_string()).collect();
        if count % 2 == 1 {
            peaks.push(mean.to_string());
        }
        assert_eq!(claim(&peaks.join(","), "22")["stands"], stands, "{count}");
    }
    assert_eq!(claim("24.1,23.7,22.9,24.6", "24")["plan"], "mean_below");
    assert_eq!(claim("24.1,23.7,22.9,24.6", "23")["plan"], "lot_below");
    assert_eq!(claim("24.1,23.7,22.9,23+", "22")["plan"], "ended");
    assert_eq!(claim("24.1", "22")["plan"], "no_figures");
}

#[test]
fn bad_values_are_told_all_at_once_and_end_with_2() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &["lot", "--values", "24,,x,-3,nan,inf,1e9"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    for place in 2..=7 {
        assert!(ran.err.contains(&format!("value {place}: found ")), "{place}: {}", ran.err);
    }
    assert!(ran.err.contains("allowed: 0.001 to 10000 kN") && ran.err.contains("21.5+"), "{}", ran.err);
    for wrong in [
        &["lot"][..],
        &["lot", "--values"],
        &["lot", "--values", ""],
        &["lot", "--values", "24", "--marking", "0"],
        &["lot", "--values", "24,25", "--share", "0.9"],
        &["lot", "--values", "24,25", "--claim", "20", "--share", "1"],
        &["lot", "--values", "24,25", "--claim", "20", "--confidence", "95"],
        &["lot", "--values", "24,25", "--spread", "4%"],
        &["lot", "--values", "24,25", "--marking", "22", "--spread", "4"],
        &["lot", "--values", "24,25", "--against", "x"],
    ] {
        let ran = run(folder.path(), wrong);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{wrong:?}");
        assert!(!ran.err.contains("panicked"), "{}", ran.err);
    }
}

#[test]
fn where_no_spread_is_told_nothing_is_claimed_and_a_marking_still_judged() {
    let folder = tempdir().unwrap();
    for (values, why) in [
        ("24.1", "one_break"),
        ("24.1+", "no_break"),
        ("24,24,24", "all_equal"),
        ("24.1,25+,26+", "one_break"),
    ] {
        let found = json(folder.path(), &["lot", "--values", values, "--marking", "22", "--spread", "4%"]);
        assert_eq!((&found["normal"], &found["weibull"]), (&Value::Null, &Value::Null), "{values}");
        assert_eq!(found["no_figures"], why, "{values}");
        let by = found["marking"]["by_spread"].as_array().unwrap();
        assert_eq!((by.len(), by[0]["spread"].as_f64()), (1, Some(0.04)));
        let ran = run(folder.path(), &["lot", "--values", values, "--marking", "22"]);
        assert_eq!(ran.code, 0);
        assert!(!ran.out.contains("break above"), "{}", ran.out);
    }
    // A break below the marking is said to be so.
    let found = json(folder.path(), &["lot", "--values", "24.1,21.9", "--marking", "22"]);
    assert_eq!(found["marking"]["broke_below"], 1);
    assert!(found["marking"]["against"][0].as_str().unwrap().contains("1 of 2 breaks lies below"));
}

#[test]
fn a_hundred_thousand_pulls_are_answered() {
    let folder = tempdir().unwrap();
    // A command line holds so many in several options.
    let values: Vec<String> = (0..100_000_u32).map(|i| format!("{}", 23 + (i * 7919) % 1000 / 500)).collect();
    let options: Vec<String> =
        values.chunks(20_000).flat_map(|some| ["--values".to_owned(), some.join(",")]).collect();
    let words: Vec<&str> = std::iter::once("lot").chain(options.iter().map(String::as_str)).collect();
    let ran = run(folder.path(), &words);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(
        ran.out.starts_with("Lot of 100000 pulls: all broke\n100000 breaks, mean 23.5 kN"),
        "{}",
        &ran.out[..200]
    );
}

#[test]
fn the_words_of_the_picture_keep_clear_of_each_other_on_every_page() {
    let asked = |kn| Some(Asked { kn, share: 0.99, confidence: 0.95 });
    let spread: Vec<f64> = (0..200).map(|i| 20.0 + 0.03 * f64::from(i)).collect();
    let many: Vec<f64> = (0..900).map(|i| 20.0 + 0.005 * f64::from(i)).collect();
    let cases = [
        (
            lot(&[24.1, 23.7, 22.9, 24.6], &[]),
            Question {
                marking_kn: Some(22.0),
                claim: asked(22.1),
                against: Some(lot(&[25.0, 26.0], &[])),
                ..Question::default()
            },
        ),
        (lot(&[24.1, 23.7], &[21.5]), Question { marking_kn: Some(30.0), ..Question::default() }),
        (
            lot(&[24.1, 20.0], &[]),
            Question { marking_kn: Some(2.0), claim: asked(40.0), ..Question::default() },
        ),
        (lot(&[24.1], &[]), Question { marking_kn: Some(22.0), spread: Some(0.04), ..Question::default() }),
        (lot(&[], &[24.1, 23.0]), Question::default()),
        (lot(&[24.0; 5], &[]), Question::default()),
        (lot(&spread, &[21.0; 30]), Question { marking_kn: Some(20.0), ..Question::default() }),
        (lot(&many, &[21.0; 60]), Question { marking_kn: Some(20.0), ..Question::default() }),
    ];
    for (i, (lot, question)) in cases.into_iter().enumerate() {
        let found = Figures::of(lot, &question);
        assert!(answer(&found, &question).lines().count() > 3);
        for size in [[1600, 1200], [1080, 2340], [1080, 1920], [1920, 1080], [1080, 1080]] {
            let drawing = picture(&found, &question, None, "0123456789ab", size);
            assert_eq!(misplaced_words(&drawing), Vec::<String>::new(), "case {i} at {size:?}");
        }
    }
}
