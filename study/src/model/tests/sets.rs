//! Values of `--set` over those of the file.

use super::*;
use crate::model::misfit::LoaderKind;
use solver::rig::{GateState, Loader};

#[test]
fn sets_take_the_place_of_the_file() {
    let sets = [
        set("nose.tip_mm", "1/2 in"),
        set("rig.both.offset_mm", "-3"),
        set("rig.both.kind", "bar"),
        set("rig.both.diameter_mm", "10"),
        set("material.frame", "304"),
        set("rig.gate", "open"),
        set("gate.width_mm", "{ between = [9, 10] }"),
    ];
    let model = Source::of("base.toml", BASE).model(&sets).unwrap();
    assert!((model.connector.nose.tip_mm - 12.7).abs() < 1e-12);
    let bar = Loader::Bar { diameter_mm: 10.0, offset_mm: -3.0 };
    assert_eq!((model.rig.upper, model.rig.lower, model.rig.gate), (bar, bar, GateState::Open));
    assert!(model.materials.frame.name.starts_with("304"));
    assert_eq!((model.connector.gate.width_mm, model.spreads.len()), (9.5, 1));
}

#[test]
fn a_chosen_bar_needs_no_diameter_and_the_model_says_what_was_taken() {
    let chosen = |sets: &[(String, String)]| Source::of("base.toml", BASE).model(sets);
    let model = chosen(&[set("rig.both.kind", "bar")]).unwrap();
    let bar = Loader::Bar { diameter_mm: 12.0, offset_mm: 0.0 };
    assert_eq!((model.rig.upper, model.rig.lower), (bar, bar));
    assert_eq!(model.taken, [Taken::Size { kind: LoaderKind::Bar, end: None, size_mm: 12.0 }]);
    assert_eq!(model.notes(), [Note::Taken(model.taken[0])]);
    // A bar that does not fit is a mistake of the set that asked for it.
    let ModelErrors(found) =
        chosen(&[set("rig.both.kind", "bar"), set("rig.both.offset_mm", "29")]).unwrap_err();
    let misfit = misfit::Misfit::LoaderOutside {
        kind: LoaderKind::Bar,
        size_mm: 12.0,
        lies_mm: [23.0, 35.0],
        room_mm: [-21.5, 21.5],
    };
    assert_eq!((found.len(), &found[0].problem), (1, &Problem::DoesNotFit(misfit)));
}

#[test]
fn a_gate_that_is_chosen_half_shut_needs_no_depth_and_one_told_to_no_purpose_is_told() {
    let model = Source::of("base.toml", BASE).model(&[set("rig.gate", "half")]).unwrap();
    assert_eq!(model.rig.gate, GateState::Half { engaged_mm: 3.0 });
    assert_eq!(model.taken, [Taken::HalfEngaged]);
    let shallow = [set("rig.gate", "half"), set("nose.notch_depth_mm", "4.5")];
    let model = Source::of("base.toml", BASE).model(&shallow).unwrap();
    assert_eq!(model.rig.gate, GateState::Half { engaged_mm: 2.3 });
    let told = [set("rig.gate", "half"), set("rig.engaged_mm", "2")];
    assert!(Source::of("base.toml", BASE).model(&told).unwrap().taken.is_empty());
    for gate in ["closed", "open"] {
        let model = Source::of("base.toml", BASE)
            .model(&[set("rig.gate", gate), set("rig.engaged_mm", "2")])
            .unwrap();
        assert_eq!(model.taken, [Taken::IdleEngaged]);
    }
}

#[test]
fn a_number_put_over_a_model_is_that_which_is_typed() {
    let source = of_the_program("pear");
    let model = source.model(&[]).unwrap();
    for (key, value) in [
        ("nose.notch_depth_mm", 1.0 / 0.3),
        ("window.upper_width_mm", 36.1),
        ("window.corner_radius_mm", 7.0 / 0.9),
        ("rig.both.offset_mm", -0.0),
        ("rig.load_kn", 0.1 + 0.2),
        ("nose.tip_mm", 1e300),
        ("gate.width_mm", 2.5),
        ("nose.tpi_mm", 14.0),
    ] {
        // In all digits, the sign of zero among them.
        let of = |model: Model| format!("{:?} {:?} {:?}", model.connector, model.materials, model.rig);
        let typed = source.model(&[set(key, &value.to_string())]).map(of);
        let by_number = model.with_numbers(&[(key, value)]).map(of);
        if value < 1e100 {
            assert_eq!(typed, by_number, "{key}");
        }
        assert_eq!(typed.is_ok(), by_number.is_ok(), "{key}");
    }
    let width = model.with_numbers(&[("window.upper_width_mm", 36.1)]).unwrap().connector.window;
    assert_eq!((width.upper_width_mm, width.lower_width_mm), (36.1, model.connector.window.lower_width_mm));
}
