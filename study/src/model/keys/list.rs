//! The table of keys itself.

use super::getter::{Getter, KeyValue};
use super::{Beside, Chosen, Fallback, Key, Kind, MATERIALS, Need, SHAPES, Slider, USUAL_MM};
use crate::model::Model;
use crate::model::dimension::Dimension;
use crate::model::misfit::LoaderKind;
use geometry::caliper::Measure;
use geometry::connector::{Connector, LipOn, Section, SectionShape};
use solver::material::library::SHEAR_OF_ULTIMATE;
use solver::material::{Material, Materials};
use solver::rig::{DEFAULT_FRICTION, DEFAULT_STRAP_STIFFNESS, GateState, Loader, Rig};

/// Load where none is given, kN.
const DEFAULT_LOAD_KN: f64 = 10.0;
/// Thickness of the gate's side walls where none is given, mm (engineering judgement).
const DEFAULT_CHEEK_MM: f64 = 3.0;
/// Clearance of those cheeks where none is given, mm (engineering judgement).
const DEFAULT_CHEEK_CLEARANCE_MM: f64 = 0.5;

/// All keys, in the order of measuring.
pub(super) fn list() -> Vec<Key> {
    let mut keys = vec![key(
        "title",
        Kind::Text,
        Need::Else(Fallback::FileName),
        Getter::Model(|model| Some(KeyValue::Text(model.title.clone()))),
    )];
    window(&mut keys);
    section(&mut keys, "section.spine", false, |connector| &connector.spine);
    section(&mut keys, "section.upper", true, |connector| &connector.upper);
    section(&mut keys, "section.lower", true, |connector| &connector.lower);
    nose(&mut keys);
    gate_and_hinge(&mut keys);
    material(&mut keys, MATERIALS[0], Need::Required, |metals| &metals.frame);
    material(&mut keys, MATERIALS[1], Need::Else(Fallback::As(MATERIALS[0])), |metals| &metals.gate);
    material(&mut keys, MATERIALS[2], Need::Else(Fallback::Word("4340-180")), |metals| &metals.pins);
    marking(&mut keys);
    rig(&mut keys);
    loader(&mut keys, "rig.upper", |rig| &rig.upper);
    loader(&mut keys, "rig.lower", |rig| &rig.lower);
    keys
}

fn key(path: &str, kind: Kind, need: Need, getter: Getter) -> Key {
    Key { path: path.to_owned(), kind, need, beside: None, chosen: None, slider: None, getter }
}

impl Key {
    fn with_slider(self, min: f64, max: f64, step: f64) -> Self {
        Self { slider: Some(Slider { min, max, step }), ..self }
    }

    fn with_beside(self, chooser: &'static str, words: &'static [&'static str]) -> Self {
        Self { beside: Some(Beside { chooser, words }), ..self }
    }

    fn with_chosen(self, chosen: Chosen) -> Self {
        Self { chosen: Some(chosen), ..self }
    }
}

fn number(path: &str, dimension: Dimension, range: [f64; 2], need: Need, getter: Getter) -> Key {
    key(path, Kind::Number { dimension, low: range[0], high: range[1] }, need, getter)
}

/// A length of the connector.
fn length(path: &str, range: [f64; 2], need: Need, get: fn(&Connector) -> f64) -> Key {
    number(path, Dimension::Length, range, need, Getter::Connector(get))
}

/// An angle of the connector, zero where it is left out.
fn angle(path: &str, range: [f64; 2], get: fn(&Connector) -> f64) -> Key {
    number(path, Dimension::Angle, range, Need::Else(Fallback::Number(0.0)), Getter::Connector(get))
}

/// What a caliper reads, in the place of a value of the connector; unknown where the connector has no outline.
fn reading(path: &str, range: [f64; 2], own: &'static str, get: fn(&Model) -> Option<KeyValue>) -> Key {
    number(path, Dimension::Length, range, Need::InPlaceOf(own), Getter::Model(get))
}

/// What a measure reads on the connector of a model.
fn read(model: &Model, measure: Measure) -> Option<KeyValue> {
    measure.read(&model.connector).ok().map(KeyValue::Number)
}

fn window(keys: &mut Vec<Key>) {
    use Need::{Else, Required};
    keys.extend([
        length("window.inside_length_mm", [10.0, 500.0], Required, |c| c.window.inside_length_mm)
            .with_slider(30.0, 140.0, 0.5),
        reading("window.overall_length_mm", [14.0, 620.0], "window.inside_length_mm", |model| {
            read(model, Measure::OverallLength)
        }),
        reading("window.clear_length_mm", [10.0, 500.0], "window.inside_length_mm", |model| {
            read(model, Measure::ClearLength)
        }),
        length("window.upper_width_mm", [5.0, 300.0], Required, |c| c.window.upper_width_mm)
            .with_slider(14.0, 90.0, 0.5),
        reading("window.upper_over_all_mm", [9.0, 420.0], "window.upper_width_mm", |model| {
            read(model, Measure::UpperOverAll)
        }),
        length("window.lower_width_mm", [5.0, 300.0], Else(Fallback::Key("upper_width_mm")), |c| {
            c.window.lower_width_mm
        })
        .with_slider(14.0, 90.0, 0.5),
        reading("window.lower_over_all_mm", [9.0, 420.0], "window.lower_width_mm", |model| {
            read(model, Measure::LowerOverAll)
        }),
        angle("window.upper_slope_deg", [-60.0, 60.0], |c| c.window.upper_slope_deg)
            .with_slider(-30.0, 40.0, 0.5),
        angle("window.lower_slope_deg", [-60.0, 60.0], |c| c.window.lower_slope_deg)
            .with_slider(-30.0, 40.0, 0.5),
        key(
            "window.corner_radius_mm",
            Kind::Corners { low: 0.5, high: 150.0 },
            Required,
            Getter::Model(|model| Some(KeyValue::Corners(model.connector.window.corner_radius_mm))),
        )
        .with_slider(3.0, 30.0, 0.5),
    ]);
}

/// Smallest and largest thickness or breadth of a part, mm.
const SIZE: [f64; 2] = [0.5, 60.0];

fn shape_word(section: &Section) -> &'static str {
    match section.shape {
        SectionShape::Round => "round",
        SectionShape::Oval => "oval",
        SectionShape::Rectangle => "rectangle",
        SectionShape::I { .. } => "i",
    }
}

fn section(keys: &mut Vec<Key>, table: &str, inherits: bool, which: fn(&Connector) -> &Section) {
    let path = |name: &str| format!("{table}.{name}");
    let need = |own: Need| if inherits { Need::Else(Fallback::As("section.spine")) } else { own };
    let size = |name: &str, range, own, get: fn(&Section) -> Option<KeyValue>| {
        number(&path(name), Dimension::Length, range, need(own), Getter::Section(which, get))
    };
    keys.extend([
        key(
            &path("shape"),
            Kind::Choice(&SHAPES),
            need(Need::Required),
            Getter::Section(which, |section| Some(KeyValue::Word(shape_word(section)))),
        ),
        size("depth_mm", [2.0, 60.0], Need::Required, |section| Some(KeyValue::Number(section.depth_mm)))
            .with_slider(5.0, 24.0, 0.25),
        size("breadth_mm", SIZE, Need::WhenShown, |section| {
            (section.shape != SectionShape::Round).then_some(KeyValue::Number(section.breadth_mm))
        })
        .with_beside("shape", &["oval", "rectangle", "i"])
        .with_slider(5.0, 24.0, 0.25),
        size("flange_mm", SIZE, Need::WhenShown, |section| match section.shape {
            SectionShape::I { flange_mm, .. } => Some(KeyValue::Number(flange_mm)),
            _ => None,
        })
        .with_beside("shape", &["i"])
        .with_slider(1.5, 8.0, 0.1),
        size("web_mm", SIZE, Need::WhenShown, |section| match section.shape {
            SectionShape::I { web_mm, .. } => Some(KeyValue::Number(web_mm)),
            _ => None,
        })
        .with_beside("shape", &["i"])
        .with_slider(1.5, 14.0, 0.1),
    ]);
}

fn nose(keys: &mut Vec<Key>) {
    use Need::{Else, Required};
    keys.extend([
        length("nose.tip_mm", [2.0, 150.0], Required, |c| c.nose.tip_mm).with_slider(6.0, 35.0, 0.25),
        reading("nose.tip_over_bar_mm", [4.0, 210.0], "nose.tip_mm", |model| {
            read(model, Measure::TipOverBar)
        }),
        length("nose.notch_depth_mm", [0.3, 30.0], Required, |c| c.nose.notch_depth_mm)
            .with_slider(2.5, 12.0, 0.1),
        length("nose.lip_height_mm", [0.3, 30.0], Required, |c| c.nose.lip_height_mm)
            .with_slider(1.5, 10.0, 0.1),
        length("nose.lip_breadth_mm", SIZE, Else(Fallback::Key("nose.breadth_mm")), |c| {
            c.nose.lip_breadth_mm
        })
        .with_slider(4.0, 20.0, 0.25),
        length("nose.breadth_mm", SIZE, Required, |c| c.nose.breadth_mm).with_slider(4.0, 20.0, 0.25),
        length("nose.pin_diameter_mm", [0.5, 20.0], Required, |c| c.nose.pin_diameter_mm)
            .with_slider(2.0, 8.0, 0.1),
        length("nose.pin_clearance_mm", [0.0, 3.0], Required, |c| c.nose.pin_clearance_mm)
            .with_slider(0.0, 0.8, 0.01),
        angle("nose.flank_angle_deg", [-20.0, 45.0], |c| c.nose.flank_angle_deg)
            .with_slider(-10.0, 25.0, 0.5),
        key(
            "nose.lip_on",
            Kind::Choice(&["frame", "gate"]),
            Else(Fallback::Word("frame")),
            Getter::Model(|model| {
                Some(KeyValue::Word(match model.connector.nose.lip_on {
                    LipOn::Frame => "frame",
                    LipOn::Gate => "gate",
                }))
            }),
        ),
    ]);
}

fn gate_and_hinge(keys: &mut Vec<Key>) {
    use Need::{Else, Required};
    keys.extend([
        length("gate.width_mm", [1.0, 40.0], Required, |c| c.gate.width_mm).with_slider(4.0, 20.0, 0.25),
        length("gate.breadth_mm", [1.0, 40.0], Required, |c| c.gate.breadth_mm).with_slider(4.0, 20.0, 0.25),
        length(
            "gate.cheek_mm",
            [0.2, 20.0],
            Else(Fallback::ThirdOfBreadth { most_mm: DEFAULT_CHEEK_MM }),
            |c| c.gate.cheek_mm,
        )
        .with_slider(0.5, 6.0, 0.1),
        length(
            "gate.cheek_clearance_mm",
            [0.0, 5.0],
            Else(Fallback::Number(DEFAULT_CHEEK_CLEARANCE_MM)),
            |c| c.gate.cheek_clearance_mm,
        )
        .with_slider(0.0, 2.0, 0.05),
        number(
            "gate.opening_mm",
            Dimension::Length,
            [0.1, 400.0],
            Else(Fallback::Nothing),
            Getter::Model(|model| read(model, Measure::GateOpening)),
        ),
        length("hinge.height_mm", [2.0, 200.0], Required, |c| c.hinge.height_mm).with_slider(5.0, 30.0, 0.25),
        reading("hinge.pin_to_pin_mm", [2.0, 500.0], "hinge.height_mm", |model| {
            read(model, Measure::PinToPin)
        }),
        length("hinge.pin_diameter_mm", [0.5, 20.0], Required, |c| c.hinge.pin_diameter_mm)
            .with_slider(2.0, 8.0, 0.1),
        length("hinge.pin_clearance_mm", [0.0, 3.0], Required, |c| c.hinge.pin_clearance_mm)
            .with_slider(0.0, 0.8, 0.01),
        length("hinge.lug_radius_mm", [1.0, 40.0], Else(Fallback::HalfLowerDepth), |c| c.hinge.lug_radius_mm)
            .with_slider(4.0, 14.0, 0.1),
        length("hinge.lug_breadth_mm", SIZE, Else(Fallback::Key("nose.breadth_mm")), |c| {
            c.hinge.lug_breadth_mm
        })
        .with_slider(4.0, 20.0, 0.25),
    ]);
}

fn material(keys: &mut Vec<Key>, table: &'static str, need: Need, which: fn(&Materials) -> &Material) {
    let inside = Need::InOwnMaterial;
    let path = |name: &str| format!("{table}.{name}");
    let value = |name: &str, dimension, range, need, get: fn(&Material) -> f64| {
        number(&path(name), dimension, range, need, Getter::Metal(which, get))
    };
    let stretch = |name: &str, range, get: fn(&Material) -> Option<f64>| {
        let need = Need::Else(Fallback::Unknown);
        number(&path(name), Dimension::Ratio, range, need, Getter::MetalIfKnown(which, get))
    };
    let name = match table {
        "material.frame" => Getter::Model(|model| Some(KeyValue::Text(model.materials.frame.name.clone()))),
        "material.gate" => Getter::Model(|model| Some(KeyValue::Text(model.materials.gate.name.clone()))),
        _ => Getter::Model(|model| Some(KeyValue::Text(model.materials.pins.name.clone()))),
    };
    keys.extend([
        key(table, Kind::Material, need, name),
        key(&path("name"), Kind::Text, inside, name),
        value("youngs_modulus_mpa", Dimension::Stress, [1000.0, 500_000.0], inside, |m| m.youngs_modulus_mpa),
        value("poisson_ratio", Dimension::Ratio, [0.0, 0.49], inside, |m| m.poisson_ratio),
        value("yield_mpa", Dimension::Stress, [10.0, 5000.0], inside, |m| m.yield_mpa),
        value("ultimate_mpa", Dimension::Stress, [10.0, 5000.0], inside, |m| m.ultimate_mpa),
        value(
            "shear_ultimate_mpa",
            Dimension::Stress,
            [5.0, 5000.0],
            Need::Else(Fallback::OfUltimate(SHEAR_OF_ULTIMATE)),
            |m| m.shear_ultimate_mpa,
        ),
        stretch("elongation", [0.005, 1.0], |m| m.elongation),
        stretch("reduction_of_area", [0.01, 0.95], |m| m.reduction_of_area),
        value("density_g_cm3", Dimension::Density, [0.5, 25.0], inside, |m| m.density_g_cm3),
        key(&path("source"), Kind::Text, Need::Else(Fallback::Nothing), Getter::Nothing),
    ]);
}

fn marking(keys: &mut Vec<Key>) {
    let mark = |path, get: fn(&crate::model::Model) -> Option<KeyValue>| {
        let need = Need::Else(Fallback::Unknown);
        number(path, Dimension::Force, [0.1, 1000.0], need, Getter::Model(get)).with_slider(1.0, 60.0, 0.5)
    };
    keys.extend([
        mark("marking.closed_kn", |model| model.marking.closed_kn.map(KeyValue::Number)),
        mark("marking.open_kn", |model| model.marking.open_kn.map(KeyValue::Number)),
        mark("marking.across_kn", |model| model.marking.across_kn.map(KeyValue::Number)),
    ]);
}

fn rig(keys: &mut Vec<Key>) {
    use Need::Else;
    keys.extend([
        number(
            "rig.load_kn",
            Dimension::Force,
            [0.01, 1000.0],
            Else(Fallback::Number(DEFAULT_LOAD_KN)),
            Getter::Model(|model| Some(KeyValue::Number(model.rig.load_kn))),
        )
        .with_slider(0.5, 30.0, 0.1),
        number(
            "rig.working_load_kn",
            Dimension::Force,
            [0.01, 1000.0],
            Else(Fallback::Unknown),
            Getter::Model(|model| model.working_load_kn.map(KeyValue::Number)),
        )
        .with_slider(0.5, 30.0, 0.1),
        key(
            "rig.gate",
            Kind::Choice(&["closed", "half", "open"]),
            Else(Fallback::Word("closed")),
            Getter::Model(|model| Some(KeyValue::Word(model.rig.gate.word()))),
        ),
        number(
            "rig.engaged_mm",
            Dimension::Length,
            [0.01, 30.0],
            Need::WhenShown,
            Getter::Model(|model| match model.rig.gate {
                GateState::Half { engaged_mm } => Some(KeyValue::Number(engaged_mm)),
                GateState::Closed | GateState::Open => None,
            }),
        )
        .with_beside("gate", &["half"])
        .with_chosen(Chosen::HalfOfNotch)
        .with_slider(0.5, 6.0, 0.1),
        number(
            "rig.friction",
            Dimension::Ratio,
            [0.0, 1.0],
            Else(Fallback::Number(DEFAULT_FRICTION)),
            Getter::Model(|model| Some(KeyValue::Number(model.rig.friction))),
        )
        .with_slider(0.0, 0.6, 0.01),
        number(
            "rig.stroke_mm",
            Dimension::Length,
            [0.1, 2000.0],
            Else(Fallback::Unknown),
            Getter::Model(|model| model.stroke_mm.map(KeyValue::Number)),
        ),
    ]);
}

fn loader(keys: &mut Vec<Key>, table: &str, which: fn(&Rig) -> &Loader) {
    use Need::Else;
    let path = |name: &str| format!("{table}.{name}");
    let value = |name: &str, dimension, range, need, get: fn(&Loader) -> Option<KeyValue>| {
        number(&path(name), dimension, range, need, Getter::Loader(which, get))
    };
    keys.extend([
        key(
            &path("kind"),
            Kind::Choice(&["strap", "bar"]),
            Else(Fallback::Word("strap")),
            Getter::Loader(which, |loader| Some(KeyValue::Word(LoaderKind::of(loader).word()))),
        ),
        value("width_mm", Dimension::Length, [1.0, 100.0], Else(Fallback::Number(USUAL_MM)), |loader| {
            match loader {
                Loader::Strap { width_mm, .. } => Some(KeyValue::Number(*width_mm)),
                Loader::Bar { .. } => None,
            }
        })
        .with_beside("kind", &["strap"])
        .with_chosen(Chosen::Number(USUAL_MM))
        .with_slider(4.0, 40.0, 0.5),
        value("diameter_mm", Dimension::Length, [2.0, 60.0], Need::WhenShown, |loader| match loader {
            Loader::Bar { diameter_mm, .. } => Some(KeyValue::Number(*diameter_mm)),
            Loader::Strap { .. } => None,
        })
        .with_beside("kind", &["bar"])
        .with_chosen(Chosen::Number(USUAL_MM))
        .with_slider(6.0, 24.0, 0.5),
        value("offset_mm", Dimension::Length, [-150.0, 150.0], Else(Fallback::Number(0.0)), |loader| {
            Some(KeyValue::Number(loader.offset_mm()))
        })
        .with_slider(-25.0, 25.0, 0.1),
        value(
            "stiffness_n_per_mm2",
            Dimension::StrapStiffness,
            [1.0, 10_000.0],
            Else(Fallback::Number(DEFAULT_STRAP_STIFFNESS)),
            |loader| match loader {
                Loader::Strap { stiffness_n_per_mm2, .. } => Some(KeyValue::Number(*stiffness_n_per_mm2)),
                Loader::Bar { .. } => None,
            },
        )
        .with_beside("kind", &["strap"])
        .with_slider(20.0, 400.0, 5.0),
        value("strap_strength_kn", Dimension::Force, [0.1, 1000.0], Else(Fallback::Unknown), |loader| {
            match loader {
                Loader::Strap { strength_kn, .. } => strength_kn.map(KeyValue::Number),
                Loader::Bar { .. } => None,
            }
        })
        .with_beside("kind", &["strap"])
        .with_slider(1.0, 60.0, 0.5),
    ]);
}
