//! What decides whether two cases share a mesh and its factor.

use crate::case::Case;
use crate::inputs::canonical;
use serde_json::json;
use solver::system::Elasticity;
use std::fmt;

/// Shape, place of the gate, elasticity and mesh of a case, as canonical JSON: equal keys stand for equal systems. What enters
/// strengths only (metals beyond their elasticity, the breadth of the lip) and the rig beside its gate are no part of it.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SystemKey(String);

impl SystemKey {
    pub(crate) fn of(case: &Case) -> Self {
        let mut connector = case.connector.clone();
        // The nose block has a breadth of its own.
        connector.nose.lip_breadth_mm = 0.0;
        let Elasticity { frame, gate } = Elasticity::from(&case.materials);
        let elastic = [frame, gate].map(|e| [e.youngs_modulus_mpa, e.poisson_ratio]);
        Self(canonical(json!([connector, case.rig.gate.place(), elastic, case.mesh])))
    }
}

impl Case {
    /// What its mesh and factor depend on.
    #[must_use]
    pub fn key(&self) -> SystemKey {
        SystemKey::of(self)
    }
}

impl fmt::Display for SystemKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
