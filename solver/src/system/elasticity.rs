//! Elastic constants of a connector: all that its stiffness needs to know of its metals.

use crate::material::{Material, Materials};
use crate::plane::{Elastic, PlaneState};

/// Elastic constants of frame and gate. Pins are rigid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elasticity {
    /// Of the frame.
    pub frame: Elastic,
    /// Of the gate.
    pub gate: Elastic,
}

fn in_plane_stress(material: &Material) -> Elastic {
    Elastic {
        youngs_modulus_mpa: material.youngs_modulus_mpa,
        poisson_ratio: material.poisson_ratio,
        state: PlaneState::Stress,
    }
}

impl From<&Materials> for Elasticity {
    fn from(materials: &Materials) -> Self {
        Self { frame: in_plane_stress(&materials.frame), gate: in_plane_stress(&materials.gate) }
    }
}
