//! Mistakes as types: key, place, problem, hint.

use super::*;
use crate::model::hint::Hint;
use crate::model::keys;
use crate::model::mistake::{Unused, WrongForm};
use crate::model::raw::{Place, Value};

/// The mistakes of the base with one line written differently.
fn with(from: &str, to: &str) -> Vec<ModelMistake> {
    assert_eq!(BASE.matches(from).count(), 1, "{from}");
    Source::of("base.toml", &BASE.replace(from, to)).model(&[]).unwrap_err().0
}

fn meant(key: &str) -> Option<Hint> {
    Some(Hint::DidYouMean(vec![key.to_owned()]))
}

#[test]
fn all_mistakes_at_once_in_the_order_of_lines() {
    let text = BASE
        .replace("upper_width_mm = 44", "uper_width_mm = 44")
        .replace("notch_depth_mm = 6", "notch_depth_mm = -6")
        .replace("frame = '7075-t6'", "frame = '7057-t6'");
    let sets = [set("nose.tpi_mm", "14")];
    let ModelErrors(found) = Source::of("base.toml", &text).model(&sets).unwrap_err();
    let keys: Vec<(&str, &Place)> = found.iter().map(|one| (one.key.as_str(), &one.place)).collect();
    assert_eq!(
        keys,
        [
            ("window.upper_width_mm", &Place::Line(2)),
            ("window.uper_width_mm", &Place::Line(4)),
            ("nose.notch_depth_mm", &Place::Line(12)),
            ("material.frame", &Place::Line(25)),
            ("nose.tpi_mm", &Place::Set(0, "nose.tpi_mm=14".to_owned())),
        ]
    );
    let width = keys::find("window.upper_width_mm").unwrap();
    assert_eq!(found[0].problem, Problem::Missing(width));
    assert_eq!(found[0].hint, Some(Hint::Give { table: "window".to_owned(), key: width }));
    assert_eq!((&found[1].problem, &found[1].hint), (&Problem::UnknownKey, &meant("window.upper_width_mm")));
    assert!(matches!(found[2].problem, Problem::OutOfRange { found: -6.0, low: 0.3, high: 30.0, .. }));
    assert!(matches!(&found[3].problem, Problem::UnknownWord { found, .. } if found == "7057-t6"));
    assert_eq!((&found[3].hint, &found[4].hint), (&meant("7075-t6"), &meant("nose.tip_mm")));
}

#[test]
fn values_of_the_wrong_form() {
    let form = |to: &str| match with("tip_mm = 14", to).remove(0).problem {
        Problem::WrongForm(form) => form,
        other => panic!("{to}: {other:?}"),
    };
    let wanted = quantity::Dimension::Length;
    assert_eq!(form("tip_mm = true"), WrongForm::NoNumber { found: Value::Flag(true), wanted });
    assert!(matches!(form("tip_mm = { between = [12] }"), WrongForm::NoRange(_)));
    assert_eq!(form("tip_mm = \u{2212}5"), WrongForm::LongDash("\u{2212}5".to_owned()));
    assert_eq!(with("title = 'base'", "title = ''")[0].problem, {
        Problem::WrongForm(WrongForm::OddText { text: String::new(), letters: 0 })
    });
    let name = with("frame = '7075-t6'", "frame = 304");
    assert_eq!(name[0].hint, Some(Hint::WriteAsText("304".to_owned())));
}

#[test]
fn keys_without_a_meaning_and_tables_of_another_name() {
    let unused = with("shape = 'oval'", "shape = 'round'");
    assert_eq!(unused[0].problem, Problem::Unused(Unused::RoundBreadth));
    assert_eq!(unused[0].hint, Some(Hint::TakeLineOut));
    let table = with("[gate]", "[gaet]");
    assert_eq!((table.len(), &table[0].hint), (1, &Some(Hint::DidYouMeanTable("gate".to_owned()))));
    let renamed = with("width_mm = 9", "width_mm = 9\ntine_mm = 3");
    assert_eq!(renamed[0].hint, Some(Hint::Renamed("gate.cheek_mm")));
}

#[test]
fn a_load_across_is_refused() {
    for rest in
        ["across_kn = 7\n", "across = true\n", "direction = 'across'\n", "upper.direction = 'across'\n"]
    {
        let text = format!("{BASE}[rig]\n{rest}");
        let ModelErrors(found) = Source::of("base.toml", &text).model(&[]).unwrap_err();
        assert_eq!((found.len(), &found[0].problem), (1, &Problem::LoadAcross), "{rest}");
    }
    let model = resolved(&format!("{BASE}[marking]\nacross_kn = 7\n"));
    assert_eq!(model.marking.across_kn, Some(7.0));
}

#[test]
fn what_is_the_same_at_both_ends_is_found_once() {
    let mistakes = |sets: &[(String, String)]| Source::of("base.toml", BASE).model(sets).unwrap_err().0;
    let found = mistakes(&[set("rig.both.foo", "1")]);
    assert_eq!((found.len(), found[0].key.as_str()), (1, "rig.both.foo"));
    assert!(matches!(&found[0].hint, Some(Hint::KeysOf { table, .. }) if table == "rig.both"));
    // What differs from end to end is told of each.
    let found = mistakes(&[set("window.lower_width_mm", "40"), set("rig.both.offset_mm", "29")]);
    let keys: Vec<&str> = found.iter().map(|one| one.key.as_str()).collect();
    assert_eq!(keys, ["rig.upper.offset_mm", "rig.lower.offset_mm"]);
}
