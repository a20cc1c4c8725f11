//! From outline to what a caliper reads, and back to the outline.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::source::{builtin, load_argument};
use geometry::caliper::{Asked, Caliper, Measure, connector_reading};
use geometry::connector::Connector;
use geometry::connector::GatePlace;
use geometry::outline::Outline;
use pullmap_tests::binary::{Ran, run};
use pullmap_tests::drawn;
use rayon::prelude::*;
use serde_json::Value;
use solver::system::{System, SystemSettings, drawn_mass_g};
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// Connectors that are read.
const CONNECTORS: usize = 500;

fn own(connector: &Connector) -> [f64; 5] {
    let window = &connector.window;
    [
        window.inside_length_mm,
        window.upper_width_mm,
        window.lower_width_mm,
        connector.nose.tip_mm,
        connector.hinge.height_mm,
    ]
}

/// The connector without the values that `measures` take the place of.
fn without(connector: &Connector, measures: &[Measure]) -> Connector {
    let mut from = connector.clone();
    for measure in measures {
        let value = match measure {
            Measure::OverallLength | Measure::ClearLength => &mut from.window.inside_length_mm,
            Measure::UpperOverAll => &mut from.window.upper_width_mm,
            Measure::LowerOverAll => &mut from.window.lower_width_mm,
            Measure::TipOverBar => &mut from.nose.tip_mm,
            Measure::PinToPin | Measure::GateOpening => &mut from.hinge.height_mm,
        };
        *value = f64::NAN;
    }
    from
}

#[test]
fn drawn_connectors_are_found_again_from_what_a_caliper_reads() {
    use Measure::{ClearLength, LowerOverAll, OverallLength, PinToPin, TipOverBar, UpperOverAll};
    let fits = |index: u64| {
        let (connector, _) = drawn::connector(index);
        Caliper::read(&connector).ok().map(|read| (index, connector, read))
    };
    let all: Vec<(u64, Connector, Caliper)> = (0..).filter_map(fits).take(CONNECTORS).collect();
    let mixes: [&[Measure]; 8] = [
        &[OverallLength, UpperOverAll, LowerOverAll, TipOverBar, PinToPin],
        &[ClearLength, UpperOverAll, LowerOverAll, TipOverBar, PinToPin],
        &[OverallLength],
        &[ClearLength],
        &[UpperOverAll],
        &[LowerOverAll, PinToPin],
        &[TipOverBar],
        &[PinToPin],
    ];
    all.par_iter().for_each(|(index, connector, read)| {
        // A gate that strikes the frame before it is out of the nose opens by nothing.
        let possible = |measure: &Measure| {
            read.of(*measure) > 0.0 || (*measure == Measure::GateOpening && read.gate_opening_mm == 0.0)
        };
        assert!(Measure::ALL.iter().all(possible), "{index}: {read:?}");
        for measures in mixes {
            let asked: Vec<Asked> = measures
                .iter()
                .map(|measure| Asked { measure: *measure, mm: read.of(*measure), range_mm: [2.0, 500.0] })
                .collect();
            let found = connector_reading(&without(connector, measures), &asked, false)
                .unwrap_or_else(|unread| panic!("{index} {measures:?}: {unread:?}"));
            for measure in Measure::ALL.into_iter().filter(|measure| *measure != Measure::GateOpening) {
                let off = measure.read(&found).unwrap() - read.of(measure);
                assert!(off.abs() < 1e-9, "{index} {measures:?} {measure:?}: {off:e}");
            }
            for (a, b) in own(&found).into_iter().zip(own(connector)) {
                assert!((a - b).abs() < 1e-9, "{index} {measures:?}: {a} against {b}");
            }
        }
    });
}

fn ran(folder: &Path, words: &[&str]) -> Ran {
    let ran = run(folder, words);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{words:?}");
    ran
}

fn json(folder: &Path, words: &[&str]) -> Value {
    serde_json::from_str(&ran(folder, words).out).unwrap()
}

#[test]
fn a_file_with_what_a_caliper_reads_is_forecast_as_its_twin() {
    let folder = tempdir().unwrap();
    let read = Caliper::read(&load_argument("offset-d", &[]).unwrap().connector).unwrap();
    let mut text = builtin::find("offset-d").unwrap().to_owned();
    for (line, key, value) in [
        ("inside_length_mm = 74\n", "overall_length_mm", read.overall_length_mm),
        ("upper_width_mm = 38\n", "upper_over_all_mm", read.upper_over_all_mm),
        ("lower_width_mm = 28\n", "lower_over_all_mm", read.lower_over_all_mm),
        ("tip_mm = 14\n", "tip_over_bar_mm", read.tip_over_bar_mm),
        ("height_mm = 9\n", "pin_to_pin_mm", read.pin_to_pin_mm),
    ] {
        assert!(text.contains(&format!("\n{line}")), "{line}");
        text = text.replacen(&format!("\n{line}"), &format!("\n{key} = {value}\n"), 1);
    }
    fs::write(folder.path().join("read.toml"), text).unwrap();
    let mut forecast = json(folder.path(), &["forecast", "read.toml", "--json"]);
    let mut twin = json(folder.path(), &["forecast", "offset-d", "--json"]);
    let (told, of_twin) = (forecast["notes"].take(), twin["notes"].take());
    assert_eq!((told.as_array().unwrap().len(), of_twin.as_array().unwrap().len()), (5, 0));
    assert_eq!(forecast, twin);
    assert!(told[0].as_str().unwrap().starts_with("window.overall_length_mm"), "{told}");
    // In map and sketch as well.
    let map = json(folder.path(), &["map", "read.toml", "--json", "--mesh-size", "2"]);
    let sketch = ran(folder.path(), &["sketch", "read.toml"]).out;
    for note in told.as_array().unwrap() {
        assert!(map["warnings"].as_array().unwrap().contains(note), "{note}");
        assert!(sketch.contains(note.as_str().unwrap()), "{note}");
    }
}

#[test]
fn a_form_is_drawn_and_forecast_and_tells_what_is_still_the_examples() {
    let folder = tempdir().unwrap();
    ran(folder.path(), &["new", "mine.toml"]);
    let text = fs::read_to_string(folder.path().join("mine.toml")).unwrap();
    let marked = text.lines().filter(|line| !line.starts_with('#') && line.ends_with("# example's")).count();
    assert!(marked > 30, "{marked}");
    let told = |count: usize| format!("{count} values are still the example's: ");
    assert!(ran(folder.path(), &["sketch", "mine.toml"]).out.contains(&told(marked)));
    let forecast = ran(folder.path(), &["forecast", "mine.toml"]).out;
    assert!(forecast.contains(&told(marked)) && forecast.contains("pullmap seats mine.toml"), "{forecast}");
    // One measured, one set, and both places entered.
    let measured = text.replace("inside_length_mm = 60 # example's", "overall_length_mm = 88.4");
    fs::write(folder.path().join("mine.toml"), measured).unwrap();
    let sets = ["--set", "gate.width_mm=9", "--set", "rig.both.offset_mm=0"];
    let words = [&["map", "mine.toml", "--mesh-size", "2"][..], &sets].concat();
    let map = ran(folder.path(), &words).out;
    assert!(map.contains(&told(marked - 4)) && !map.contains("pullmap seats"), "{map}");
    assert!(map.contains("window.overall_length_mm 88.4: inside length 60.4 mm"), "{map}");
    let built_in = ran(folder.path(), &["map", "broadbar-alu", "--mesh-size", "2"]).out;
    assert!(!built_in.contains("example's") && !built_in.contains("pullmap seats"), "{built_in}");
}

#[test]
fn a_sketch_tells_the_opening_beside_the_measured_one_and_the_mass_of_a_map() {
    let folder = tempdir().unwrap();
    let connector = load_argument("broadbar-steel", &[]).unwrap().connector;
    let computed = Measure::GateOpening.read(&connector).unwrap();
    let plain = ran(folder.path(), &["sketch", "broadbar-steel"]).out;
    assert!(plain.contains(&format!("computed {computed:.1} mm")) && !plain.contains("measured"), "{plain}");
    let both = ran(folder.path(), &["sketch", "broadbar-steel", "--set", "gate.opening_mm=21"]).out;
    assert!(both.contains(&format!("measured 21.0 mm, computed {computed:.1} mm")), "{both}");
    for (name, _) in builtin::MODELS {
        let model = load_argument(name, &[]).unwrap();
        let settings = SystemSettings { mesh_size_mm: Some(0.8), ..SystemSettings::default() };
        let system = System::try_new(&model.connector, GatePlace::Shut, &model.materials, &settings).unwrap();
        let outline = Outline::try_new(&model.connector, GatePlace::Shut).unwrap();
        let drawn = drawn_mass_g(&model.connector, &outline, &model.materials).unwrap();
        let part = drawn / system.mass_g(&model.materials) - 1.0;
        assert!(part.abs() < 1e-3, "{name}: {part:e}");
    }
}

#[test]
fn a_reading_is_varied_and_two_of_a_kind_are_refused() {
    let folder = tempdir().unwrap();
    let vary = ["--vary", "window.overall_length_mm=86..90:3"];
    let sweep = ran(folder.path(), &[&["sweep", "broadbar-alu"][..], &vary].concat()).out;
    assert!(!sweep.contains("refused"), "{sweep}");
    for sets in [&["--set", "window.inside_length_mm=60"][..], &["--vary", "window.clear_length_mm=60,61"]] {
        let refused = run(folder.path(), &[&["sweep", "broadbar-alu"][..], &vary, sets].concat());
        assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{refused:?}");
    }
    let twice = ["--set", "window.inside_length_mm=60", "--set", "window.overall_length_mm=88"];
    let refused = run(folder.path(), &[&["sketch", "broadbar-alu"][..], &twice].concat());
    let both = "window.inside_length_mm and window.overall_length_mm: both given; allowed: one of them";
    assert!(refused.code == 2 && refused.err.contains(both), "{refused:?}");
    let none = run(folder.path(), &["sketch", "broadbar-alu", "--set", "window.upper_over_all_mm=20"]);
    assert!(
        none.code == 2 && none.err.contains("window.upper_over_all_mm: found 20 mm; allowed: "),
        "{none:?}"
    );
}
