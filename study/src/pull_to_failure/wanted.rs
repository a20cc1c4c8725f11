//! What is asked of a pull.

use crate::inputs::hash;
use crate::model::Model;
use serde::Serialize;
use serde_json::json;
use solver::pull_to_failure::DEFAULT_STEPS;
use solver::system::SystemSettings;

/// What is asked of a pull, beside the case. Each load is above zero.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Wanted {
    /// Steps to the end, about.
    pub steps: u32,
    /// The pull ends at this load, kN.
    pub until_kn: Option<f64>,
    /// Unloaded from this load, kN, on the way up, and pulled again.
    pub unload_from_kn: Option<f64>,
    /// A connector that was found bent by so much: its load centres so much farther apart than before, mm.
    pub set_found_mm: Option<f64>,
}

impl Default for Wanted {
    fn default() -> Self {
        Self { steps: DEFAULT_STEPS, until_kn: None, unload_from_kn: None, set_found_mm: None }
    }
}

impl Wanted {
    /// Twelve hexadecimal digits that stand for a model, a mesh, what is asked and the version of the program.
    #[must_use]
    pub fn inputs_hash(&self, model: &Model, mesh: &SystemSettings) -> String {
        hash(json!({ "model": model.inputs(mesh), "pull": self }))
    }
}
