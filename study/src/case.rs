//! One connector under one rig.

use crate::model::Model;
use geometry::connector::Connector;
use solver::material::Materials;
use solver::rig::Rig;
use solver::strength::{Constants, Strengths};
use solver::system::{System, SystemError, SystemSettings};

/// Everything that an answer depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// The shape.
    pub connector: Connector,
    /// The metals.
    pub materials: Materials,
    /// The rig.
    pub rig: Rig,
    /// What all pulls share; friction is in the rig already.
    pub constants: Constants,
    /// The mesh that it is solved on.
    pub mesh: SystemSettings,
}

impl Case {
    /// What its parts hold.
    #[must_use]
    pub fn strengths(&self) -> Strengths {
        Strengths::new(&self.connector, &self.materials).under(&self.constants)
    }

    /// Draws, meshes and factors it.
    ///
    /// # Errors
    /// [`SystemError`]: its dimensions make no connector, or no mesh.
    pub fn build(&self) -> Result<System, SystemError> {
        System::try_new(&self.connector, self.rig.gate.place(), &self.materials, &self.mesh)
    }
}

impl Model {
    /// The model as it is told, on a mesh.
    #[must_use]
    pub fn case(&self, mesh: SystemSettings) -> Case {
        Case {
            connector: self.connector.clone(),
            materials: self.materials.clone(),
            rig: self.rig,
            constants: self.constants,
            mesh,
        }
    }
}
