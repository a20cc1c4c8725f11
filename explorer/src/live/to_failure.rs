//! A pull until failure as a page asks for it.

use super::api_error::ApiError;
use super::protocol::TypedLoad;
use super::state::State;
use crate::args::{mesh_sizes_mm, pull_steps};
use report::quantities::{range_in_words, with_unit};
use report::reason::Reason;
use serde::Deserialize;
use solver::system::SystemSettings;
use study::model::quantity::Dimension;
use study::pull_to_failure::{UNKNOWNS, Wanted};

/// `/api/pull`: the options of the command beside the state.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct ToFailure {
    /// The state.
    pub state: State,
    /// Steps to the end, about.
    #[serde(default)]
    steps: Option<u32>,
    /// The pull ends at this load.
    #[serde(default)]
    until_kn: Option<TypedLoad>,
    /// Size of the elements where they are small, mm.
    #[serde(default)]
    mesh_size_mm: Option<f64>,
}

impl ToFailure {
    /// What is asked of the pull.
    ///
    /// # Errors
    /// [`ApiError::Impossible`] of `steps` or `until_kn`.
    pub fn wanted(&self) -> Result<Wanted, ApiError> {
        let mut wanted = Wanted::default();
        if let Some(steps) = self.steps {
            within("steps", f64::from(steps), pull_steps(), Dimension::Ratio)?;
            wanted.steps = steps;
        }
        wanted.until_kn = self.until_kn.as_ref().map(|load| load.kn("until_kn")).transpose()?;
        Ok(wanted)
    }

    /// The mesh that it is done on.
    ///
    /// # Errors
    /// [`ApiError::Impossible`] of `mesh_size_mm`.
    pub fn mesh(&self) -> Result<SystemSettings, ApiError> {
        if let Some(size) = self.mesh_size_mm {
            within("mesh_size_mm", size, mesh_sizes_mm(), Dimension::Length)?;
        }
        Ok(SystemSettings {
            mesh_size_mm: self.mesh_size_mm,
            unknowns: UNKNOWNS,
            ..SystemSettings::default()
        })
    }
}

fn within(key: &str, found: f64, allowed: [f64; 2], dimension: Dimension) -> Result<(), ApiError> {
    if (allowed[0]..=allowed[1]).contains(&found) {
        return Ok(());
    }
    Err(ApiError::of_key(key, Reason::found(with_unit(found, dimension), range_in_words(allowed, dimension))))
}
