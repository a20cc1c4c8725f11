//! The model file as a whole: what resolves, and what is said about what does not.

use super::*;
use geometry::connector::{LipOn, SectionShape};
use solver::rig::{GateState, Loader};

/// A small model in which every line is known. Line numbers in the tests below count from the first.
const BASE: &str = "\
title = 'base'
[window]
inside_length_mm = 60
upper_width_mm = 44
corner_radius_mm = 8
[section.spine]
shape = 'oval'
depth_mm = 14
breadth_mm = 11
[nose]
tip_mm = 14
notch_depth_mm = 6
lip_height_mm = 4.5
breadth_mm = 9
pin_diameter_mm = 4
pin_clearance_mm = 0.15
[hinge]
height_mm = 10
pin_diameter_mm = 5
pin_clearance_mm = 0.05
[gate]
width_mm = 9
breadth_mm = 10
[material]
frame = '7075-t6'
";

fn resolved(text: &str) -> Model {
    from_text(text, "base.toml", &[]).unwrap_or_else(|errors| panic!("{errors}"))
}

fn mistakes(text: &str) -> Vec<String> {
    let errors = from_text(text, "base.toml", &[]).map(|model| panic!("accepted: {model:?}")).unwrap_err();
    errors.0.iter().map(ToString::to_string).collect()
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
    from_text(BASE, "base.toml", &sets).unwrap_err().0.iter().map(ToString::to_string).collect()
}

#[test]
fn defaults_are_filled_in() {
    let model = resolved(BASE);
    let connector = &model.connector;
    assert_eq!(connector.window.lower_width_mm, 44.0);
    assert_eq!(connector.window.corner_radius_mm, [8.0; 4]);
    assert_eq!((connector.upper, connector.lower), (connector.spine, connector.spine));
    assert_eq!((connector.nose.lip_breadth_mm, connector.nose.lip_on), (9.0, LipOn::Frame));
    assert_eq!((connector.hinge.lug_radius_mm, connector.hinge.lug_breadth_mm), (7.0, 9.0));
    assert_eq!((connector.gate.cheek_mm, connector.gate.cheek_clearance_mm), (3.0, 0.5));
    assert_eq!(model.materials.gate, model.materials.frame);
    assert!(model.materials.pins.name.starts_with("4340"));
    assert_eq!((model.rig.load_kn, model.rig.gate, model.rig.friction), (10.0, GateState::Closed, 0.2));
    let strap =
        Loader::Strap { width_mm: 12.0, offset_mm: 0.0, stiffness_n_per_mm2: 100.0, strength_kn: None };
    assert_eq!((model.rig.upper, model.rig.lower), (strap, strap));
    assert!(model.spreads.is_empty() && model.notes.is_empty());
    let untitled = resolved(&BASE.replace("title = 'base'\n", ""));
    assert_eq!(untitled.title, "base");
    let thin = resolved(&BASE.replace("breadth_mm = 10\n", "breadth_mm = 6\n"));
    assert_eq!(thin.connector.gate.cheek_mm, 2.0);
}

#[test]
fn every_built_in_model_resolves() {
    for (name, _) in builtin::MODELS {
        let model = load_argument(name, &[]).unwrap_or_else(|errors| panic!("{errors}"));
        assert!(model.marking.closed_kn.is_some() && model.marking.open_kn.is_some(), "{name}");
        assert_eq!(model.notes.len(), model.spreads.len());
    }
}

#[test]
fn the_reference_model_holds_its_numbers() {
    let model = load_argument("broadbar-alu", &[]).unwrap();
    let mut expected = resolved(BASE);
    expected.title.clone_from(&model.title);
    expected.marking = Marking { closed_kn: Some(20.0), open_kn: Some(7.0), across_kn: None };
    assert_eq!(model, expected);
    // The pin's centre, from the design: tip at y 30 - 14, lip 4.5, notch radius 2.15; x 22 + 6 - 2.15.
    let nose = &model.connector.nose;
    assert!((30.0 - nose.tip_mm + nose.lip_height_mm + nose.notch_radius_mm() - 22.65).abs() < 1e-12);
    assert!((22.0 + nose.notch_depth_mm - nose.notch_radius_mm() - 25.85).abs() < 1e-12);
}

#[test]
fn the_pear_says_what_it_does_not_know() {
    let model = load_argument("pear", &[]).unwrap();
    let clearance = model.spreads.iter().find(|spread| spread.key == "hinge.pin_clearance_mm").unwrap();
    assert_eq!(clearance.kind, SpreadKind::Between(0.02, 0.1));
    assert!((model.connector.nose.pin_diameter_mm - 3.175).abs() < 1e-12);
    assert!((model.marking.closed_kn.unwrap() - 19.613_3).abs() < 1e-5);
    assert!(
        model
            .notes
            .contains(&"nose.pin_clearance_mm is between 0.1 and 0.3; the middle 0.2 is used".to_owned())
    );
    let frame = model.spreads.iter().find(|spread| spread.key == "material.frame").unwrap();
    assert_eq!((frame.kind, frame.middle), (SpreadKind::UnknownMaterial, 467.5));
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
             corners were sharp\n  hint: in [window] write upper_width_mm = a number of 5 to 300 mm",
            "base.toml:4: window.uper_width_mm: found a key that no model file has\n  hint: did you mean \
             window.upper_width_mm?",
            "base.toml:12: nose.notch_depth_mm: found -6 mm; allowed: 0.3 to 30 mm",
            "base.toml:18: hinge.height_mm: found \"10 kN\", a force; allowed: a length in mm, cm, m or in",
            "base.toml:25: material.frame: found \"7057-t6\"; allowed: 7075-t6, 6082-t6, 4340-125, 4340-150, 4340-180, \
             4340-200, 4340-260, 304, 316, 17-4ph-h900, unknown-aluminium, unknown-steel\n  hint: did you mean 7075-t6?",
        ]
    );
}

#[test]
fn numbers_that_are_not() {
    for (to, what) in [
        ("tip_mm = nan", "base.toml:11: nose.tip_mm: found nan mm; allowed: 2 to 150 mm"),
        ("tip_mm = inf", "base.toml:11: nose.tip_mm: found inf mm; allowed: 2 to 150 mm"),
        ("tip_mm = 1e400", "base.toml:11: nose.tip_mm: found inf mm; allowed: 2 to 150 mm"),
        ("tip_mm = 14000", "base.toml:11: nose.tip_mm: found 14000 mm; allowed: 2 to 150 mm"),
        (
            "tip_mm = true",
            "base.toml:11: nose.tip_mm: found true; allowed: a number in mm, or a text such as \"14 mm\"",
        ),
        ("tip_mm = [14]", "found a list of 1"),
        ("tip_mm = 2026-01-01", "found the date 2026-01-01"),
        ("tip_mm = '14'", "hint: write \"14 mm\", or 14 without quotes"),
        ("tip_mm = '14,5 mm'", "hint: write \"14.5 mm\""),
        ("tip_mm = 'wide'", "found \"wide\", which is not a number"),
        ("tip_mm = {}", "nose.tip_mm: found {  }; allowed: a number, { value = a number"),
        ("tip_mm = { value = 14, plus_minus = -1 }", "nose.tip_mm.plus_minus: found -1 mm"),
        (
            "tip_mm = { value = 149, plus_minus = 2 }",
            "nose.tip_mm.plus_minus: found 149 plus or minus 2, that is 147 to 151 mm; allowed: 2 to 150 mm",
        ),
        ("tip_mm = { value = 14, pm = 1 }", "nose.tip_mm.pm: found a key that no model file has"),
        ("tip_mm = { between = [15, 12] }", "found 15 to 12; allowed: the smaller number first"),
        ("tip_mm = { between = [12] }", "nose.tip_mm: found { between = [12] }"),
        ("tip_mm = { value = 14, between = [12, 15] }", "allowed: a number, { value"),
    ] {
        let found = with("tip_mm = 14", to);
        assert!(found.len() == 1 && found[0].contains(what), "{to}: {found:#?}");
        assert!(found[0].starts_with("base.toml:11: nose.tip_mm"), "{found:?}");
    }
}

#[test]
fn tables_that_are_not_and_keys_that_are_not() {
    let found = mistakes("rig = 3\nsection.spine = 'round'\nwindow = [1]\n");
    assert!(
        found.iter().any(|m| {
            m == "base.toml:1: rig: found the number 3; allowed: a table of keys\n  hint: the keys in rig are load_kn, gate, \
                  engaged_mm, friction"
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
fn sections_inherit_and_refuse_what_has_no_meaning() {
    let model =
        resolved(&format!("{BASE}[section.upper]\ndepth_mm = 12\n[section.lower]\nshape = 'round'\n"));
    assert_eq!((model.connector.upper.depth_mm, model.connector.upper.breadth_mm), (12.0, 11.0));
    assert_eq!(model.connector.lower.shape, SectionShape::Round);
    assert_eq!((model.connector.lower.depth_mm, model.connector.lower.breadth_mm), (14.0, 14.0));
    let i = "[section.upper]\nshape = 'i'\nflange_mm = 4\nweb_mm = 5\n";
    let model = resolved(&format!("{BASE}{i}"));
    assert_eq!(model.connector.upper.shape, SectionShape::I { flange_mm: 4.0, web_mm: 5.0 });

    let found = mistakes(&format!("{BASE}[section.upper]\nshape = 'i'\nflange_mm = 7\n"));
    assert!(
        found[0].starts_with("base.toml:26: section.upper.web_mm: missing, and needed when shape = \"i\"")
    );
    assert!(
        found[1].starts_with("base.toml:28: section.upper.flange_mm: found 7 mm; allowed: at most 6.75 mm")
    );
    assert!(
        with("breadth_mm = 11", "breadth_mm = 15")[0]
            .starts_with("base.toml:9: section.spine.breadth_mm: found 15")
    );
    let found = with("shape = 'oval'", "shape = 'round'");
    assert!(
        found[0].contains("section.spine.breadth_mm: found, but it has no meaning here: a round bar"),
        "{found:?}"
    );
    let found = with("breadth_mm = 11", "breadth_mm = 11\nweb_mm = 3");
    assert!(
        found[0].starts_with("base.toml:10: section.spine.web_mm: found, but it has no meaning"),
        "{found:?}"
    );
    let found = with("depth_mm = 14\n", "");
    assert_eq!(found.len(), 1, "inherited sections do not repeat it: {found:?}");
}

#[test]
fn corner_radii() {
    let one_each = BASE
        .replace("corner_radius_mm = 8", "corner_radius_mm = [8, '9 mm', {value = 7, plus_minus = 1}, 6]");
    let model = resolved(&one_each);
    assert_eq!(model.connector.window.corner_radius_mm, [8.0, 9.0, 7.0, 6.0]);
    assert_eq!(model.spreads[0].key, "window.corner_radius_mm[3]");
    assert!(
        with("corner_radius_mm = 8", "corner_radius_mm = [8, 8]")[0]
            .contains("found a list of 2; allowed: one number")
    );
    let found = with("corner_radius_mm = 8", "corner_radius_mm = [8, 8,\n8, -1]");
    assert_eq!(found, ["base.toml:6: window.corner_radius_mm[4]: found -1 mm; allowed: 0.5 to 150 mm"]);
    let found = with("corner_radius_mm = 8", "corner_radius_mm = [22, 22.5, 8, 8]");
    assert!(
        found[0].contains("found radii 22 and 22.5 mm, which take 44.5 mm of the upper end; allowed: at most its length, 44 mm"),
        "{found:#?}"
    );
    // Full-round ends are half the width exactly, whatever its digits.
    let round = BASE
        .replace("corner_radius_mm = 8", "corner_radius_mm = 16.55")
        .replace("width_mm = 44", "width_mm = 33.1");
    resolved(&round.replace("tip_mm = 14", "tip_mm = 17").replace("height_mm = 10", "height_mm = 17"));
}

#[test]
fn what_does_not_fit() {
    for (from, to, what) in [
        (
            "notch_depth_mm = 6",
            "notch_depth_mm = 13.5",
            "base.toml:12: nose.notch_depth_mm: found 13.5 mm; allowed: at most 13 mm",
        ),
        ("tip_mm = 14", "tip_mm = 7.9", "base.toml:11: nose.tip_mm: found 7.9 mm; allowed: at least 8 mm"),
        (
            "tip_mm = 14",
            "tip_mm = 8.5",
            "base.toml:11: nose.tip_mm: found 8.5 mm; allowed: at least 8.8 mm, room for the lip",
        ),
        (
            "height_mm = 10",
            "height_mm = 7",
            "base.toml:18: hinge.height_mm: found 7 mm; allowed: at least 8 mm",
        ),
        ("tip_mm = 14", "tip_mm = 43", "nose.tip_mm: found 0 mm between the nose and the lug"),
        (
            "pin_diameter_mm = 5",
            "pin_diameter_mm = 8",
            "base.toml:19: hinge.pin_diameter_mm: found 8 mm; allowed: at most 7 mm",
        ),
        (
            "pin_diameter_mm = 4",
            "pin_diameter_mm = 7.5",
            "nose.pin_diameter_mm: found 7.5 mm; allowed: at most 7 mm",
        ),
        (
            "height_mm = 10",
            "height_mm = 10\nlug_radius_mm = 3.5",
            "base.toml:19: hinge.lug_radius_mm: found 0.95 mm of metal",
        ),
        (
            "width_mm = 9",
            "width_mm = 9\ncheek_mm = 5.5",
            "gate.cheek_mm: found 5.5 mm; allowed: at most 5 mm",
        ),
        (
            "upper_width_mm = 44",
            "upper_width_mm = 44\nupper_slope_deg = -60\nlower_slope_deg = 60",
            "window.upper_slope_deg: found slopes",
        ),
    ] {
        let found = with(from, to);
        assert!(found.iter().any(|mistake| mistake.contains(what)), "{to}: {found:#?}");
    }
}

#[test]
fn straps_and_bars_fit_the_window() {
    let rig = |rest: &str| format!("{BASE}[rig.upper]\n{rest}");
    resolved(&rig("width_mm = 43\n"));
    let found = mistakes(&rig("width_mm = 43.1\n"));
    assert_eq!(
        found,
        [
            "base.toml:27: rig.upper.width_mm: found a strap of 43.1 mm; allowed: at most 43 mm (-21.5 to 21.5 mm across the \
          window here)"
        ]
    );
    resolved(&rig("offset_mm = -15.5\n"));
    let found = mistakes(&rig("offset_mm = 15.6\n"));
    assert!(
        found[0].starts_with("base.toml:27: rig.upper.offset_mm: found a strap from 9.6 to 21.6 mm"),
        "{found:?}"
    );
    assert!(found[0].contains("leaves offsets of at most -15.5 to 15.5 mm"), "{found:?}");
    let found = mistakes(&rig("kind = 'bar'\ndiameter_mm = 20\noffset_mm = 12\n"));
    assert!(found[0].contains("found a bench bar from 2 to 22 mm"), "{found:?}");
    // Unequal widths: the spine side is at -(44 + 30)/4 = -18.5, so the lower end reaches from there to 11.5.
    let uneven = BASE.replace("upper_width_mm = 44", "upper_width_mm = 44\nlower_width_mm = 30");
    let found = mistakes(&format!("{uneven}[rig.lower]\noffset_mm = 6\n"));
    assert!(found[0].contains("allowed: -18 to 11 mm across"), "{found:?}");
}

#[test]
fn rigs() {
    let rig = |rest: &str| format!("{BASE}[rig]\n{rest}");
    let model = resolved(&rig(
        "load_kn = '5400 lbf'\ngate = 'half'\nengaged_mm = 2\nupper.kind = 'bar'\nupper.diameter_mm = 12\n",
    ));
    assert!((model.rig.load_kn - 24.0204).abs() < 1e-4);
    assert_eq!(model.rig.gate, GateState::Half { engaged_mm: 2.0 });
    assert_eq!(model.rig.upper, Loader::Bar { diameter_mm: 12.0, offset_mm: 0.0 });

    for (rest, what) in [
        ("load_kn = 0\n", "base.toml:27: rig.load_kn: found 0 kN; allowed: 0.01 to 1000 kN"),
        ("load_kn = -10\n", "base.toml:27: rig.load_kn: found -10 kN"),
        ("load_kn = '20 kg'\n", "hint: kg is a mass; for its weight write kgf"),
        ("gate = 'half'\n", "base.toml:26: rig.engaged_mm: missing, and needed when gate = \"half\""),
        (
            "gate = 'half'\nengaged_mm = 6.5\n",
            "base.toml:28: rig.engaged_mm: found 6.5 mm; allowed: at most 6 mm",
        ),
        ("gate = 'ajar'\n", "base.toml:27: rig.gate: found \"ajar\"; allowed: closed, half, open"),
        ("upper.kind = 'bar'\n", "rig.upper.diameter_mm: missing, and needed when kind = \"bar\""),
        ("upper.diameter_mm = 12\n", "rig.upper.diameter_mm: found, but it has no meaning here"),
        ("lower = { kind = 'bar', diameter_mm = 9, width_mm = 9 }\n", "rig.lower.width_mm: found, but"),
        ("friction = '0.2'\n", "hint: write 0.2 without quotes"),
    ] {
        let found = mistakes(&rig(rest));
        assert!(found.len() == 1 && found[0].contains(what), "{rest}: {found:#?}");
    }
}

#[test]
fn a_load_across_is_refused_with_a_sentence() {
    let sentence =
        "found a load across the connector, which is not modelled: only pulls along the major axis are";
    for rest in
        ["across_kn = 7\n", "across = true\n", "direction = 'across'\n", "upper.direction = 'across'\n"]
    {
        let found = mistakes(&format!("{BASE}[rig]\n{rest}"));
        assert!(found.len() == 1 && found[0].contains(sentence), "{rest}: {found:?}");
    }
    let model = resolved(&format!("{BASE}[marking]\nacross_kn = 7\n"));
    assert_eq!(model.marking.across_kn, Some(7.0));
}

#[test]
fn materials_of_ones_own() {
    let own = "frame = { name = 'X', youngs_modulus_mpa = '70 GPa', poisson_ratio = 0.33, yield_mpa = 300, \
               ultimate_mpa = '50 ksi', density_g_cm3 = '2700 kg/m^3', source = 'bench' }";
    let model = resolved(&BASE.replace("frame = '7075-t6'", own));
    let frame = &model.materials.frame;
    assert_eq!((frame.name.as_str(), frame.youngs_modulus_mpa, frame.poisson_ratio), ("X", 70_000.0, 0.33));
    assert!((frame.ultimate_mpa - 344.738).abs() < 1e-3);
    assert!((frame.shear_ultimate_mpa - 0.6 * 344.738).abs() < 1e-3);
    assert!((frame.density_g_cm3 - 2.7).abs() < 1e-12);

    let found = with("frame = '7075-t6'", &own.replace("yield_mpa = 300", "yield_mpa = 400"));
    assert!(
        found[0].contains("material.frame.yield_mpa: found 400 MPa; allowed: at most the ultimate strength")
    );
    let found = with("frame = '7075-t6'", "frame = { name = 'X', yeld_mpa = 300 }");
    assert_eq!(found.len(), 6, "{found:#?}");
    assert!(found.iter().any(|mistake| mistake.ends_with("did you mean material.frame.yield_mpa?")));
    assert!(with("frame = '7075-t6'", "frame = true")[0].contains("found true"));
    assert!(with("frame = '7075-t6'\n", "")[0].starts_with("base.toml:24: material.frame: missing"));
}

#[test]
fn ranges_use_the_middle_and_say_so() {
    let model = resolved(&BASE.replace("tip_mm = 14", "tip_mm = { between = [13, '1.5 cm'] }"));
    assert_eq!(model.connector.nose.tip_mm, 14.0);
    assert_eq!(
        model.spreads,
        [Spread { key: "nose.tip_mm".to_owned(), kind: SpreadKind::Between(13.0, 15.0), middle: 14.0 }]
    );
    let model = resolved(&BASE.replace("tip_mm = 14", "tip_mm = { value = 14, plus_minus = '0.2 mm' }"));
    assert_eq!(model.notes, ["nose.tip_mm is 14 plus or minus 0.2; 14 is used"]);
    let model = resolved(&BASE.replace("tip_mm = 14", "tip_mm = { value = 14 }"));
    assert!(model.spreads.is_empty());
}

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
    let model = from_text(BASE, "base.toml", &sets).unwrap();
    assert!((model.connector.nose.tip_mm - 12.7).abs() < 1e-12);
    let bar = Loader::Bar { diameter_mm: 10.0, offset_mm: -3.0 };
    assert_eq!((model.rig.upper, model.rig.lower, model.rig.gate), (bar, bar, GateState::Open));
    assert!(model.materials.frame.name.starts_with("304"));
    assert_eq!((model.connector.gate.width_mm, model.spreads.len()), (9.5, 1));
}

#[test]
fn a_chosen_bar_needs_no_diameter_and_the_model_says_what_was_taken() {
    let model = from_text(BASE, "base.toml", &[set("rig.both.kind", "bar")]).unwrap();
    let bar = Loader::Bar { diameter_mm: 12.0, offset_mm: 0.0 };
    assert_eq!((model.rig.upper, model.rig.lower), (bar, bar));
    assert_eq!(model.notes, ["bench bars of 12 mm are taken, since rig.both.diameter_mm is not given"]);
    // A bar that does not fit is a mistake of the set that asked for it.
    let found = set_mistakes(&[("rig.both.kind", "bar"), ("rig.both.offset_mm", "29")]);
    assert!(found.iter().any(|m| m.contains("found a bench bar from 23 to 35 mm")), "{found:?}");
}

#[test]
fn a_gate_that_is_chosen_half_shut_needs_no_depth_and_one_told_to_no_purpose_is_told() {
    let model = from_text(BASE, "base.toml", &[set("rig.gate", "half")]).unwrap();
    assert_eq!(model.rig.gate, GateState::Half { engaged_mm: 3.0 });
    assert_eq!(
        model.notes,
        ["a pin engaged half way into the notch is taken, since rig.engaged_mm is not given"]
    );
    let shallow = [set("rig.gate", "half"), set("nose.notch_depth_mm", "4.5")];
    let model = from_text(BASE, "base.toml", &shallow).unwrap();
    assert_eq!(model.rig.gate, GateState::Half { engaged_mm: 2.3 });
    let told = [set("rig.gate", "half"), set("rig.engaged_mm", "2")];
    assert!(from_text(BASE, "base.toml", &told).unwrap().notes.is_empty());
    for gate in ["closed", "open"] {
        let model =
            from_text(BASE, "base.toml", &[set("rig.gate", gate), set("rig.engaged_mm", "2")]).unwrap();
        assert_eq!(model.taken(), [IDLE_ENGAGED]);
    }
}

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
fn files_that_are_not() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    std::fs::write(path("latin.toml"), b"a = 1\n# caf\xe9\n").unwrap();
    let message = load(&path("latin.toml"), &[]).unwrap_err().to_string();
    assert!(message.contains("latin.toml: cannot be read: line 2 is not UTF-8 text\n  hint: "), "{message}");
    std::fs::write(path("big.toml"), vec![b'#'; 1_100_000]).unwrap();
    assert!(load(&path("big.toml"), &[]).unwrap_err().to_string().contains("larger than 1 MiB"));
    assert!(load(folder.path(), &[]).unwrap_err().to_string().contains("cannot be read"));
    let message = load_argument("ovel", &[]).unwrap_err().to_string();
    assert!(message.ends_with("hint: did you mean the built-in model oval?"), "{message}");
    let message = load_argument("no/such.toml", &[]).unwrap_err().to_string();
    assert!(message.contains("models that need no file: broadbar-alu, "), "{message}");
}

#[test]
fn nothing_panics_on_cut_off_files() {
    let (_, text) = builtin::MODELS[4];
    for end in (0..text.len()).filter(|end| text.is_char_boundary(*end)) {
        // Most are refused; the last ones, without the optional tail, are not.
        let _: Result<Model, ModelErrors> = from_text(&text[..end], "cut.toml", &[]);
    }
}

#[test]
fn of_very_many_mistakes_the_first_are_told_and_the_rest_counted() {
    let text = "[nose]\n".repeat(100_000);
    let errors = from_text(&text, "many.toml", &[]).unwrap_err();
    assert_eq!(errors.0.len(), 99_999);
    let told = errors.to_string();
    let lines: Vec<&str> = told.lines().collect();
    assert_eq!(lines.len(), 31);
    assert!(lines[0].starts_with("many.toml:2: ") && lines[29].starts_with("many.toml:31: "), "{told}");
    assert_eq!(lines[30], "and 99,969 more mistakes of the same file");
    // What was typed is told all the same.
    let mut all: String = BASE.to_owned();
    for at in 0..31 {
        all.push_str(&format!("[unknown{at}]\n"));
    }
    let told = from_text(&all, "many.toml", &[set("nose.tpi_mm", "1")]).unwrap_err().to_string();
    assert!(told.contains("\nand 1 more mistake of the same file\n--set nose.tpi_mm=1: "), "{told}");
}

#[test]
fn what_people_type_for_a_key_or_a_value_is_told_what_to_write() {
    for ((key, value), words) in [
        (
            ("gate", "open"),
            "found the text \"open\"; allowed: a table of keys\n  hint: did you mean material.gate or rig.gate?",
        ),
        (("load", "20"), "hint: did you mean rig.load_kn?"),
        (("rig", "20"), "hint: the keys in rig are load_kn, gate, engaged_mm, friction"),
        (("rig.load_kn", "1/0"), "a fraction that has no value"),
        (("rig.upper.offset_mm", "\u{2212}5"), "hint: write -5, with the minus of the keyboard"),
        (("rig.upper.diameter_mm", "10"), "hint: leave it out"),
    ] {
        let sets = [(key.to_owned(), value.to_owned())];
        let errors = from_text(builtin::find("broadbar-alu").unwrap(), "x.toml", &sets).unwrap_err();
        assert_eq!(errors.0.len(), 1, "{errors}");
        assert!(errors.to_string().contains(words), "{errors}");
    }
}
