//! Mistakes of `--set`.

use super::*;

#[test]
fn mistakes_say_what_was_typed() {
    let told = |key: &str, value: &str| set_mistakes(&[(key, value)]).join("\n");
    assert_eq!(
        told("marking.closed_kn", "{ value = 24, plus_minus = 50 }"),
        "--set marking.closed_kn={ value = 24, plus_minus = 50 }: marking.closed_kn.plus_minus: found 24 plus or minus \
         50, that is -26 to 74 kN; allowed: 0.1 to 1000 kN"
    );
    assert_eq!(
        told("rig.both.foo", "1"),
        "--set rig.both.foo=1: rig.both.foo: found a key that no model file has\n  hint: the keys in rig.both are kind, \
         width_mm, diameter_mm, offset_mm, stiffness_n_per_mm2, strap_strength_kn"
    );
    assert!(told("rig.both.with_mm", "1").ends_with("hint: did you mean rig.both.width_mm?"));
    assert!(told("rig.load_kn", "1e300").ends_with("rig.load_kn: found 1e300 kN; allowed: 0.01 to 1000 kN"));
    // What differs from end to end is told of each.
    let found = set_mistakes(&[("window.lower_width_mm", "40"), ("rig.both.offset_mm", "29")]);
    let of = |end: &str| {
        found.iter().filter(|m| m.contains(&format!(": rig.{end}.offset_mm: found a strap"))).count()
    };
    assert_eq!((of("upper"), of("lower"), of("both")), (1, 1, 0), "{found:?}");
}

#[test]
fn mistakes_of_sets_name_the_set_and_come_last() {
    let found =
        set_mistakes(&[("nose.tpi_mm", "14"), ("rig.load_kn", "heavy"), ("rig..x", "1"), ("title.x", "1")]);
    assert_eq!(
        found[0],
        "--set nose.tpi_mm=14: nose.tpi_mm: found a key that no model file has\n  hint: did you mean nose.tip_mm?"
    );
    assert!(
        found[1].starts_with("--set rig.load_kn=heavy: rig.load_kn: found \"heavy\", which is not a number")
    );
    assert!(found[2].contains("found no key; allowed: key=value"));
    assert!(found[3].contains("title.x: found the text \"base\"; allowed: a table of keys"));
    let found = set_mistakes(&[("rig.both.offset_mm", "30")]);
    assert_eq!(found.len(), 1);
    assert!(
        found[0]
            .starts_with("--set rig.both.offset_mm=30: rig.both.offset_mm: found a strap from 24 to 36 mm")
    );
    assert!(set_mistakes(&[("rig.across_kn", "3")])[0].contains("a load across the connector"));
}

#[test]
fn what_people_type_for_a_key_or_a_value_is_told_what_to_write() {
    for ((key, value), words) in [
        (
            ("gate", "open"),
            "found the text \"open\"; allowed: a table of keys\n  hint: did you mean material.gate or rig.gate?",
        ),
        (("load", "20"), "hint: did you mean rig.load_kn?"),
        (
            ("rig", "20"),
            "hint: the keys in rig are load_kn, working_load_kn, gate, engaged_mm, friction, stroke_mm",
        ),
        (("rig.load_kn", "1/0"), "a fraction that has no value"),
        (("rig.upper.offset_mm", "\u{2013}5"), "hint: write -5, with the minus of the keyboard"),
        (("rig.upper.diameter_mm", "10"), "hint: leave it out"),
    ] {
        let sets = [(key.to_owned(), value.to_owned())];
        let found = from_text(BASE, "x.toml", &sets).unwrap_err();
        assert_eq!(found.0.len(), 1, "{found}");
        assert!(errors(&found).contains(words), "{found}");
    }
}
