//! The checked model: what every later step may rely on.

use geometry::connector::Connector;
use serde::Serialize;
use solver::material::Materials;
use solver::rig::Rig;
use solver::strength::Strengths;
use solver::system::SystemSettings;
use study::Case;

/// Marked strengths, kN, where they are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Marking {
    /// Along the major axis, gate closed.
    pub closed_kn: Option<f64>,
    /// Along the major axis, gate open.
    pub open_kn: Option<f64>,
    /// Across.
    pub across_kn: Option<f64>,
}

/// How a value is uncertain.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SpreadKind {
    /// The middle, this much more or less.
    PlusMinus(f64),
    /// Anything between the two.
    Between(f64, f64),
    /// A material that is known by its kind only; the ranges are in the library.
    UnknownMaterial,
}

/// A value that is known only within a range.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Spread {
    /// Its key; corners of the window as `window.corner_radius_mm[1]` to `[4]`.
    pub key: String,
    /// How uncertain it is, in the key's unit.
    pub kind: SpreadKind,
    /// The value that the map uses, in the key's unit (the yield strength in MPa of an unknown material).
    pub middle: f64,
}

/// A connector, what it is made of, and how it is pulled: checked, in millimetres, kN and MPa.
///
/// Every number is finite and inside its range, and the numbers fit each other as far as that can be told without
/// drawing the outline.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Model {
    /// Name of the connector.
    pub title: String,
    /// Marked strengths.
    pub marking: Marking,
    /// Its shape.
    pub connector: Connector,
    /// What its parts are made of.
    pub materials: Materials,
    /// How it is pulled.
    pub rig: Rig,
    /// Which values are uncertain, in the order of the keys.
    pub spreads: Vec<Spread>,
    /// One sentence for each of them, then one for each value that was taken because a `--set` left it untold, or that is
    /// told to no purpose.
    pub notes: Vec<String>,
}

impl Model {
    /// The model as it is told, on a mesh.
    #[must_use]
    pub fn case(&self, mesh: SystemSettings) -> Case {
        Case { connector: self.connector.clone(), materials: self.materials.clone(), rig: self.rig, mesh }
    }

    /// The strengths of its parts.
    #[must_use]
    pub fn strengths(&self) -> Strengths {
        Strengths::new(&self.connector, &self.materials)
    }

    /// The sentences for values that were taken because a `--set` left them untold, or that are told to no purpose.
    #[must_use]
    pub fn taken(&self) -> &[String] {
        self.notes.get(self.spreads.len()..).unwrap_or_default()
    }
}
