//! Connectors that are meshed and factored, kept for a while: a change of rig or strength, or a step back, finds its system
//! ready.
//!
//! A few are kept, the one used longest ago goes first. Who asks for one that is just being built waits for it instead of
//! building it again. Nothing here may be called from inside a rayon task: a waiting thread could then be the one that
//! the builder needs.

use super::api_error::{ApiError, of_rig, of_system};
use super::mesh_blocks::MeshBlocks;
use super::state::Checked;
use solver::response::{Pull, Response, RigError};
use solver::strength::{Limits, limits_of};
use solver::system::{System, SystemSettings};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock};
use std::time::{Duration, Instant};
use study::inputs::digits;
use study::map::Mapped;
use study::model::Model;
use study::{Kept, SystemKey};

/// Systems kept. One of usual size takes some 15 MB with its compliances.
const KEPT: usize = 6;

/// A connector ready to be loaded and drawn.
#[derive(Debug)]
pub struct Prepared {
    /// Stands for the mesh.
    pub mesh_id: String,
    /// What does not depend on the rig.
    pub system: Arc<System>,
    blocks: OnceLock<MeshBlocks>,
}

/// What building one came to.
type Built = Result<Arc<Prepared>, ApiError>;

/// The systems that are kept.
#[derive(Debug)]
pub struct SystemCache(Mutex<Kept<SystemKey, Arc<OnceLock<Built>>>>);

impl Default for SystemCache {
    fn default() -> Self {
        Self(Mutex::new(Kept::new(KEPT)))
    }
}

fn key_of(model: &Model) -> SystemKey {
    model.case(SystemSettings::default()).key()
}

impl Prepared {
    /// Meshes and factors a model's connector, without keeping it.
    ///
    /// # Errors
    /// The connector is impossible.
    pub fn build(model: &Model) -> Built {
        let case = model.case(SystemSettings::default());
        let system = case.build().map_err(|error| of_system(&error))?;
        let mesh_id = digits(&case.key().to_string());
        Ok(Arc::new(Self { mesh_id, system: Arc::new(system), blocks: OnceLock::new() }))
    }

    /// This one where only rig or strength of `model` differ, else a new one that is not kept.
    ///
    /// # Errors
    /// The connector is impossible.
    pub fn for_model(self: &Arc<Self>, model: &Model) -> Built {
        if digits(&key_of(model).to_string()) == self.mesh_id {
            return Ok(Arc::clone(self));
        }
        Self::build(model)
    }

    /// The mesh as the page wants it.
    #[must_use]
    pub fn blocks(&self) -> &MeshBlocks {
        self.blocks.get_or_init(|| MeshBlocks::new(&self.system))
    }

    /// Loads it. `quick`: without the findings that need further loads. Also tells how long the load and the findings took.
    ///
    /// # Errors
    /// The rig is impossible.
    pub fn load(&self, model: &Model, quick: bool) -> Result<(Mapped, [Duration; 2]), ApiError> {
        let clock = Instant::now();
        let response = self.system.respond(&model.rig).map_err(|error| of_rig(&error))?;
        let loaded = clock.elapsed();
        let solved = self.judge(model, response, quick)?;
        Ok((solved, [loaded, clock.elapsed() - loaded]))
    }

    /// What a response shows. `quick` as in [`Self::load`].
    ///
    /// # Errors
    /// One of the further loads cannot be solved.
    pub fn judge(&self, model: &Model, response: Response, quick: bool) -> Result<Mapped, ApiError> {
        let (system, case) = (Arc::clone(&self.system), model.case(SystemSettings::default()));
        match quick {
            true => Mapped::quick(system, &case, response),
            false => Mapped::new(system, &case, response),
        }
        .map_err(|error| of_rig(&error))
    }

    /// The response to the rig's load, and the load at which each part reaches its limit.
    ///
    /// # Errors
    /// The rig is impossible.
    pub fn limits(&self, model: &Model) -> Result<(Response, Limits), ApiError> {
        let rig = &model.rig;
        let judge = || {
            let mut pull = Pull::new(&self.system, rig)?;
            let response = pull.respond(rig.load_kn)?;
            let limits = limits_of(&mut pull, &model.strengths(), &response)?;
            Ok((response, limits))
        };
        judge().map_err(|error: RigError| of_rig(&error))
    }
}

impl SystemCache {
    fn open(&self) -> MutexGuard<'_, Kept<SystemKey, Arc<OnceLock<Built>>>> {
        // The list is whole at every moment: a panic elsewhere cannot have left it half changed.
        self.0.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }

    /// The system of a state, built if it is not there.
    ///
    /// # Errors
    /// The connector is impossible.
    pub fn take(&self, checked: &Checked) -> Built {
        let key = key_of(&checked.model);
        let slot = {
            let mut kept = self.open();
            kept.get(&key).unwrap_or_else(|| {
                let slot = Arc::default();
                kept.put(key, Arc::clone(&slot), 1);
                slot
            })
        };
        slot.get_or_init(|| Prepared::build(&checked.model)).clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::state::State;

    fn checked(set: &str) -> Checked {
        serde_json::from_str::<State>(&format!("{{\"model\": \"oval\", \"set\": {{{set}}}}}"))
            .unwrap()
            .check()
            .unwrap()
    }

    #[test]
    fn a_change_of_rig_finds_the_system_and_a_change_of_shape_does_not() {
        let systems = SystemCache::default();
        let first = systems.take(&checked("")).unwrap();
        let again = systems.take(&checked("\"rig.load_kn\": 3, \"rig.gate\": \"open\"")).unwrap();
        assert!(Arc::ptr_eq(&first, &again));
        let other = systems.take(&checked("\"nose.pin_clearance_mm\": 0.11")).unwrap();
        assert_ne!(first.mesh_id, other.mesh_id);
    }

    #[test]
    fn no_more_systems_are_kept_than_there_is_room_for() {
        let systems = SystemCache::default();
        for i in 0..KEPT + 2 {
            let set = format!("\"nose.pin_clearance_mm\": 0.1{i}");
            systems.take(&checked(&set)).unwrap();
            assert_eq!(systems.open().count(), (i + 1).min(KEPT));
        }
        // A connector that cannot be drawn is refused, and takes a place all the same.
        let refused = systems.take(&checked("\"hinge.lug_radius_mm\": 30")).map(|_| ());
        let Err(ApiError::Impossible(mistakes)) = refused else { panic!("{refused:?}") };
        assert!(mistakes.iter().all(|mistake| mistake.key.starts_with("hinge.")), "{mistakes:?}");
        assert_eq!(systems.open().count(), KEPT);
    }
}
