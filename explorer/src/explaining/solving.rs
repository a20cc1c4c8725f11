//! Many settings solved, with one mesh for all that share a shape.

use crate::mapping::gate_place;
use crate::model_file::Model;
use geometry::connector::{Connector, GatePlace};
use geometry::outline::Outline;
use rayon::prelude::*;
use solver::material::{Material, Materials};
use solver::rig::Rig;
use solver::seats::strap_friction_needed;
use solver::strength::{Limits, limits};
use solver::system::{System, SystemSettings};

/// Unknowns of the mesh for one of many solves: forecasts differ by less than a percent from the default mesh, and ratios
/// between them by less.
pub const MESH_UNKNOWNS: f64 = 8_000.0;
/// Settings that one mesh serves before another thread takes over with its own.
const CHUNK: usize = 8;

/// Everything a forecast depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The shape.
    pub connector: Connector,
    /// The metals.
    pub materials: Materials,
    /// The rig.
    pub rig: Rig,
}

impl Setting {
    /// A model as it is told.
    #[must_use]
    pub fn of(model: &Model) -> Self {
        Self { connector: model.connector.clone(), materials: model.materials.clone(), rig: model.rig }
    }

    /// True when both can share a mesh and its factor: what differs is strength or rig only.
    fn shares_mesh(&self, other: &Self) -> bool {
        let elastic = |m: &Material| [m.youngs_modulus_mpa, m.poisson_ratio];
        let mut shape = other.connector.clone();
        // The lip's breadth enters its strength only; the nose block has a breadth of its own.
        shape.nose.lip_breadth_mm = self.connector.nose.lip_breadth_mm;
        shape == self.connector
            && self.place() == other.place()
            && elastic(&self.materials.frame) == elastic(&other.materials.frame)
            && elastic(&self.materials.gate) == elastic(&other.materials.gate)
    }

    fn place(&self) -> GatePlace {
        gate_place(self.rig.gate)
    }

    /// What is drawn of this setting; `None` where its dimensions make no connector.
    pub(super) fn outline(&self) -> Option<Outline> {
        Outline::try_new(&self.connector, self.place()).ok()
    }

    /// The system of this setting on the mesh for many solves.
    ///
    /// # Errors
    /// In words, why there is none.
    pub fn system(&self) -> Result<System, String> {
        self.system_on(Mesh::OfMany)
    }

    fn system_on(&self, mesh: Mesh) -> Result<System, String> {
        let settings = match mesh {
            Mesh::OfMany => SystemSettings { unknowns: MESH_UNKNOWNS, ..SystemSettings::default() },
            Mesh::OfOne => SystemSettings::default(),
        };
        System::try_new(&self.connector, self.place(), &self.materials, &settings).map_err(|e| e.to_string())
    }
}

/// What a pull of a setting comes to.
#[derive(Clone, Debug)]
pub struct Pulled {
    /// The limits of its parts.
    pub limits: Limits,
    /// Coefficient of friction that its straps need to stay where they lie; zero for bench bars.
    pub friction_needed: f64,
}

/// Which mesh a setting is solved on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mesh {
    /// That for one of many solves.
    OfMany,
    /// The default mesh, as `forecast` has it.
    OfOne,
}

/// Solves every setting, in order; one that cannot be drawn or pulled is told in words.
#[must_use]
pub fn solve_all(settings: &[Setting], mesh: Mesh) -> Vec<Result<Pulled, String>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (i, setting) in settings.iter().enumerate() {
        let group = groups.iter_mut().find(|g| g.len() < CHUNK && settings[g[0]].shares_mesh(setting));
        match group {
            Some(group) => group.push(i),
            None => groups.push(vec![i]),
        }
    }
    let solved: Vec<Vec<(usize, Result<Pulled, String>)>> = groups
        .par_iter()
        .map(|group| {
            let mut system = match settings[group[0]].system_on(mesh) {
                Ok(system) => system,
                Err(reason) => return group.iter().map(|i| (*i, Err(reason.clone()))).collect(),
            };
            group
                .iter()
                .map(|i| {
                    let setting = &settings[*i];
                    // What the mesh does not know of.
                    system.connector.clone_from(&setting.connector);
                    system.materials.clone_from(&setting.materials);
                    let friction_needed = strap_friction_needed(&system, &setting.rig)
                        .into_iter()
                        .flatten()
                        .fold(0.0, f64::max);
                    let pulled =
                        limits(&system, &setting.rig).map(|limits| Pulled { limits, friction_needed });
                    (*i, pulled.map_err(|e| e.to_string()))
                })
                .collect()
        })
        .collect();
    let mut found: Vec<(usize, Result<Pulled, String>)> = solved.into_iter().flatten().collect();
    found.sort_by_key(|f| f.0);
    found.into_iter().map(|f| f.1).collect()
}
