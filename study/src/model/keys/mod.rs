//! Every key of a model file: what it measures, what is allowed, what happens when it is left out, when it has a meaning,
//! what a slider covers, and which value of a checked model it is.
//!
//! One table serves the checks, the hints, the commented file, `--set`, `--vary` and the controls of the page, so that they
//! cannot disagree. It is in the order in which one measures a connector. What a key means in words is told by its path
//! elsewhere. The ranges keep out slips (a decimal point, a unit), not odd connectors: they are several times wider than
//! anything on a rigger's shelf. They are engineering judgement.

mod getter;
mod list;

pub use getter::{Getter, KeyValue};

use super::Model;
use super::dimension::Dimension;
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

impl Kind {
    /// What its numbers measure; `None` where it holds none.
    #[must_use]
    pub fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Number { dimension, .. } => Some(dimension),
            Self::Corners { .. } => Some(Dimension::Length),
            Self::Text | Self::Choice(_) | Self::Material => None,
        }
    }

    /// Smallest and largest allowed number, in the base unit; `None` where it holds none.
    #[must_use]
    pub fn range(self) -> Option<[f64; 2]> {
        match self {
            Self::Number { low, high, .. } | Self::Corners { low, high } => Some([low, high]),
            Self::Text | Self::Choice(_) | Self::Material => None,
        }
    }
}

/// Another key of the same table, and the words of it beside which a key has a meaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Beside {
    /// Name of the other key.
    pub chooser: &'static str,
    /// Its words.
    pub words: &'static [&'static str],
}

/// What happens when a key is left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Need {
    /// It must be there.
    Required,
    /// It must be there beside the words that it has a meaning beside ([`Key::beside`]), and may not be there otherwise.
    WhenShown,
    /// It must be there when the material is a table of one's own.
    InOwnMaterial,
    /// It may stand in the place of the key with this path, which then may not be there: what a caliper reads instead.
    InPlaceOf(&'static str),
    /// It may be left out.
    Else(Fallback),
}

/// What is used instead of a key that is left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fallback {
    /// A number, in the base unit of the key.
    Number(f64),
    /// A word.
    Word(&'static str),
    /// The value of another key; without a dot it is one of the same table.
    Key(&'static str),
    /// What another table, or the material of another part, holds.
    As(&'static str),
    /// A third of the breadth of the gate, and no more than this, mm.
    ThirdOfBreadth {
        /// The most, mm.
        most_mm: f64,
    },
    /// Half the depth of the lower bar.
    HalfLowerDepth,
    /// This share of the ultimate strength.
    OfUltimate(f64),
    /// The name of the file.
    FileName,
    /// It stays unknown.
    Unknown,
    /// Nothing.
    Nothing,
}

/// What is taken for a key that a set leaves untold when it chooses the word beside which the key has a meaning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Chosen {
    /// This number, in the base unit of the key.
    Number(f64),
    /// Half the depth of the notch.
    HalfOfNotch,
}

/// What a slider covers: what is met on a rigger's shelf. Engineering judgement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slider {
    /// Smallest value.
    pub min: f64,
    /// Largest value.
    pub max: f64,
    /// Distance of neighbouring values.
    pub step: f64,
}

/// What of a connector a key belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// The window.
    Window,
    /// The three bars of the frame.
    Sections,
    /// Nose and notch.
    Nose,
    /// The gate.
    Gate,
    /// The hinge.
    Hinge,
    /// The metals.
    Material,
    /// How it is pulled.
    Rig,
    /// Its name and what is stamped on it.
    Marking,
}

impl Group {
    /// All groups, in the order in which one thinks of a connector.
    pub const ALL: [Self; 8] = [
        Self::Window,
        Self::Sections,
        Self::Nose,
        Self::Gate,
        Self::Hinge,
        Self::Material,
        Self::Rig,
        Self::Marking,
    ];
}

/// Why no share, stress or limit depends on a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Idle {
    /// It is a name.
    Name,
    /// It is a marking, set beside what was computed.
    Marking,
    /// It is kept for the reader.
    ForTheReader,
    /// Only the weight follows from it.
    Weight,
    /// Only how far the metal stretches before it tears follows from it.
    Stretch,
    /// It is the load in use, beside which results are set.
    InUse,
    /// Only the end of a pull until failure follows from it.
    Stroke,
    /// It is set beside what was computed, to tell whether the model is right.
    Check,
}

/// A key of the model file.
#[derive(Clone, Debug)]
pub struct Key {
    /// Its path, such as `window.inside_length_mm`.
    pub path: String,
    /// What it holds.
    pub kind: Kind,
    /// What happens when it is left out.
    pub need: Need,
    /// What it has a meaning beside; always where absent.
    pub beside: Option<Beside>,
    /// What is taken for it when a set chooses the word it has a meaning beside.
    pub chosen: Option<Chosen>,
    /// What a slider covers, for numbers.
    pub slider: Option<Slider>,
    getter: Getter,
}

impl PartialEq for Key {
    /// A path stands once in the table.
    fn eq(&self, other: &Self) -> bool {
        self.path == other.path
    }
}

impl Key {
    /// The table it is in (empty for `title`) and its name in there.
    #[must_use]
    pub fn table_and_name(&self) -> (&str, &str) {
        self.path.rsplit_once('.').unwrap_or(("", &self.path))
    }

    /// What it belongs to.
    #[must_use]
    pub fn group(&self) -> Group {
        match self.path.split('.').next().unwrap_or_default() {
            "window" => Group::Window,
            "section" => Group::Sections,
            "nose" => Group::Nose,
            "gate" => Group::Gate,
            "hinge" => Group::Hinge,
            "material" => Group::Material,
            "rig" => Group::Rig,
            _ => Group::Marking,
        }
    }

    /// What happens when it is left out once its own table asks for it: a bar that inherits from the spine asks for the same
    /// as the spine once its own shape differs.
    #[must_use]
    pub fn own_need(&self) -> Need {
        let (table, name) = self.table_and_name();
        match self.need {
            Need::Else(_) if table.starts_with("section.") && table != "section.spine" => {
                find(&format!("section.spine.{name}")).map_or(self.need, |spine| spine.need)
            }
            need => need,
        }
    }

    /// The key in whose place it may stand.
    #[must_use]
    pub fn in_place_of(&self) -> Option<&'static str> {
        match self.need {
            Need::InPlaceOf(own) => Some(own),
            _ => None,
        }
    }

    /// The unit of a bare number; empty for words and plain ratios.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        self.kind.dimension().map_or("", Dimension::base_unit)
    }

    /// Whether a change of it needs a new mesh.
    #[must_use]
    pub fn rebuilds(&self) -> bool {
        self.path == "rig.engaged_mm" || !matches!(self.group(), Group::Rig | Group::Marking)
    }

    /// The value of a model; `None` where the key has no meaning there, or stayed unknown.
    #[must_use]
    pub fn value(&self, model: &Model) -> Option<KeyValue> {
        self.getter.value(model)
    }
}

static KEYS: LazyLock<Vec<Key>> = LazyLock::new(list::list);

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

/// Tables in the order of their first key; the first, without a name, holds the title.
#[must_use]
pub fn tables() -> Vec<&'static str> {
    let mut tables: Vec<&str> = Vec::new();
    for key in all() {
        let table = key.table_and_name().0;
        if !tables.contains(&table) {
            tables.push(table);
        }
    }
    tables
}

/// The keys of a table, in the order of measuring.
pub fn of_table(table: &str) -> impl Iterator<Item = &'static Key> {
    all().iter().filter(move |key| key.table_and_name().0 == table)
}

/// Why no share, stress or limit depends on this key, if none does: such a key need not be varied.
#[must_use]
pub fn changes_nothing(path: &str) -> Option<Idle> {
    let (table, name) = path.rsplit_once('.').unwrap_or(("", path));
    match (table, name) {
        ("", "title") => Some(Idle::Name),
        ("marking", _) => Some(Idle::Marking),
        ("rig", "working_load_kn") => Some(Idle::InUse),
        ("rig", "stroke_mm") => Some(Idle::Stroke),
        (table, "name" | "source") if MATERIALS.contains(&table) => Some(Idle::ForTheReader),
        ("gate", "opening_mm") => Some(Idle::Check),
        (table, "density_g_cm3") if MATERIALS.contains(&table) => Some(Idle::Weight),
        (table, "elongation" | "reduction_of_area") if MATERIALS.contains(&table) => Some(Idle::Stretch),
        _ => None,
    }
}

/// Paths of the materials of the three kinds of part.
pub const MATERIALS: [&str; 3] = ["material.frame", "material.gate", "material.pins"];

/// The words of `shape`.
pub const SHAPES: [&str; 4] = ["round", "oval", "rectangle", "i"];

/// Size of a strap or a bar that nobody tells, mm: as wide as narrow webbing, as thick as the bars of many a bench.
pub const USUAL_MM: f64 = 12.0;

/// The keys of the model file that a typed key stands for: `rig.both.x` for two.
#[must_use]
pub fn stands_for(key: &str) -> Vec<String> {
    match key.strip_prefix("rig.both.") {
        Some(rest) => vec![format!("rig.upper.{rest}"), format!("rig.lower.{rest}")],
        None => vec![key.to_owned()],
    }
}

/// The keys that may stand in the place of one.
pub fn in_place_of(own: &str) -> impl Iterator<Item = &'static Key> {
    all().iter().filter(move |key| key.in_place_of() == Some(own))
}

/// The path of the value of a connector that a key gives, itself or by what a caliper reads.
#[must_use]
pub fn value_of(path: &str) -> &str {
    find(path).and_then(Key::in_place_of).unwrap_or(path)
}

/// The values that a typed key gives.
#[must_use]
pub fn gives(key: &str) -> Vec<String> {
    stands_for(key).iter().map(|path| value_of(path).to_owned()).collect()
}

/// The key of the first of some sets that gives what a key that varies gives too.
#[must_use]
pub fn set_as_well<'a>(key: &str, sets: &'a [(String, String)]) -> Option<&'a str> {
    let paths = gives(key);
    sets.iter().map(|(set, _)| set.as_str()).find(|set| gives(set).iter().any(|path| paths.contains(path)))
}

#[cfg(test)]
mod tests;
