//! Values by what a caliper reads, marks of what is still the example's, and places that nobody entered.

use super::*;
use crate::model::misfit::{Least, Misfit};
use crate::model::raw::Place;
use geometry::caliper::Measure;

const MODELS: [&str; 5] = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"];
const READ: [(&str, &str, Measure); 6] = [
    ("window.inside_length_mm", "window.overall_length_mm", Measure::OverallLength),
    ("window.inside_length_mm", "window.clear_length_mm", Measure::ClearLength),
    ("window.upper_width_mm", "window.upper_over_all_mm", Measure::UpperOverAll),
    ("window.lower_width_mm", "window.lower_over_all_mm", Measure::LowerOverAll),
    ("nose.tip_mm", "nose.tip_over_bar_mm", Measure::TipOverBar),
    ("hinge.height_mm", "hinge.pin_to_pin_mm", Measure::PinToPin),
];

/// The lengths of a connector that a caliper may give.
fn own(model: &Model) -> [f64; 5] {
    let (window, connector) = (&model.connector.window, &model.connector);
    let (tip, height) = (connector.nose.tip_mm, connector.hinge.height_mm);
    [window.inside_length_mm, window.upper_width_mm, window.lower_width_mm, tip, height]
}

/// The text of a file with the lines of some keys taken out and others put in.
fn text_with(text: &str, out: &[&str], put: &[(String, String)]) -> String {
    let mut table = raw::parse(text).unwrap();
    for path in out {
        let (first, name) = path.split_once('.').unwrap();
        let raw::Value::Table(inner) = &mut table.get_mut(first).unwrap().value else { panic!("{path}") };
        inner.remove(name);
    }
    assert!(set::apply(&mut table, &set::typed(put)).refused.is_empty());
    table.iter().map(|(key, entry)| format!("{key} = {}\n", entry.value.to_toml())).collect()
}

#[test]
fn either_set_of_keys_gives_the_same_outline() {
    for name in MODELS {
        let source = of_the_program(name);
        let model = source.model(&[]).unwrap();
        let reads = |measure: Measure| measure.read(&model.connector).unwrap().to_string();
        let all = |length: usize| READ.iter().enumerate().filter(move |(at, _)| *at != 1 - length);
        let alone = READ.iter().map(|one| vec![one]);
        let together = [0, 1].map(|length| all(length).map(|(_, one)| one).collect::<Vec<_>>());
        for given in alone.chain(together) {
            let out: Vec<&str> = given.iter().map(|(own, ..)| *own).collect();
            let put: Vec<(String, String)> =
                given.iter().map(|(_, key, measure)| set(key, &reads(*measure))).collect();
            let twin = Source::of("twin.toml", &text_with(&source.text, &out, &put)).model(&[]);
            let by_set = source.model(&put).unwrap_or_else(|errors| panic!("{name} {put:?}: {errors}"));
            let twin = twin.unwrap_or_else(|errors| panic!("{name} {put:?}: {errors}"));
            for other in [&twin, &by_set] {
                for (a, b) in own(other).into_iter().zip(own(&model)) {
                    assert!((a - b).abs() < 1e-9, "{name} {put:?}: {a} {b}");
                }
                let told: Vec<&str> = other.converted.iter().map(|one| one.key).collect();
                assert_eq!(told, given.iter().map(|(_, key, _)| *key).collect::<Vec<_>>());
                assert!(other.converted.iter().all(|one| one.own_mm.is_finite()));
            }
            assert_eq!(twin.connector, by_set.connector);
        }
    }
}

#[test]
fn two_of_a_kind_and_none_of_it_are_told_with_both_keys() {
    let [inside, overall] =
        ["window.inside_length_mm", "window.overall_length_mm"].map(|path| keys::find(path).unwrap());
    let text = BASE.replace("inside_length_mm = 60\n", "inside_length_mm = 60\noverall_length_mm = 88\n");
    assert_ne!(text, BASE);
    let ModelErrors(found) = Source::of("base.toml", &text).model(&[]).unwrap_err();
    assert_eq!((found.len(), &found[0].problem), (1, &Problem::BothGiven([inside, overall])));
    assert_eq!(found[0].key, overall.path);
    let sets = [set("window.inside_length_mm", "60"), set("window.overall_length_mm", "88")];
    let ModelErrors(found) = Source::of("base.toml", BASE).model(&sets).unwrap_err();
    assert_eq!((found.len(), &found[0].problem), (1, &Problem::BothGiven([inside, overall])));
    assert!(matches!(found[0].place, Place::Set(1, _)));
    let ModelErrors(found) =
        Source::of("base.toml", &BASE.replace("inside_length_mm = 60\n", "")).model(&[]).unwrap_err();
    assert_eq!(found[0].problem, Problem::Missing(inside));
    // Whatever else is wrong is told as well, and what cannot be read is no second mistake.
    let text =
        text_with(BASE, &["nose.tip_mm"], &[set("nose.tip_over_bar_mm", "-3"), set("gate.width_mm", "900")]);
    let ModelErrors(found) = Source::of("base.toml", &text).model(&[]).unwrap_err();
    let keys: Vec<&str> = found.iter().map(|one| one.key.as_str()).collect();
    assert_eq!(keys, ["gate.width_mm", "nose.tip_over_bar_mm"]);
}

#[test]
fn what_no_connector_reads_is_told_under_its_key() {
    for (key, value) in [
        ("window.overall_length_mm", "20"),
        ("window.upper_over_all_mm", "20"),
        ("nose.tip_over_bar_mm", "15"),
        ("hinge.pin_to_pin_mm", "80"),
        ("hinge.pin_to_pin_mm", "3"),
    ] {
        let ModelErrors(found) = Source::of("base.toml", BASE).model(&[set(key, value)]).unwrap_err();
        let Problem::DoesNotFit(Misfit::NoneReads { found_mm, possible_mm: Some([low, high]) }) =
            found[0].problem
        else {
            panic!("{key}: {found:?}")
        };
        assert_eq!((found[0].key.as_str(), found_mm.to_string().as_str()), (key, value));
        assert!(low < high && !(low..=high).contains(&found_mm), "{key} {low} {high}");
        // A hair within what is told is a connector, as far as the window decides.
        let within = if found_mm < low { low + 1e-6 } else { high - 1e-6 };
        let again = Source::of("base.toml", BASE).model(&[set(key, &within.to_string())]);
        let none_reads =
            |one: &ModelMistake| matches!(one.problem, Problem::DoesNotFit(Misfit::NoneReads { .. }));
        assert!(again.map_or_else(|errors| !errors.0.iter().any(none_reads), |_| true), "{key} {within}");
    }
    // Lip and notch have no room: told as a reading over the bar, 14 more than the tip.
    let tall = [set("nose.tip_over_bar_mm", "24"), set("nose.lip_height_mm", "9")];
    let ModelErrors(found) = Source::of("base.toml", BASE).model(&tall).unwrap_err();
    let Problem::DoesNotFit(Misfit::UnderLeast { found_mm, least_mm, reason: Least::LipAndNotch }) =
        found[0].problem
    else {
        panic!("{found:?}")
    };
    assert_eq!(found[0].key, "nose.tip_over_bar_mm");
    assert!((found_mm - 24.0).abs() < 1e-9 && (least_mm - (9.0 + 4.3 + 14.0)).abs() < 1e-9);
}

#[test]
fn a_range_of_a_reading_is_one_of_what_is_known() {
    let sets = [set("window.overall_length_mm", "{ value = 88, plus_minus = 0.4 }")];
    let model = Source::of("base.toml", BASE).model(&sets).unwrap();
    assert!((model.connector.window.inside_length_mm - 60.0).abs() < 1e-10);
    assert_eq!(model.spreads[0].key, "window.overall_length_mm");
    let longer = model.with_numbers(&[("window.overall_length_mm", 88.4)]).unwrap();
    assert!((longer.connector.window.inside_length_mm - 60.4).abs() < 1e-10);
    assert_eq!(crate::unknowns::unknowns(&model)[0].at(1.0, &model).unwrap().connector, longer.connector);
}

#[test]
fn an_opening_is_kept_and_changes_nothing() {
    let model = Source::of("base.toml", BASE).model(&[set("gate.opening_mm", "21")]).unwrap();
    assert_eq!((model.opening_mm, &model.connector), (Some(21.0), &resolved(BASE).connector));
}

#[test]
fn marks_are_counted_until_they_go() {
    let mark = |text: &str, line: &str| text.replace(line, &format!("{line} # {MARK}"));
    let text = mark(&mark(BASE, "tip_mm = 14"), "inside_length_mm = 60");
    let source = Source::of("base.toml", &text);
    let model = source.model(&[]).unwrap();
    assert_eq!(model.marked, ["window.inside_length_mm", "nose.tip_mm"]);
    assert_eq!(model.notes(), [Note::Marked(&model.marked)]);
    assert_eq!(model, resolved(BASE));
    let set_one = source.model(&[set("nose.tip_mm", "14")]).unwrap();
    assert_eq!(set_one.marked, ["window.inside_length_mm"]);
    assert!(
        source
            .model(&[set("nose.tip_over_bar_mm", "28"), set("window.clear_length_mm", "60")])
            .unwrap()
            .marked
            .is_empty()
    );
    // Other comments are none of ours.
    assert!(resolved(&BASE.replace("tip_mm = 14", "tip_mm = 14 # as the example's was")).marked.is_empty());
}

#[test]
fn a_place_is_entered_by_file_or_set_and_not_by_a_mark() {
    let entered = |text: &str, sets: &[(String, String)]| {
        Source::of("a.toml", text).model(sets).unwrap().places_entered
    };
    assert_eq!(entered(BASE, &[]), [false; 2]);
    assert_eq!(entered(BASE, &[set("rig.upper.offset_mm", "0")]), [true, false]);
    let told = format!("{BASE}[rig.upper]\noffset_mm = 0 # {MARK}\n[rig.lower]\noffset_mm = 0\n");
    assert_eq!(entered(&told, &[]), [false, true]);
}
