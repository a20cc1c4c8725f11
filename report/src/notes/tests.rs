//! Notes in sentences.

use super::*;
use study::model::Source;

const BASE: &str = include_str!("../../../study/src/model/tests/base.toml");

fn told(text: &str, sets: &[(&str, &str)]) -> Vec<String> {
    let sets: Vec<(String, String)> =
        sets.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
    notes(&Source::of("base.toml", text).model(&sets).unwrap())
}

#[test]
fn ranges_say_what_is_used() {
    let tip = |value: &str| told(&BASE.replace("tip_mm = 14", &format!("tip_mm = {value}")), &[]);
    assert_eq!(
        tip("{ value = 14, plus_minus = '0.2 mm' }"),
        ["nose.tip_mm is 14 plus or minus 0.2; 14 is used"]
    );
    assert_eq!(
        tip("{ between = [13, '1.5 cm'] }"),
        ["nose.tip_mm is between 13 and 15; the middle 14 is used"]
    );
    assert_eq!(
        told(BASE, &[("material.gate", "unknown-aluminium")]),
        [
            "material.gate is unknown aluminium of the 7000 series: yield strength between 430 and 505 MPa, ultimate between \
          510 and 575 MPa; the middles 467.5 and 542.5 are used"
        ]
    );
}

#[test]
fn what_was_taken_is_told() {
    let both = told(BASE, &[("rig.both.kind", "bar")]);
    assert_eq!(both, ["bench bars of 12 mm are taken, since rig.both.diameter_mm is not given"]);
    let one = told(
        &format!("{BASE}[rig]\nlower = {{ kind = 'bar', diameter_mm = 10 }}\n"),
        &[("rig.lower.kind", "strap")],
    );
    assert_eq!(one, ["a strap of 12 mm is taken, since rig.lower.width_mm is not given"]);
    let half = told(BASE, &[("rig.gate", "half")]);
    assert_eq!(half, ["a pin engaged half way into the notch is taken, since rig.engaged_mm is not given"]);
    assert!(told(BASE, &[("rig.gate", "half"), ("rig.engaged_mm", "2")]).is_empty());
    let idle = told(BASE, &[("rig.engaged_mm", "2")]);
    assert_eq!(
        idle,
        ["rig.engaged_mm plays no part, since the gate is not half shut (rig.gate=half makes it so)"]
    );
}

#[test]
fn what_was_taken_is_told_in_short_as_the_sentence_begins() {
    let size = |kind, end| Taken::Size { kind, end, size_mm: 12.0 };
    let all = [
        size(LoaderKind::Strap, Some(End::Upper)),
        size(LoaderKind::Bar, None),
        Taken::HalfEngaged,
        Taken::IdleEngaged,
    ];
    for one in all {
        let (short, sentence) = (taken_in_short(one), taken(one));
        assert!(sentence.len() > short.len() && sentence.starts_with(&short), "{sentence}");
    }
}
