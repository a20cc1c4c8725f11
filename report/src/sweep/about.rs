//! The description of a finished sweep, as JSON has it.

use super::{ToldRow, sentence, taken, title};
use crate::caution::CAUTION;
use serde::Serialize;
use study::sweep::{Plan, Varied};

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-sweep-2";

/// What a sweep is, and what it comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct About {
    format: &'static str,
    connector: String,
    model: String,
    sweep: String,
    varied: Vec<VariedInWords>,
    set: Vec<(String, String)>,
    assumed: Vec<String>,
    points: usize,
    failed: usize,
    unknowns_aimed_at: f64,
    mesh_size_mm: Option<f64>,
    inputs: String,
    program: String,
    says: String,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
struct VariedInWords {
    key: String,
    unit: &'static str,
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
