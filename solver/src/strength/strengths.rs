//! What decides at which load a part reaches its limit, and no stiffness: one system serves every set of strengths.

use super::constants::Constants;
use super::formula::Quantity;
use crate::material::Materials;
use crate::sections::{MEAN_FLOW, flow_at_mpa};
use crate::system::System;
use geometry::connector::Connector;

/// Strengths of a connector, apart from its shape and elasticity.
#[derive(Clone, Debug, PartialEq)]
pub struct Strengths {
    /// What it is made of.
    pub materials: Materials,
    /// Breadth of the lip that the nose pin presses on, mm: the nose's own breadth is what bends.
    pub lip_breadth_mm: f64,
    /// How wide pins press in lip and lugs: -1 on a narrow patch, 0 as limits have it, 1 where they have bedded in deeply.
    pub press: f64,
    /// Where between yield, 0, and ultimate, 1, sections of frame and gate yield through.
    pub flow: f64,
    /// What the lip holds over what is computed.
    pub lip: f64,
    /// What pins hold over what is computed.
    pub pins: f64,
}

impl Strengths {
    /// Those of a connector of these metals, its pins pressing as limits have it.
    #[must_use]
    pub fn new(connector: &Connector, materials: &Materials) -> Self {
        Self {
            materials: materials.clone(),
            lip_breadth_mm: connector.nose.lip_breadth_mm,
            press: 0.0,
            flow: MEAN_FLOW,
            lip: 1.0,
            pins: 1.0,
        }
    }

    /// The same where constants have other values. Friction is no strength: it is of the rig.
    #[must_use]
    pub fn under(mut self, constants: &Constants) -> Self {
        for metal in [&mut self.materials.frame, &mut self.materials.gate] {
            constants.apply(metal);
        }
        let Constants { press, flow, lip, pins, .. } = *constants;
        Self { press, flow, lip, pins, ..self }
    }

    /// The same with pins that press more or less wide.
    #[must_use]
    pub fn pressed(self, press: f64) -> Self {
        Self { press, ..self }
    }

    /// Stress at which a section of the frame yields through, MPa.
    #[must_use]
    pub fn frame_flow_mpa(&self) -> f64 {
        flow_at_mpa(&self.materials.frame, self.flow)
    }

    /// The same of the gate.
    #[must_use]
    pub(super) fn gate_flow_mpa(&self) -> f64 {
        flow_at_mpa(&self.materials.gate, self.flow)
    }

    /// What that stress is called: a mean that is judged, or what a calibration says.
    pub(super) fn flow_is(&self, judged: Quantity) -> Quantity {
        if self.flow == MEAN_FLOW { judged } else { Quantity::CalibratedFlow }
    }

    /// A system's connector with these strengths' breadth of the lip.
    pub(super) fn connector(&self, system: &System) -> Connector {
        let mut connector = system.connector.clone();
        connector.nose.lip_breadth_mm = self.lip_breadth_mm;
        connector
    }
}
