//! A connector before a pull: its system, what a forecast says of it, and the curve of its metal.

use super::refusal::PullError;
use super::wanted::Wanted;
use crate::model::{Model, SpreadKind};
use crate::unknowns::METAL_SCATTER;
use crate::{CaseError, Engine, Step};
use geometry::curve::Point;
use solver::findings::Untrusted;
use solver::plastic::{Ductility, FirstPull, Law, Motion};
use solver::pull_to_failure::{Asked, Metal};
use solver::rig::Rig;
use solver::strength::{Capacity, Limits, Strengths, gate_line, limits};
use solver::system::{Side, System, SystemSettings};
use std::sync::Arc;

/// Unknowns of the mesh of a pull, where no size of elements is asked for: some fewer than a map's, since it is solved hundreds of times.
pub const UNKNOWNS: f64 = 10_000.0;

/// A connector before a pull.
#[derive(Debug)]
pub struct Ready {
    /// What does not depend on the rig.
    pub system: Arc<System>,
    /// What its parts hold.
    pub strengths: Strengths,
    /// What a forecast says of the same case on the same mesh.
    pub limits: Limits,
    /// The curve of the frame's metal.
    pub curve: FirstPull,
    /// What it bears before it tears, where that is known.
    pub ductility: Option<Ductility>,
    /// The rig.
    pub rig: Rig,
    /// The bench's stroke, mm, where it is told.
    pub stroke_mm: Option<f64>,
    /// How far the yield strength of the frame may lie off, to each side, as a part of it: what the model says, else usual scatter.
    pub yield_scatter: f64,
    parts: Vec<Capacity>,
    /// Where a largest strain is not a result.
    untrusted: Untrusted,
}

impl Ready {
    /// Builds a model's connector and tells its limits. `begins` is told each step as it begins.
    ///
    /// # Errors
    /// [`PullError`]: it cannot be built, its rig does not fit, or too little is known of its metal.
    pub fn new(
        engine: &Engine,
        model: &Model,
        mesh: SystemSettings,
        begins: &(dyn Fn(Step) + Sync),
    ) -> Result<Self, PullError> {
        let case = model.case(mesh);
        let metal = &case.materials.frame;
        let curve = FirstPull::of(metal).ok_or(PullError::NoElongation)?;
        begins(Step::Mesh);
        let system = engine.system(&case).map_err(CaseError::from)?;
        begins(Step::Limits);
        let strengths = case.strengths();
        let limits = limits(&system, &strengths, &case.rig).map_err(CaseError::from)?;
        let parts = gate_line(&system, &strengths, case.rig.friction);
        // What presses where hardly depends on the load.
        let at = Rig { load_kn: limits.peak_kn, ..case.rig };
        let response = system.respond(&at).map_err(CaseError::from)?;
        let untrusted = Untrusted::new(&system, &response, Side::Frame);
        Ok(Self {
            ductility: Ductility::of(metal),
            rig: case.rig,
            stroke_mm: model.stroke_mm,
            yield_scatter: yield_scatter(model),
            system,
            strengths,
            limits,
            curve,
            parts,
            untrusted,
        })
    }

    /// What the parts of the gate line hold.
    #[must_use]
    pub fn parts(&self) -> &[Capacity] {
        &self.parts
    }

    /// Whether what is read at a point of the undeformed frame is a result: beside a contact or a sharp corner the largest strain depends on how
    /// fine the mesh is.
    #[must_use]
    pub fn trusts(&self, at: Point) -> bool {
        self.untrusted.trusts(at)
    }

    /// What is asked of a pull of it, up to a load or to its end.
    pub(super) fn asked(&self, wanted: &Wanted, until_kn: Option<f64>) -> Asked {
        Asked {
            metal: Metal {
                law: Law {
                    elastic: self.system.frame.body.elastic(),
                    hardening: self.curve.hardening.clone(),
                },
                ductility: self.ductility,
                motion: Motion::Large,
            },
            parts: self.parts.clone(),
            expected_kn: self.limits.peak_kn,
            steps: wanted.steps,
            until_kn,
            stroke_mm: self.stroke_mm,
            // What comes beyond is not told.
            hook_to_deg: Some(self.keeps_to_deg()),
        }
    }

    /// How far the two bars may have turned against each other before friction no longer keeps a strap on the steeper one, degrees: twice the
    /// angle of friction, both bars turning alike.
    #[must_use]
    pub fn keeps_to_deg(&self) -> f64 {
        2.0 * self.rig.friction.atan().to_degrees()
    }
}

/// Of the frame's yield strength: half of the range that the model tells, or the scatter of a metal twice over.
fn yield_scatter(model: &Model) -> f64 {
    let told =
        model.spreads.iter().find(|s| s.key == "material.frame.yield_mpa").and_then(|s| match s.kind {
            SpreadKind::PlusMinus(by) => Some(by / s.middle),
            SpreadKind::Between(low, high) => Some(0.5 * (high - low) / s.middle),
            SpreadKind::UnknownMaterial => None,
        });
    let by_kind = || {
        let metal = model.unknown_metals.iter().find(|(key, _)| key == "material.frame")?.1;
        let [low, high] = metal.yield_mpa.range?;
        Some(0.5 * (high - low) / metal.yield_mpa.value)
    };
    told.or_else(by_kind).unwrap_or(2.0 * METAL_SCATTER)
}
