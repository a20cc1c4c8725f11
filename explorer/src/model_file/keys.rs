//! Every key of a model file: what it measures, what is allowed, what happens when it is left out.
//!
//! One table serves the checks, the hints and the file that `pullmap new` writes, so that they cannot disagree. It is in
//! the order in which one measures a connector. The ranges keep out slips (a decimal point, a unit), not odd
//! connectors: they are several times wider than anything on a rigger's shelf. They are engineering judgement.

use super::quantity::Dimension;
use std::sync::LazyLock;

/// What a key holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// Free text.
    Text,
    /// A number, from `low` to `high` in the base unit of its dimension.
    Number {
        /// What it measures.
        dimension: Dimension,
        /// Smallest allowed value.
        low: f64,
        /// Largest allowed value.
        high: f64,
    },
    /// One number for all four corners, or a list of four.
    Corners {
        /// Smallest allowed radius, mm.
        low: f64,
        /// Largest allowed radius, mm.
        high: f64,
    },
    /// One of a few words.
    Choice(&'static [&'static str]),
    /// A material of the library, or a table that describes one.
    Material,
}

/// What happens when a key is left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It must be there.
    Required,
    /// It must be there in the case that the words name, and may not be there otherwise.
    When(&'static str),
    /// The words say what is used instead.
    Else(&'static str),
}

/// A key of the model file.
#[derive(Clone, Debug, PartialEq)]
pub struct Key {
    /// Its path, such as `window.inside_length_mm`.
    pub path: String,
    /// What it holds.
    pub kind: Kind,
    /// What happens when it is left out.
    pub need: Need,
    /// What it is, in words, without unit and final stop.
    pub about: &'static str,
}

impl Key {
    /// The table it is in (empty for `title`) and its name in there.
    #[must_use]
    pub fn table_and_name(&self) -> (&str, &str) {
        self.path.rsplit_once('.').unwrap_or(("", &self.path))
    }

    /// In which case it must be there, in words; empty when in every case or in none. A bar that inherits from the spine
    /// asks for the same as the spine once its own shape differs.
    #[must_use]
    pub fn needed_when(&self) -> &'static str {
        let (table, name) = self.table_and_name();
        match self.need {
            Need::When(when) => when,
            Need::Else(_) if table.starts_with("section.") => {
                find(&format!("section.spine.{name}")).map_or("", Self::needed_when)
            }
            _ => "",
        }
    }
}

static KEYS: LazyLock<Vec<Key>> = LazyLock::new(list);

/// All keys, in the order of measuring.
#[must_use]
pub fn all() -> &'static [Key] {
    &KEYS
}

/// The key with this path.
#[must_use]
pub fn find(path: &str) -> Option<&'static Key> {
    all().iter().find(|key| key.path == path)
}

/// Whether keys live below this path.
#[must_use]
pub fn is_table(path: &str) -> bool {
    all().iter().any(|key| key.path.strip_prefix(path).is_some_and(|rest| rest.starts_with('.')))
}

/// Why no share, stress or limit depends on this key, if none does: such a key need not be varied.
#[must_use]
pub fn changes_nothing(path: &str) -> Option<&'static str> {
    let (table, name) = path.rsplit_once('.').unwrap_or(("", path));
    match (table, name) {
        ("", "title") => Some("it is a name"),
        ("marking", _) => Some("a marking is set beside what was computed, and changes none of it"),
        (table, "name" | "source") if MATERIALS.contains(&table) => Some("it is kept for the reader"),
        (table, "density_g_cm3") if MATERIALS.contains(&table) => {
            Some("the weight follows from it, and nothing else")
        }
        _ => None,
    }
}

/// Paths of the materials of the three kinds of part.
pub const MATERIALS: [&str; 3] = ["material.frame", "material.gate", "material.pins"];

/// The words of `shape`.
pub const SHAPES: [&str; 4] = ["round", "oval", "rectangle", "i"];

fn list() -> Vec<Key> {
    let mut keys = Vec::new();
    keys.push(key("title", Kind::Text, Need::Else("the name of the file"), "A name to find it again by"));
    window(&mut keys);
    section(&mut keys, "section.spine", None);
    section(&mut keys, "section.upper", Some("as section.spine"));
    section(&mut keys, "section.lower", Some("as section.spine"));
    nose(&mut keys);
    gate_and_hinge(&mut keys);
    for path in MATERIALS {
        material(&mut keys, path);
    }
    marking(&mut keys);
    rig(&mut keys);
    keys
}

fn key(path: &str, kind: Kind, need: Need, about: &'static str) -> Key {
    Key { path: path.to_owned(), kind, need, about }
}

fn number(path: &str, dimension: Dimension, range: [f64; 2], need: Need, about: &'static str) -> Key {
    key(path, Kind::Number { dimension, low: range[0], high: range[1] }, need, about)
}

fn length(path: &str, range: [f64; 2], need: Need, about: &'static str) -> Key {
    number(path, Dimension::Length, range, need, about)
}

fn window(keys: &mut Vec<Key>) {
    use Need::{Else, Required};
    let slope = |path, about| number(path, Dimension::Angle, [-60.0, 60.0], Else("0"), about);
    keys.extend([
        length(
            "window.inside_length_mm",
            [10.0, 500.0],
            Required,
            "Length inside along the major axis, at mid-width",
        ),
        length(
            "window.upper_width_mm",
            [5.0, 300.0],
            Required,
            "Width inside at the upper end (the nose end), as if its corners were sharp",
        ),
        length(
            "window.lower_width_mm",
            [5.0, 300.0],
            Else("upper_width_mm"),
            "The same at the lower end (the hinge end)",
        ),
        slope("window.upper_slope_deg", "Slope of the upper end, above 0 when it rises toward the gate"),
        slope("window.lower_slope_deg", "Slope of the lower end, above 0 when it rises toward the gate"),
        key(
            "window.corner_radius_mm",
            Kind::Corners { low: 0.5, high: 150.0 },
            Required,
            "Inner corner radius: one number, or [upper spine, upper gate, lower gate, lower spine]",
        ),
    ]);
}

fn section(keys: &mut Vec<Key>, table: &str, inherited: Option<&'static str>) {
    let path = |name: &str| format!("{table}.{name}");
    let need = |own: Need| inherited.map_or(own, Need::Else);
    let size = [0.5, 60.0];
    keys.extend([
        key(
            &path("shape"),
            Kind::Choice(&SHAPES),
            need(Need::Required),
            "round, oval (flat sides, round edges), rectangle, or i (two flanges and a web)",
        ),
        length(
            &path("depth_mm"),
            [2.0, 60.0],
            need(Need::Required),
            "Size of the bar in the plane of the connector",
        ),
        length(
            &path("breadth_mm"),
            size,
            need(Need::When("the bar is not round")),
            "Size of the bar across the plane",
        ),
        length(
            &path("flange_mm"),
            size,
            need(Need::When("shape = \"i\"")),
            "Thickness of each flange, in the plane",
        ),
        length(
            &path("web_mm"),
            size,
            need(Need::When("shape = \"i\"")),
            "Thickness of the web, across the plane",
        ),
    ]);
}

fn nose(keys: &mut Vec<Key>) {
    use Need::{Else, Required};
    keys.extend([
        length(
            "nose.tip_mm",
            [2.0, 150.0],
            Required,
            "From the upper inner edge down to the tip of the nose, along the gate side",
        ),
        length("nose.notch_depth_mm", [0.3, 30.0], Required, "Depth of the notch, square to the gate side"),
        length("nose.lip_height_mm", [0.3, 30.0], Required, "What stands between the notch and the tip"),
        length("nose.lip_breadth_mm", size(), Else("nose.breadth_mm"), "Breadth of the lip across the plane"),
        length("nose.breadth_mm", size(), Required, "Breadth of the machined nose across the plane"),
        length(
            "nose.pin_diameter_mm",
            [0.5, 20.0],
            Required,
            "Diameter of the pin that sits in the notch when the gate is shut",
        ),
        length(
            "nose.pin_clearance_mm",
            [0.0, 3.0],
            Required,
            "Radial clearance of that pin: half of how much wider the notch is (clearance is often 0.1 to 0.4)",
        ),
        number(
            "nose.flank_angle_deg",
            Dimension::Angle,
            [-20.0, 45.0],
            Else("0"),
            "Undercut: above 0 when the lip's flank rises toward the mouth and holds the pin in",
        ),
        key(
            "nose.lip_on",
            Kind::Choice(&["frame", "gate"]),
            Else("\"frame\""),
            "frame: the nose has the notch, the gate the pin; gate: the gate has the notch, the nose a head",
        ),
    ]);
}

fn size() -> [f64; 2] {
    [0.5, 60.0]
}

fn gate_and_hinge(keys: &mut Vec<Key>) {
    use Need::{Else, Required};
    keys.extend([
        length("gate.width_mm", [1.0, 40.0], Required, "Width of the gate in the plane"),
        length("gate.breadth_mm", [1.0, 40.0], Required, "Breadth of the gate across the plane"),
        length(
            "gate.cheek_mm",
            [0.2, 20.0],
            Else("3, or a third of the breadth if that is less"),
            "One cheek of the gate, the wall that carries a pin, across the plane",
        ),
        length(
            "gate.cheek_clearance_mm",
            [0.0, 5.0],
            Else("0.5"),
            "Clearance of that cheek beside nose or lug",
        ),
        length(
            "hinge.height_mm",
            [2.0, 200.0],
            Required,
            "Centre of the hinge pin above the lower inner edge, along the gate side",
        ),
        length("hinge.pin_diameter_mm", [0.5, 20.0], Required, "Diameter of the hinge pin"),
        length(
            "hinge.pin_clearance_mm",
            [0.0, 3.0],
            Required,
            "Radial clearance of the hinge pin in its hole",
        ),
        length(
            "hinge.lug_radius_mm",
            [1.0, 40.0],
            Else("half the depth of the lower bar"),
            "Radius of the lug of the frame about the pin",
        ),
        length(
            "hinge.lug_breadth_mm",
            size(),
            Else("nose.breadth_mm"),
            "Breadth of that lug across the plane",
        ),
    ]);
}

fn material(keys: &mut Vec<Key>, table: &'static str) {
    let (need, about) = match table {
        "material.frame" => (
            Need::Required,
            "Frame: a name that `pullmap materials` lists, unknown-aluminium, unknown-steel, or a table of your own",
        ),
        "material.gate" => (Need::Else("as material.frame"), "Gate"),
        _ => (Need::Else("\"4340-180\""), "Nose pin and hinge pin"),
    };
    keys.push(key(table, Kind::Material, need, about));
    let inside = Need::When("the material is a table of your own");
    let path = |name: &str| format!("{table}.{name}");
    let stress = |name: &str, about| number(&path(name), Dimension::Stress, [10.0, 5000.0], inside, about);
    keys.extend([
        key(&path("name"), Kind::Text, inside, "Name of the material"),
        number(
            &path("youngs_modulus_mpa"),
            Dimension::Stress,
            [1000.0, 500_000.0],
            inside,
            "Young's modulus (aluminium about \"71 GPa\", steel \"200 GPa\")",
        ),
        number(
            &path("poisson_ratio"),
            Dimension::Ratio,
            [0.0, 0.49],
            inside,
            "Poisson's ratio (metals: 0.27 to 0.34)",
        ),
        stress("yield_mpa", "Yield strength"),
        stress("ultimate_mpa", "Ultimate tensile strength"),
        number(
            &path("shear_ultimate_mpa"),
            Dimension::Stress,
            [5.0, 5000.0],
            Need::Else("0.6 of the ultimate strength"),
            "Ultimate shear strength",
        ),
        number(&path("density_g_cm3"), Dimension::Density, [0.5, 25.0], inside, "Density"),
        key(&path("source"), Kind::Text, Need::Else("nothing"), "Where these values come from"),
    ]);
}

fn marking(keys: &mut Vec<Key>) {
    let mark = |path, about| number(path, Dimension::Force, [0.1, 1000.0], Need::Else("unknown"), about);
    keys.extend([
        mark("marking.closed_kn", "Marked strength along the major axis, gate closed"),
        mark("marking.open_kn", "Marked strength along the major axis, gate open"),
        mark(
            "marking.across_kn",
            "Marked strength across (kept for the record: a pull across is not modelled)",
        ),
    ]);
}

fn rig(keys: &mut Vec<Key>) {
    use Need::Else;
    keys.extend([
        number("rig.load_kn", Dimension::Force, [0.01, 1000.0], Else("10"), "The pull"),
        key(
            "rig.gate",
            Kind::Choice(&["closed", "half", "open"]),
            Else("\"closed\""),
            "closed, half (the pin only partly in the notch) or open",
        ),
        length(
            "rig.engaged_mm",
            [0.01, 30.0],
            Need::When("gate = \"half\""),
            "How far the pin's leading edge is past the mouth of the notch",
        ),
        number(
            "rig.friction",
            Dimension::Ratio,
            [0.0, 1.0],
            Else("0.2"),
            "Coefficient of friction to rely on",
        ),
    ]);
    for table in ["rig.upper", "rig.lower"] {
        let path = |name: &str| format!("{table}.{name}");
        keys.extend([
            key(
                &path("kind"),
                Kind::Choice(&["strap", "bar"]),
                Else("\"strap\""),
                "strap, or bar for a bench bar",
            ),
            length(&path("width_mm"), [1.0, 100.0], Else("12 for a strap"), "Width of the strap"),
            length(
                &path("diameter_mm"),
                [2.0, 60.0],
                Need::When("kind = \"bar\""),
                "Diameter of the bench bar",
            ),
            length(
                &path("offset_mm"),
                [-150.0, 150.0],
                Else("0"),
                "Its middle from the middle of the window, above 0 toward the gate",
            ),
            number(
                &path("stiffness_n_per_mm2"),
                Dimension::StrapStiffness,
                [1.0, 10_000.0],
                Else("100 for a strap"),
                "Stiffness of a strap, N per mm of width and mm of stretch (webbing: 20 to 150)",
            ),
            number(
                &path("strap_strength_kn"),
                Dimension::Force,
                [0.1, 1000.0],
                Else("unknown"),
                "Strength of the strap itself",
            ),
        ]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_unique_and_ranges_are_ranges() {
        for (at, key) in all().iter().enumerate() {
            assert!(all()[..at].iter().all(|other| other.path != key.path), "{} twice", key.path);
            if let Kind::Number { low, high, .. } | Kind::Corners { low, high } = key.kind {
                assert!(low < high, "{}", key.path);
            }
        }
    }

    #[test]
    fn a_length_says_so_in_its_name() {
        for key in all() {
            if let Kind::Number { dimension, .. } = key.kind {
                let ending = match dimension {
                    Dimension::Length => "_mm",
                    Dimension::Force => "_kn",
                    Dimension::Angle => "_deg",
                    Dimension::Stress => "_mpa",
                    Dimension::StrapStiffness => "_n_per_mm2",
                    Dimension::Density => "_g_cm3",
                    Dimension::Ratio => "",
                };
                assert!(key.path.ends_with(ending), "{}", key.path);
            }
        }
    }

    #[test]
    fn keys_that_change_nothing_say_why() {
        let idle: Vec<&str> = all()
            .iter()
            .map(|key| key.path.as_str())
            .filter(|path| changes_nothing(path).is_some())
            .collect();
        // A title, three markings, and name, source and density of three materials.
        assert_eq!(idle.len(), 1 + 3 + 9, "{idle:?}");
        assert!(changes_nothing("material.frame").is_none() && changes_nothing("rig.load_kn").is_none());
    }

    #[test]
    fn tables_are_known() {
        assert!(is_table("section.spine") && is_table("rig") && is_table("material.gate"));
        assert!(!is_table("window.inside_length_mm") && !is_table("win"));
        assert_eq!(find("rig.upper.width_mm").unwrap().table_and_name(), ("rig.upper", "width_mm"));
    }
}
