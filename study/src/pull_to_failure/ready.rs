//! A connector before a pull: its system, what a forecast says of it, and the curve of its metal.

use super::bent::Bent;
use super::pulled::Pulled;
use super::refusal::PullError;
use super::sets::{Sets, Shutting};
use super::wanted::Wanted;
use crate::model::{Model, SpreadKind};
use crate::unknowns::METAL_SCATTER;
use crate::{CaseError, Engine, Step};
use solver::plastic::{Ductility, FirstPull, Law, Motion};
use solver::pull_to_failure::{Asked, Course, End, Metal, Reached, Watch, pull};
use solver::rig::Rig;
use solver::strength::{Capacity, Limits, Strengths, gate_line, limits};
use solver::system::{System, SystemSettings};
use std::ops::ControlFlow;
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
        })
    }

    /// Pulls it. `watch` is told each step, `begins` what is done besides; `stop` is asked before each step, and true keeps what was reached
    /// until then and leaves out the rest.
    ///
    /// # Errors
    /// [`PullError`]: what was asked for is never reached, or no equilibrium is found.
    pub fn pull(
        &self,
        wanted: &Wanted,
        watch: &mut dyn FnMut(&Reached),
        begins: &dyn Fn(Step),
        stop: &dyn Fn() -> bool,
    ) -> Result<Pulled<'_>, PullError> {
        let watch: &mut Watch<'_> = &mut |reached: &Reached| {
            watch(reached);
            if stop() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        };
        let course = self.course(wanted, wanted.until_kn, watch)?;
        let stopped = course.end == End::Stopped;
        let asked = [wanted.until_kn, wanted.unload_from_kn].into_iter().flatten();
        let beyond =
            asked.filter(|kn| *kn > course.marks.peak_kn && course.end != End::Asked).reduce(f64::max);
        if let (Some(asked_kn), false) = (beyond, stopped) {
            let highest_kn = course.marks.peak_kn;
            return Err(PullError::NotReached { asked_kn, highest_kn, end: course.end });
        }
        if let (Some(unload), Some(until)) = (wanted.unload_from_kn, wanted.until_kn)
            && unload > until
        {
            return Err(PullError::NotReached { asked_kn: unload, highest_kn: until, end: End::Asked });
        }
        let hook_stopped = course.hook.as_ref().is_some_and(|hook| hook.end == End::Stopped);
        let gated = course.steps.iter().any(|s| s.gate_line_kn > 0.0);
        if stopped || hook_stopped {
            let shutting = if gated { Shutting::Unknown } else { Shutting::NoGate };
            return Ok(Pulled { ready: self, course, shutting, set_found: None, bent: None, stopped: true });
        }
        begins(Step::Unloading);
        let (shutting, set_found) = {
            let mut sets = Sets::new(&course, stop);
            let shutting = if gated { sets.shutting() } else { Shutting::NoGate };
            let set_found = match wanted.set_found_mm {
                Some(mm) => match sets.found(mm, self.yield_scatter) {
                    // Nothing is said of what was called off.
                    Err(_) if stop() => None,
                    found => Some(found?),
                },
                None => None,
            };
            (shutting, set_found)
        };
        let bent = match wanted.unload_from_kn {
            Some(kn) => self.bent(wanted, kn, watch)?,
            None => None,
        };
        let stopped = stop();
        Ok(Pulled { ready: self, course, shutting, set_found, bent, stopped })
    }

    /// What the parts of the gate line hold.
    #[must_use]
    pub fn parts(&self) -> &[Capacity] {
        &self.parts
    }

    fn course(
        &self,
        wanted: &Wanted,
        until_kn: Option<f64>,
        watch: &mut Watch<'_>,
    ) -> Result<Course<'_>, PullError> {
        let elastic = self.system.frame.body.elastic();
        let asked = Asked {
            metal: Metal {
                law: Law { elastic, hardening: self.curve.hardening.clone() },
                ductility: self.ductility,
                motion: Motion::Large,
            },
            parts: self.parts.clone(),
            expected_kn: self.limits.peak_kn,
            steps: wanted.steps,
            until_kn,
            stroke_mm: self.stroke_mm,
        };
        pull(&self.system, &self.rig, &asked, watch).map_err(PullError::NoStep)
    }

    /// Pulled to a load, unloaded and pulled again; nothing where it was stopped on the way.
    fn bent(&self, wanted: &Wanted, kn: f64, watch: &mut Watch<'_>) -> Result<Option<Bent>, PullError> {
        let course = self.course(wanted, Some(kn), watch)?;
        if course.end == End::Stopped {
            return Ok(None);
        }
        let last = course.steps.len() - 1;
        let unloaded = course
            .unloaded(last)
            .map_err(|reason| PullError::NotUnloaded { from_kn: course.steps[last].load_kn, reason })?;
        Ok(Some(Bent { before: course.steps[last].clone(), unloaded }))
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
