//! The controls of the page: every key of a model file in the groups in which a person thinks of a connector, with short
//! labels and the range that a slider covers. What a key means and what is allowed comes from the model file's own table.

use crate::model_file::Model;
use crate::model_file::keys::{self, Key, Kind, Need};
use crate::model_file::set::is_sized_when_chosen;
use geometry::connector::{LipOn, Section, SectionShape};
use serde::Serialize;
use serde_json::{Map, Value as Json, json};
use solver::material::Material;
use solver::material::library;
use solver::rig::{GateState, Loader};

/// Size in mm of a strap or bar that is chosen without one, as the page writes it.
const USUAL: &str = "12";

/// A group of controls.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Group {
    /// Its short name in the table of parameters.
    pub id: &'static str,
    /// Its heading.
    pub title: &'static str,
}

/// The groups, in the order of the page.
pub const GROUPS: [Group; 8] = [
    Group { id: "window", title: "Window" },
    Group { id: "sections", title: "Sections" },
    Group { id: "nose", title: "Nose and notch" },
    Group { id: "gate", title: "Gate" },
    Group { id: "hinge", title: "Hinge" },
    Group { id: "material", title: "Material" },
    Group { id: "rig", title: "Rig" },
    Group { id: "marking", title: "Marking" },
];

/// A control.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Parameter {
    /// The key of the model file.
    pub key: &'static str,
    /// Its group.
    pub group: &'static str,
    /// A short name.
    pub label: String,
    /// What it is, in words.
    pub about: &'static str,
    /// `number`, `choice`, `corners`, `material` or `text`.
    pub kind: &'static str,
    /// Unit of a bare number; empty without one.
    pub unit: &'static str,
    /// What the model file allows, for numbers.
    pub allowed: Option<[f64; 2]>,
    /// What a slider covers, for numbers.
    pub slider: Option<Slider>,
    /// Words of a choice.
    pub choices: Vec<Choice>,
    /// What is used when the key is not given; empty when it must be.
    pub left_out: &'static str,
    /// Whether a change needs a new mesh.
    pub rebuilds: bool,
    /// When the key has a meaning; always where absent.
    pub shown_when: Option<ShownWhen>,
}

/// What a slider covers.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Slider {
    /// Smallest value.
    pub min: f64,
    /// Largest value.
    pub max: f64,
    /// Distance of neighbouring values.
    pub step: f64,
}

/// A word of a choice and its label.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Choice {
    /// The word in the model file.
    pub value: &'static str,
    /// The word for people.
    pub label: &'static str,
}

/// A key has a meaning only beside certain words of another.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShownWhen {
    /// The other key.
    pub key: String,
    /// Its words.
    #[serde(rename = "in")]
    pub words: &'static [&'static str],
}

/// All controls, in the order of measuring.
#[must_use]
pub fn all() -> Vec<Parameter> {
    let own_material = |key: &&Key| keys::MATERIALS.contains(&key.table_and_name().0);
    keys::all().iter().filter(|key| !own_material(key)).map(parameter).collect()
}

fn parameter(key: &'static Key) -> Parameter {
    let path = key.path.as_str();
    let (kind, unit, allowed) = match key.kind {
        Kind::Text => ("text", "", None),
        Kind::Number { dimension, low, high } => ("number", dimension.base_unit(), Some([low, high])),
        Kind::Corners { low, high } => ("corners", "mm", Some([low, high])),
        Kind::Choice(_) => ("choice", "", None),
        Kind::Material => ("material", "", None),
    };
    let words: &[&str] = if let Kind::Choice(words) = key.kind { words } else { &[] };
    Parameter {
        key: path,
        group: group(path),
        label: label(path),
        about: key.about,
        kind,
        unit,
        allowed,
        slider: allowed.map(|allowed| slider(path, allowed)),
        choices: words.iter().map(|word| Choice { value: word, label: word_label(word) }).collect(),
        left_out: match key.need {
            Need::Else(words) => words,
            // On the page a kind is always chosen, never read from a file.
            Need::When(_) if is_sized_when_chosen(path) => USUAL,
            Need::When(_) if path == "rig.engaged_mm" => "half way into the notch",
            Need::Required | Need::When(_) => "",
        },
        rebuilds: path == "rig.engaged_mm"
            || !(path.starts_with("rig.") || path.starts_with("marking.") || path == "title"),
        shown_when: shown_when(key),
    }
}

fn group(path: &str) -> &'static str {
    match path.split('.').next().unwrap_or_default() {
        "section" => "sections",
        "nose" => "nose",
        "gate" => "gate",
        "hinge" => "hinge",
        "material" => "material",
        "rig" => "rig",
        "window" => "window",
        _ => "marking",
    }
}

fn label(path: &str) -> String {
    let (table, name) = path.rsplit_once('.').unwrap_or(("", path));
    let end = match table {
        "section.spine" => "Spine ",
        "section.upper" => "Upper bar ",
        "section.lower" => "Lower bar ",
        "rig.upper" => "Upper ",
        "rig.lower" => "Lower ",
        _ => "",
    };
    let words = match (table, name) {
        ("window", "inside_length_mm") => "length",
        ("window", "upper_width_mm") => "upper width",
        ("window", "lower_width_mm") => "lower width",
        ("window", "upper_slope_deg") => "upper slope",
        ("window", "lower_slope_deg") => "lower slope",
        ("window", "corner_radius_mm") => "corner radius",
        ("nose", "tip_mm") => "nose tip",
        ("nose", "notch_depth_mm") => "notch depth",
        ("nose", "lip_height_mm") => "lip height",
        ("nose", "lip_breadth_mm") => "lip breadth",
        ("nose", "breadth_mm") => "nose breadth",
        ("nose", "pin_diameter_mm") => "nose pin diameter",
        ("nose", "pin_clearance_mm") => "nose pin clearance",
        ("nose", "flank_angle_deg") => "flank angle",
        ("nose", "lip_on") => "lip on",
        ("gate", "cheek_mm") => "cheek",
        ("gate", "cheek_clearance_mm") => "cheek clearance",
        ("gate", "width_mm") => "gate width",
        ("gate", "breadth_mm") => "gate breadth",
        ("hinge", "height_mm") => "hinge height",
        ("hinge", "pin_diameter_mm") => "hinge pin diameter",
        ("hinge", "pin_clearance_mm") => "hinge pin clearance",
        ("hinge", "lug_radius_mm") => "lug radius",
        ("hinge", "lug_breadth_mm") => "lug breadth",
        ("marking", "closed_kn") => "marked, gate closed",
        ("marking", "open_kn") => "marked, gate open",
        ("marking", "across_kn") => "marked, across",
        ("rig", "load_kn") => "pull",
        ("rig", "engaged_mm") => "pin engaged",
        (_, "kind") => "load by",
        (_, "width_mm") => "strap width",
        (_, "diameter_mm") => "bar diameter",
        (_, "offset_mm") => "offset",
        (_, "stiffness_n_per_mm2") => "strap stiffness",
        (_, "strap_strength_kn") => "strap strength",
        (_, "depth_mm") => "depth",
        (_, "breadth_mm") => "breadth",
        (_, "flange_mm") => "flange",
        (_, "web_mm") => "web",
        (_, other) => other,
    };
    let whole = format!("{end}{words}");
    let mut letters = whole.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn word_label(word: &'static str) -> &'static str {
    match word {
        "i" => "I-shaped",
        "bar" => "bench bar",
        "half" => "half shut",
        other => other,
    }
}

fn shown_when(key: &Key) -> Option<ShownWhen> {
    let (table, name) = key.table_and_name();
    let (chooser, words): (String, &'static [&'static str]) = match (table, name) {
        ("rig", "engaged_mm") => ("rig.gate".to_owned(), &["half"]),
        ("rig.upper" | "rig.lower", "width_mm" | "stiffness_n_per_mm2" | "strap_strength_kn") => {
            (format!("{table}.kind"), &["strap"])
        }
        ("rig.upper" | "rig.lower", "diameter_mm") => (format!("{table}.kind"), &["bar"]),
        (_, "breadth_mm") if table.starts_with("section.") => {
            (format!("{table}.shape"), &["oval", "rectangle", "i"])
        }
        (_, "flange_mm" | "web_mm") if table.starts_with("section.") => (format!("{table}.shape"), &["i"]),
        _ => return None,
    };
    Some(ShownWhen { key: chooser, words })
}

/// What a slider covers: what is met on a rigger's shelf. Engineering judgement.
fn slider(path: &str, allowed: [f64; 2]) -> Slider {
    let (min, max, step) = match path {
        "window.inside_length_mm" => (30.0, 140.0, 0.5),
        "window.upper_width_mm" | "window.lower_width_mm" => (14.0, 90.0, 0.5),
        "window.upper_slope_deg" | "window.lower_slope_deg" => (-30.0, 40.0, 0.5),
        "window.corner_radius_mm" => (3.0, 30.0, 0.5),
        "nose.tip_mm" => (6.0, 35.0, 0.25),
        "nose.notch_depth_mm" => (2.5, 12.0, 0.1),
        "nose.lip_height_mm" => (1.5, 10.0, 0.1),
        "nose.pin_diameter_mm" | "hinge.pin_diameter_mm" => (2.0, 8.0, 0.1),
        "nose.pin_clearance_mm" | "hinge.pin_clearance_mm" => (0.0, 0.8, 0.01),
        "nose.flank_angle_deg" => (-10.0, 25.0, 0.5),
        "nose.breadth_mm" | "nose.lip_breadth_mm" | "hinge.lug_breadth_mm" => (4.0, 20.0, 0.25),
        "gate.width_mm" | "gate.breadth_mm" => (4.0, 20.0, 0.25),
        "gate.cheek_mm" => (0.5, 6.0, 0.1),
        "gate.cheek_clearance_mm" => (0.0, 2.0, 0.05),
        "hinge.height_mm" => (5.0, 30.0, 0.25),
        "hinge.lug_radius_mm" => (4.0, 14.0, 0.1),
        "rig.load_kn" => (0.5, 30.0, 0.1),
        "rig.engaged_mm" => (0.5, 6.0, 0.1),
        "rig.friction" => (0.0, 0.6, 0.01),
        _ => match path.rsplit_once('.').map_or(path, |parts| parts.1) {
            "depth_mm" | "breadth_mm" => (5.0, 24.0, 0.25),
            "flange_mm" => (1.5, 8.0, 0.1),
            "web_mm" => (1.5, 14.0, 0.1),
            "width_mm" => (4.0, 40.0, 0.5),
            "diameter_mm" => (6.0, 24.0, 0.5),
            "offset_mm" => (-25.0, 25.0, 0.1),
            "stiffness_n_per_mm2" => (20.0, 400.0, 5.0),
            "strap_strength_kn" | "closed_kn" | "open_kn" | "across_kn" => (1.0, 60.0, 0.5),
            _ => (allowed[0], allowed[1], 0.1),
        },
    };
    Slider { min, max, step }
}

/// The numbers that a model was solved with, for every numeric key that has a meaning there.
#[must_use]
pub fn used(model: &Model) -> Map<String, Json> {
    let mut map = Map::new();
    let mut put = |key: &str, value: f64| {
        map.insert(key.to_owned(), json!(value));
    };
    let (c, rig) = (&model.connector, &model.rig);
    put("window.inside_length_mm", c.window.inside_length_mm);
    put("window.upper_width_mm", c.window.upper_width_mm);
    put("window.lower_width_mm", c.window.lower_width_mm);
    put("window.upper_slope_deg", c.window.upper_slope_deg);
    put("window.lower_slope_deg", c.window.lower_slope_deg);
    put("nose.tip_mm", c.nose.tip_mm);
    put("nose.notch_depth_mm", c.nose.notch_depth_mm);
    put("nose.lip_height_mm", c.nose.lip_height_mm);
    put("nose.lip_breadth_mm", c.nose.lip_breadth_mm);
    put("nose.breadth_mm", c.nose.breadth_mm);
    put("nose.pin_diameter_mm", c.nose.pin_diameter_mm);
    put("nose.pin_clearance_mm", c.nose.pin_clearance_mm);
    put("nose.flank_angle_deg", c.nose.flank_angle_deg);
    put("gate.width_mm", c.gate.width_mm);
    put("gate.breadth_mm", c.gate.breadth_mm);
    put("gate.cheek_mm", c.gate.cheek_mm);
    put("gate.cheek_clearance_mm", c.gate.cheek_clearance_mm);
    put("hinge.height_mm", c.hinge.height_mm);
    put("hinge.pin_diameter_mm", c.hinge.pin_diameter_mm);
    put("hinge.pin_clearance_mm", c.hinge.pin_clearance_mm);
    put("hinge.lug_radius_mm", c.hinge.lug_radius_mm);
    put("hinge.lug_breadth_mm", c.hinge.lug_breadth_mm);
    put("rig.load_kn", rig.load_kn);
    put("rig.friction", rig.friction);
    let marking = model.marking;
    for (key, value) in [
        ("marking.closed_kn", marking.closed_kn),
        ("marking.open_kn", marking.open_kn),
        ("marking.across_kn", marking.across_kn),
    ] {
        if let Some(value) = value {
            put(key, value);
        }
    }
    if let GateState::Half { engaged_mm } = rig.gate {
        put("rig.engaged_mm", engaged_mm);
    }
    map.insert("window.corner_radius_mm".to_owned(), json!(c.window.corner_radius_mm));
    for (table, section) in [("spine", c.spine), ("upper", c.upper), ("lower", c.lower)] {
        add_section(&mut map, table, section);
    }
    for (table, loader) in [("upper", rig.upper), ("lower", rig.lower)] {
        add_loader(&mut map, table, loader);
    }
    map.insert("rig.gate".to_owned(), json!(rig.gate.word()));
    map.insert("nose.lip_on".to_owned(), json!(if c.nose.lip_on == LipOn::Gate { "gate" } else { "frame" }));
    map
}

fn add_section(map: &mut Map<String, Json>, table: &str, section: Section) {
    let mut put = |name: &str, value: Json| {
        map.insert(format!("section.{table}.{name}"), value);
    };
    let shape = match section.shape {
        SectionShape::Round => "round",
        SectionShape::Oval => "oval",
        SectionShape::Rectangle => "rectangle",
        SectionShape::I { .. } => "i",
    };
    put("shape", json!(shape));
    put("depth_mm", json!(section.depth_mm));
    if section.shape != SectionShape::Round {
        put("breadth_mm", json!(section.breadth_mm));
    }
    if let SectionShape::I { flange_mm, web_mm } = section.shape {
        put("flange_mm", json!(flange_mm));
        put("web_mm", json!(web_mm));
    }
}

fn add_loader(map: &mut Map<String, Json>, table: &str, loader: Loader) {
    let mut put = |name: &str, value: Json| {
        map.insert(format!("rig.{table}.{name}"), value);
    };
    match loader {
        Loader::Strap { width_mm, offset_mm, stiffness_n_per_mm2, strength_kn } => {
            put("kind", json!("strap"));
            put("width_mm", json!(width_mm));
            put("offset_mm", json!(offset_mm));
            put("stiffness_n_per_mm2", json!(stiffness_n_per_mm2));
            if let Some(strength_kn) = strength_kn {
                put("strap_strength_kn", json!(strength_kn));
            }
        }
        Loader::Bar { diameter_mm, offset_mm } => {
            put("kind", json!("bar"));
            put("diameter_mm", json!(diameter_mm));
            put("offset_mm", json!(offset_mm));
        }
    }
}

/// The metals that a page may name, with what is shown of them.
#[must_use]
pub fn materials() -> Vec<Json> {
    library::all()
        .iter()
        .map(|metal| {
            let Material { name, youngs_modulus_mpa, yield_mpa, ultimate_mpa, .. } = metal.material();
            json!({
                "name": metal.key, "title": name, "youngs_modulus_mpa": youngs_modulus_mpa,
                "family": if youngs_modulus_mpa < 100_000.0 { "aluminium" } else { "steel" },
                "yield_mpa": yield_mpa, "ultimate_mpa": ultimate_mpa,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model_file::builtin;

    #[test]
    fn the_usual_size_is_the_one_that_is_taken() {
        assert_eq!(USUAL.parse(), Ok(crate::model_file::set::USUAL_MM));
    }

    #[test]
    fn every_control_has_a_group_and_a_slider_within_what_is_allowed() {
        for parameter in all() {
            assert!(GROUPS.iter().any(|group| group.id == parameter.group), "{}", parameter.key);
            assert!(!parameter.label.contains('_'), "{}", parameter.label);
            if let (Some(slider), Some([low, high])) = (parameter.slider, parameter.allowed) {
                assert!(low <= slider.min && slider.max <= high && slider.step > 0.0, "{}", parameter.key);
            }
            if let Some(when) = parameter.shown_when {
                assert!(keys::find(&when.key).is_some(), "{}", when.key);
            }
        }
    }

    #[test]
    fn sliders_cover_the_built_in_models() {
        let controls = all();
        for (name, _) in builtin::MODELS {
            for (key, value) in used(&crate::model_file::load_argument(name, &[]).unwrap()) {
                let control = controls.iter().find(|control| control.key == key).unwrap();
                let values = value.as_array().cloned().unwrap_or_else(|| vec![value.clone()]);
                for value in values.iter().filter_map(Json::as_f64) {
                    let slider = control.slider.unwrap();
                    assert!((slider.min..=slider.max).contains(&value), "{name} {key} {value}");
                }
            }
        }
    }
}
