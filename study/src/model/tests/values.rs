//! What a text is read as.

use super::*;
use geometry::connector::{LipOn, SectionShape};
use solver::rig::{GateState, Loader};

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
    assert!(model.spreads.is_empty() && model.notes().is_empty());
    let untitled = resolved(&BASE.replace("title = 'base'\n", ""));
    assert_eq!(untitled.title, "base");
    let thin = resolved(&BASE.replace("breadth_mm = 10\n", "breadth_mm = 6\n"));
    assert_eq!(thin.connector.gate.cheek_mm, 2.0);
}

#[test]
fn the_reference_model_holds_its_numbers() {
    let model = of_the_program("broadbar-alu").model(&[]).unwrap();
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
    let model = of_the_program("pear").model(&[]).unwrap();
    let clearance = model.spreads.iter().find(|spread| spread.key == "hinge.pin_clearance_mm").unwrap();
    assert_eq!(clearance.kind, SpreadKind::Between(0.02, 0.1));
    assert!((model.connector.nose.pin_diameter_mm - 3.175).abs() < 1e-12);
    assert!((model.marking.closed_kn.unwrap() - 19.613_3).abs() < 1e-5);
    let nose = model.spreads.iter().find(|spread| spread.key == "nose.pin_clearance_mm").unwrap();
    assert_eq!((nose.kind, nose.middle), (SpreadKind::Between(0.1, 0.3), 0.2));
    let frame = model.spreads.iter().find(|spread| spread.key == "material.frame").unwrap();
    assert_eq!((frame.kind, frame.middle), (SpreadKind::UnknownMaterial, 467.5));
    assert_eq!(model.unknown_metals[0].1.key, "unknown-aluminium");
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
}

#[test]
fn corner_radii() {
    let one_each = BASE
        .replace("corner_radius_mm = 8", "corner_radius_mm = [8, '9 mm', {value = 7, plus_minus = 1}, 6]");
    let model = resolved(&one_each);
    assert_eq!(model.connector.window.corner_radius_mm, [8.0, 9.0, 7.0, 6.0]);
    assert_eq!(model.spreads[0].key, "window.corner_radius_mm[3]");
    // Full-round ends are half the width exactly, whatever its digits.
    let round = BASE
        .replace("corner_radius_mm = 8", "corner_radius_mm = 16.55")
        .replace("width_mm = 44", "width_mm = 33.1");
    resolved(&round.replace("tip_mm = 14", "tip_mm = 17").replace("height_mm = 10", "height_mm = 17"));
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
    assert_eq!((frame.elongation, frame.reduction_of_area, frame.lot), (None, None, None));
    let stretch = "source = 'bench', elongation = 0.09, reduction_of_area = { between = [0.2, 0.4] }";
    let told = resolved(&BASE.replace("frame = '7075-t6'", &own.replace("source = 'bench'", stretch)));
    let frame = &told.materials.frame;
    assert_eq!((frame.elongation, told.spreads.len()), (Some(0.09), 1));
    assert!((frame.reduction_of_area.unwrap() - 0.3).abs() < 1e-12);
    assert_eq!(told.materials.gate, *frame);
}

#[test]
fn a_listed_metal_told_with_a_value_changed_keeps_its_lot() {
    let listed = resolved(BASE).materials.frame;
    let own = format!(
        "frame = {{ name = '{}', youngs_modulus_mpa = 71700, poisson_ratio = 0.33, yield_mpa = 480, ultimate_mpa = 572, \
         density_g_cm3 = 2.81 }}",
        listed.name
    );
    let changed = resolved(&BASE.replace("frame = '7075-t6'", &own)).materials.frame;
    assert!(changed.lot.is_some() && changed.lot == listed.lot);
}

#[test]
fn ranges_use_the_middle_and_are_kept() {
    let model = resolved(&BASE.replace("tip_mm = 14", "tip_mm = { between = [13, '1.5 cm'] }"));
    assert_eq!(model.connector.nose.tip_mm, 14.0);
    assert_eq!(
        model.spreads,
        [Spread { key: "nose.tip_mm".to_owned(), kind: SpreadKind::Between(13.0, 15.0), middle: 14.0 }]
    );
    let model = resolved(&BASE.replace("tip_mm = 14", "tip_mm = { value = 14, plus_minus = '0.2 mm' }"));
    assert_eq!(model.spreads[0].kind, SpreadKind::PlusMinus(0.2));
    assert_eq!(model.notes(), [Note::Range(&model.spreads[0])]);
    let model = resolved(&BASE.replace("tip_mm = 14", "tip_mm = { value = 14 }"));
    assert!(model.spreads.is_empty());
}

#[test]
fn ranges_as_people_type_them_are_the_same_in_a_file_and_in_a_set() {
    let known = |sets: &[(String, String)], text: &str| {
        let model = Source::of("base.toml", text).model(sets).unwrap();
        (model.connector.nose.tip_mm, model.spreads.iter().map(|spread| spread.kind).collect::<Vec<_>>())
    };
    for (typed, middle, kind) in [
        ("14 ± 0.2", 14.0, SpreadKind::PlusMinus(0.2)),
        ("14 +- 0,2 mm", 14.0, SpreadKind::PlusMinus(0.2)),
        ("12-15", 13.5, SpreadKind::Between(12.0, 15.0)),
        ("12 to 15", 13.5, SpreadKind::Between(12.0, 15.0)),
    ] {
        let in_file = BASE.replace("tip_mm = 14", &format!("tip_mm = '{typed}'"));
        assert_eq!(known(&[], &in_file), (middle, vec![kind]), "{typed}");
        assert_eq!(known(&[set("nose.tip_mm", typed)], BASE), (middle, vec![kind]), "{typed}");
    }
    assert_eq!(known(&[set("nose.tip_mm", "13,5")], BASE), (13.5, vec![]));
    assert_eq!(known(&[set("nose.tip_mm", "14 ± 0")], BASE), (14.0, vec![]));
    let minus =
        |text: &str| Source::of("base.toml", BASE).model(&[set("rig.upper.offset_mm", text)]).unwrap();
    assert_eq!(minus("\u{2212}5").rig.upper.offset_mm(), -5.0);
    assert_eq!(minus("-5").rig.upper.offset_mm(), -5.0);
}

#[test]
fn nothing_panics_on_cut_off_files() {
    let text = &of_the_program("pear").text;
    for end in (0..text.len()).filter(|end| text.is_char_boundary(*end)) {
        // Most are refused; the last ones, without the optional tail, are not.
        let _: Result<Model, ModelErrors> = Source::of("cut.toml", &text[..end]).model(&[]);
    }
}
