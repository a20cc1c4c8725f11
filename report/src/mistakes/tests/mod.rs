//! What is said about model files that have mistakes.

mod sets;
mod values;

use super::*;
use study::model::{Model, Source};

/// A small model in which every line is known. Line numbers in the tests count from the first.
const BASE: &str = include_str!("../../../../study/src/model/tests/base.toml");

fn from_text(text: &str, file: &str, sets: &[(String, String)]) -> Result<Model, ModelErrors> {
    Source::of(file, text).model(sets)
}

fn resolved(text: &str) -> Model {
    from_text(text, "base.toml", &[]).unwrap_or_else(|found| panic!("{found}"))
}

fn mistakes(text: &str) -> Vec<String> {
    let errors = from_text(text, "base.toml", &[]).map(|model| panic!("accepted: {model:?}")).unwrap_err();
    errors.0.iter().map(mistake).collect()
}

/// The mistakes of the base with one line written differently.
fn with(from: &str, to: &str) -> Vec<String> {
    assert_eq!(BASE.matches(from).count(), 1, "{from}");
    mistakes(&BASE.replace(from, to))
}

fn set(key: &str, value: &str) -> (String, String) {
    (key.to_owned(), value.to_owned())
}

fn set_mistakes(sets: &[(&str, &str)]) -> Vec<String> {
    let sets: Vec<_> = sets.iter().map(|(key, value)| set(key, value)).collect();
    from_text(BASE, "base.toml", &sets).unwrap_err().0.iter().map(mistake).collect()
}

#[test]
fn all_mistakes_at_once_in_the_order_of_lines() {
    let text = BASE
        .replace("upper_width_mm = 44", "uper_width_mm = 44")
        .replace("notch_depth_mm = 6", "notch_depth_mm = -6")
        .replace("height_mm = 10", "height_mm = '10 kN'")
        .replace("frame = '7075-t6'", "frame = '7057-t6'");
    let found = mistakes(&text);
    assert_eq!(
        found,
        [
            "base.toml:2: window.upper_width_mm: missing. Width inside at the upper end (the nose end), as if its \
             corners were sharp\n  hint: in [window] write upper_width_mm = a number of 5 to 300 mm, or upper_over_all_mm instead",
            "base.toml:4: window.uper_width_mm: found a key that no model file has\n  hint: did you mean \
             window.upper_width_mm?",
            "base.toml:12: nose.notch_depth_mm: found -6 mm; allowed: 0.3 to 30 mm",
            "base.toml:18: hinge.height_mm: found \"10 kN\", a force; allowed: a length in mm, cm, m or in\n  hint: write it like \
             \"14 mm\", \"14 ± 0.2\" or \"12 to 15\"",
            "base.toml:25: material.frame: found \"7057-t6\"; allowed: 7075-t6, 6082-t6, 4340-125, 4340-150, 4340-180, \
             4340-200, 4340-260, 304, 316, 17-4ph-h900, unknown-aluminium, unknown-steel\n  hint: did you mean 7075-t6?",
        ]
    );
}

#[test]
fn tables_that_are_not_and_keys_that_are_not() {
    let found = mistakes("rig = 3\nsection.spine = 'round'\nwindow = [1]\n");
    assert!(
        found.iter().any(|m| {
            m == "base.toml:1: rig: found the number 3; allowed: a table of keys\n  hint: the keys in rig are load_kn, working_load_kn, gate, \
                  engaged_mm, friction, stroke_mm"
        }),
        "{found:#?}"
    );
    assert!(found.iter().any(|m| m.starts_with("base.toml:2: section.spine: found the text")), "{found:#?}");
    assert!(found.iter().any(|m| m.starts_with("base.toml:3: window: found a list of 1; ")), "{found:#?}");
    assert!(found.iter().any(|m| m.starts_with("base.toml: nose.tip_mm: missing")), "{found:#?}");
    assert!(with("[gate]", "[gaet]")[0].ends_with("hint: did you mean [gate]?"));
    assert!(with("lip_height_mm", "lip_heigth_mm")[1].ends_with("hint: did you mean nose.lip_height_mm?"));
    assert!(
        mistakes(&format!("{BASE}[rig]\nclosed_kn = 20\n"))[0]
            .ends_with("hint: did you mean marking.closed_kn?")
    );
    assert_eq!(mistakes("tip_mm 14\n")[0].find("base.toml:1: not TOML: "), Some(0));
    assert!(mistakes("").len() > 10);
    // What a table of a slightly wrong name holds is not missing as well.
    assert_eq!(with("[hinge]", "[hinges]").len(), 1);
    // What stands twice is told with its name and its first line.
    assert_eq!(
        with("[hinge]", "tip_mm = 15\n[hinge]"),
        ["base.toml:17: not TOML: tip_mm stands here a second time, first on line 11; allowed: once"]
    );
    assert_eq!(
        with("[hinge]", "[window]\n[hinge]"),
        ["base.toml:17: not TOML: [window] stands here a second time, first on line 2; allowed: once"]
    );
}

#[test]
fn words() {
    let found = with("shape = 'oval'", "shape = 'ovl'");
    assert_eq!(
        found,
        [
            "base.toml:7: section.spine.shape: found \"ovl\"; allowed: round, oval, rectangle, i\n  hint: did you mean oval?"
        ]
    );
    assert!(with("shape = 'oval'", "shape = 3")[0].contains("found the number 3; allowed: a text in quotes"));
    assert!(with("frame = '7075-t6'", "frame = 304")[0].ends_with("hint: write \"304\" in quotes"));
    assert!(
        with("title = 'base'", "title = ''")[0].starts_with("base.toml:1: title: found \"\" of 0 letters")
    );
}

#[test]
fn of_very_many_mistakes_the_first_are_told_and_the_rest_counted() {
    let text = "[nose]\n".repeat(100_000);
    let found = from_text(&text, "many.toml", &[]).unwrap_err();
    assert_eq!(found.0.len(), 99_999);
    let told = errors(&found);
    let lines: Vec<&str> = told.lines().collect();
    assert_eq!(lines.len(), 31);
    assert!(lines[0].starts_with("many.toml:2: ") && lines[29].starts_with("many.toml:31: "), "{told}");
    assert_eq!(lines[30], "and 99,969 more mistakes of the same file");
    // What was typed is told all the same.
    let mut all: String = BASE.to_owned();
    for at in 0..31 {
        all.push_str(&format!("[unknown{at}]\n"));
    }
    let told = errors(&from_text(&all, "many.toml", &[set("nose.tpi_mm", "1")]).unwrap_err());
    assert!(told.contains("\nand 1 more mistake of the same file\n--set nose.tpi_mm=1: "), "{told}");
}

#[test]
fn values_as_people_write_them_are_told_what_to_write() {
    for (to, words) in [
        ("tip_mm = 12,5 # mm", "found \"12,5\" with a comma; allowed: a decimal point\n  hint: write 12.5"),
        (
            "tip_mm = 10,5 mm",
            "found \"10,5 mm\" with a comma; allowed: a decimal point\n  hint: write \"10.5 mm\", in quotes",
        ),
        (
            "tip_mm = 1 1/4 in",
            "found 1 1/4 in without quotes; allowed: a number, or a number with its unit in quotes\n  hint: write \"1 1/4 in\", in quotes",
        ),
        (
            "tip_mm = 14 ± 0.2",
            "found 14 ± 0.2 without quotes; allowed: a number, or a number with its unit in quotes\n  hint: write \"14 ± 0.2\", in quotes",
        ),
        (
            "tip_mm = half",
            "found half without quotes; allowed: a number, or a text in quotes\n  hint: write it like \"14 mm\", \"14 ± 0.2\" or \
             \"12 to 15\"",
        ),
        (
            "tip_mm = \u{2212}5",
            "found \u{2212}5 with a long dash; allowed: the minus of the keyboard\n  hint: write -5",
        ),
    ] {
        let told = with("tip_mm = 14", to);
        assert_eq!(told, [format!("base.toml:11: {words}")], "{to}");
    }
}
