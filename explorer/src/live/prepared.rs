//! The systems that the page asks for: those of the one engine, and beside each, under the same key, its mesh as the page
//! wants it.

use super::api_error::{ApiError, of_rig, of_system};
use super::mesh_blocks::MeshBlocks;
use solver::response::{Response, RigError};
use solver::system::{System, SystemSettings, UNKNOWNS_RANGE};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use std::time::{Duration, Instant};
use study::inputs::digits;
use study::map::{Depth, Mapped, solve_on};
use study::model::Model;
use study::{Built, Case, Engine, Kept, Pulled, Step, SystemKey};

/// Meshes that are kept as the page wants them.
const MOST_MESHES: usize = 6;
/// Unknowns of all systems that are kept: as many of the largest default meshes.
const MOST_UNKNOWNS: usize = MOST_MESHES * *UNKNOWNS_RANGE.end() as usize;

/// A mesh as the page is sent it.
#[derive(Debug)]
pub struct PageMesh {
    /// Stands for it.
    pub id: String,
    blocks: OnceLock<MeshBlocks>,
}

impl PageMesh {
    fn new(key: &SystemKey) -> Arc<Self> {
        Arc::new(Self { id: digits(&key.to_string()), blocks: OnceLock::new() })
    }

    /// Points, triangles and so on of the system that has this mesh.
    #[must_use]
    pub fn blocks(&self, system: &System) -> &MeshBlocks {
        match self.blocks.get() {
            Some(blocks) => blocks,
            None => {
                // Made before the cell is entered: a thread that works for a pool meanwhile may come here for the same one.
                let made = MeshBlocks::new(system);
                self.blocks.get_or_init(|| made)
            }
        }
    }
}

/// A state's connector, ready to be loaded and drawn.
#[derive(Clone, Debug)]
pub struct Prepared {
    built: Built,
    mesh: Arc<PageMesh>,
}

/// The case that a model is on the page.
#[must_use]
pub fn case_of(model: &Model) -> Case {
    model.case(SystemSettings::default())
}

impl Prepared {
    /// The system with its key.
    #[must_use]
    pub fn built(&self) -> &Built {
        &self.built
    }

    /// Stands for the mesh.
    #[must_use]
    pub fn mesh_id(&self) -> &str {
        &self.mesh.id
    }

    /// The mesh as the page wants it.
    #[must_use]
    pub fn blocks(&self) -> &MeshBlocks {
        self.mesh.blocks(self.built.system())
    }

    /// This one where only rig or strength of `model` differ, else a new one that is not kept.
    ///
    /// # Errors
    /// The connector is impossible.
    pub fn for_model(&self, model: &Model) -> Result<Self, ApiError> {
        let built = self.built.for_case(&case_of(model)).map_err(|error| of_system(&error))?;
        let mesh =
            if built.key() == self.built.key() { Arc::clone(&self.mesh) } else { PageMesh::new(built.key()) };
        Ok(Self { built, mesh })
    }

    /// Loads it. Also tells how long the load and the findings took.
    ///
    /// # Errors
    /// The rig is impossible.
    pub fn load(&self, model: &Model, depth: Depth) -> Result<(Mapped, [Duration; 2]), ApiError> {
        let (clock, loaded) = (Instant::now(), OnceLock::new());
        let begins = |step| {
            if step == Step::Stress {
                loaded.get_or_init(|| clock.elapsed());
            }
        };
        let system = Arc::clone(self.built.system());
        let solved = solve_on(system, &case_of(model), depth, &begins).map_err(|error| of_rig(&error))?;
        let (whole, loaded) = (clock.elapsed(), loaded.get().copied().unwrap_or_default());
        Ok((solved, [loaded, whole.saturating_sub(loaded)]))
    }

    /// What a response shows.
    ///
    /// # Errors
    /// One of the further loads cannot be solved.
    pub fn judge(&self, model: &Model, response: Response) -> Result<Mapped, ApiError> {
        let system = Arc::clone(self.built.system());
        Mapped::new(system, &case_of(model), response).map_err(|error: RigError| of_rig(&error))
    }

    /// The response to the rig's load, and the load at which each part reaches its limit.
    ///
    /// # Errors
    /// The rig is impossible.
    pub fn pull(&self, model: &Model) -> Result<Pulled, ApiError> {
        Pulled::of(self.built.system(), &case_of(model)).map_err(|error| of_rig(&error))
    }
}

/// What the page asked for last.
#[derive(Debug)]
pub struct Systems {
    engine: Engine,
    meshes: Mutex<Kept<SystemKey, Arc<PageMesh>>>,
}

impl Default for Systems {
    fn default() -> Self {
        Self { engine: Engine::with_room(MOST_UNKNOWNS), meshes: Mutex::new(Kept::new(MOST_MESHES)) }
    }
}

impl Systems {
    /// The engine that keeps them.
    #[must_use]
    pub fn engine(&self) -> &Engine {
        &self.engine
    }

    /// The system of a model, built if it is not kept. Who asks for one that is just being built waits for it.
    ///
    /// # Errors
    /// The connector is impossible.
    pub fn take(&self, model: &Model) -> Result<Prepared, ApiError> {
        let built = self.engine.built(&case_of(model)).map_err(|error| of_system(&error))?;
        // The list is whole at every moment: a panic elsewhere cannot have left it half changed.
        let mut meshes = self.meshes.lock().unwrap_or_else(PoisonError::into_inner);
        let mesh = meshes.get(built.key()).unwrap_or_else(|| {
            let mesh = PageMesh::new(built.key());
            meshes.put(built.key().clone(), Arc::clone(&mesh), 1);
            mesh
        });
        drop(meshes);
        Ok(Prepared { built, mesh })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::state::State;

    fn model(set: &str) -> Model {
        let state = format!("{{\"model\": \"oval\", \"set\": {{{set}}}}}");
        serde_json::from_str::<State>(&state).unwrap().check().unwrap().model
    }

    #[test]
    fn a_change_of_rig_finds_the_system_and_a_change_of_shape_does_not() {
        let systems = Systems::default();
        let first = systems.take(&model("")).unwrap();
        let again = systems.take(&model("\"rig.load_kn\": 3, \"rig.gate\": \"open\"")).unwrap();
        assert!(Arc::ptr_eq(first.built().system(), again.built().system()));
        assert!(Arc::ptr_eq(&first.mesh, &again.mesh));
        let other = systems.take(&model("\"nose.pin_clearance_mm\": 0.11")).unwrap();
        assert_ne!(first.mesh_id(), other.mesh_id());
    }

    #[test]
    fn six_systems_are_kept() {
        let systems = Systems::default();
        for i in 0..MOST_MESHES + 2 {
            systems.take(&model(&format!("\"nose.pin_clearance_mm\": 0.1{i}"))).unwrap();
            let meshes = systems.meshes.lock().unwrap().count();
            assert_eq!([systems.engine.count(), meshes], [(i + 1).min(MOST_MESHES); 2]);
        }
        // A connector that cannot be drawn is refused, and takes no place.
        let refused = systems.take(&model("\"hinge.lug_radius_mm\": 30")).map(|_| ());
        let Err(ApiError::Impossible(mistakes)) = refused else { panic!("{refused:?}") };
        assert!(mistakes.iter().all(|mistake| mistake.key.starts_with("hinge.")), "{mistakes:?}");
        assert_eq!(systems.engine.count(), MOST_MESHES);
    }
}
