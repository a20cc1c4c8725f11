//! The description of a finished sweep, as JSON has it.

use super::{ToldRow, sentence, taken, title};
use crate::caution::CAUTION;
use schemars::JsonSchema;
use serde::Serialize;
use study::sweep::{Plan, Varied};

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-sweep-3";

/// What a sweep is, and what it comes to.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct About {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// Title of the connector, from its model file.
    connector: String,
    /// Short name of the model.
    model: String,
    /// The sweep in a line.
    sweep: String,
    /// The varied keys. The last one runs fastest in the table.
    #[schemars(extend("minItems" = 1, "maxItems" = 2))]
    varied: Vec<VariedInWords>,
    /// Keys and values of --set, in the order typed.
    set: Vec<(String, String)>,
    /// What was assumed where nothing is told, in words.
    assumed: Vec<String>,
    /// Rows of the table.
    #[schemars(range(min = 2, max = 10000000))]
    points: usize,
    /// Those among them that could not be computed; the table has the reasons.
    #[schemars(range(min = 0))]
    failed: usize,
    /// Unknowns that each point is meshed with, about, unless a size of elements was asked for.
    #[schemars(extend("exclusiveMinimum" = 0))]
    unknowns_aimed_at: f64,
    /// Size of the elements that was asked for, mm; null when none was.
    #[schemars(range(min = 0.1, max = 5))]
    mesh_size_mm: Option<f64>,
    /// Hash of the values of the model and of what is set, what is varied, the mesh, the handbook values and the program's
    /// version; order and comments of the model's file are no part of it. A sweep of the same hash is not computed again.
    #[schemars(extend("pattern" = "^[0-9a-f]{12}$"))]
    inputs: String,
    /// Program and version.
    #[schemars(extend("pattern" = "^pullmap [0-9]+\\.[0-9]+\\.[0-9]+"))]
    program: String,
    /// What the sweep comes to, in words; empty when no point could be computed.
    says: String,
    /// What the numbers are not.
    caution: &'static str,
}

/// A varied key.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct VariedInWords {
    /// The key as typed; rig.both.KEY stands for both ends.
    key: String,
    /// The unit of its values; empty for words and plain numbers.
    unit: &'static str,
    /// Its values, as they would be typed after --set KEY=, in the order of the sweep.
    #[schemars(extend("minItems" = 2, "uniqueItems" = true), inner(length(min = 1)))]
    values: Vec<String>,
}

impl From<&Varied> for VariedInWords {
    fn from(varied: &Varied) -> Self {
        Self {
            key: varied.key.path(),
            unit: varied.unit(),
            values: (0..varied.values.len()).map(|at| varied.values.text(at)).collect(),
        }
    }
}

impl About {
    /// Describes a sweep by all its rows. `inputs`: the hash of everything that it depends on.
    #[must_use]
    pub fn new(plan: &Plan, rows: &[ToldRow], inputs: &str) -> Self {
        Self {
            format: FORMAT,
            connector: plan.title.clone(),
            model: plan.source.stem.clone(),
            sweep: title(plan),
            varied: plan.varied.iter().map(VariedInWords::from).collect(),
            set: plan.sets.clone(),
            assumed: taken(plan),
            points: rows.len(),
            failed: rows.iter().filter(|r| r.found().is_none()).count(),
            unknowns_aimed_at: plan.settings.unknowns,
            mesh_size_mm: plan.settings.mesh_size_mm,
            inputs: inputs.to_owned(),
            program: format!("pullmap {}", env!("CARGO_PKG_VERSION")),
            says: sentence(plan, rows),
            caution: CAUTION,
        }
    }
}
