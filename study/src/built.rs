//! A system with the key that it is known by.

use crate::case::Case;
use crate::system_key::SystemKey;
use solver::system::{System, SystemError};
use std::sync::Arc;

/// A meshed and factored connector. Whoever holds it has it ready, whether or not an engine still keeps it.
#[derive(Clone, Debug)]
pub struct Built {
    key: SystemKey,
    system: Arc<System>,
}

impl Built {
    /// Draws, meshes and factors a case whose key is known; no engine keeps it.
    pub(crate) fn under(key: SystemKey, case: &Case) -> Result<Self, SystemError> {
        Ok(Self { key, system: Arc::new(case.build()?) })
    }

    /// This one where only rig or strength of the case differ, else a new one that no engine keeps: what is looked at once
    /// evicts nothing.
    ///
    /// # Errors
    /// [`SystemError`]: its dimensions make no connector, or no mesh.
    pub fn for_case(&self, case: &Case) -> Result<Self, SystemError> {
        let key = case.key();
        if key == self.key { Ok(self.clone()) } else { Self::under(key, case) }
    }

    /// What mesh and factor depend on.
    #[must_use]
    pub fn key(&self) -> &SystemKey {
        &self.key
    }

    /// What does not depend on the rig.
    #[must_use]
    pub fn system(&self) -> &Arc<System> {
        &self.system
    }
}
