//! A pull of the same connector on other assumptions.

use crate::CaseError;
use crate::pull_to_failure::{PullError, Ready};
use solver::plastic::{Hardening, Law, Motion};
use solver::pull_to_failure::{Asked, Course, Metal, Watch, pull};
use solver::rig::{GateState, Rig};
use std::ops::ControlFlow;

/// On what a pull is done.
#[derive(Clone, Debug)]
pub(super) struct On {
    pub hardening: Hardening,
    pub motion: Motion,
    /// Whether the metal tears where its ductility is used up.
    pub tears: bool,
    pub gate: GateState,
    pub steps: u32,
}

/// Pulls a connector.
pub(super) fn course<'a>(ready: &'a Ready, on: &On, watch: &mut Watch<'_>) -> Result<Course<'a>, PullError> {
    let rig = Rig { gate: on.gate, ..ready.rig };
    let asked = Asked {
        metal: Metal {
            law: Law { elastic: ready.system.frame.body.elastic(), hardening: on.hardening.clone() },
            ductility: ready.ductility.filter(|_| on.tears),
            motion: on.motion,
        },
        parts: ready.parts().to_vec(),
        expected_kn: ready.limits.peak_kn,
        steps: on.steps,
        until_kn: None,
        stroke_mm: None,
        hook_to_deg: Some(ready.keeps_to_deg()),
    };
    pull(&ready.system, &rig, &asked, watch).map_err(PullError::NoStep)
}

/// Loads over stretch, up to a stretch.
pub(super) fn loads(
    ready: &Ready,
    on: &On,
    to_mm: f64,
    stop: &(dyn Fn() -> bool + Sync),
) -> Result<Vec<[f64; 2]>, PullError> {
    let mut called_off = false;
    let course = course(ready, on, &mut |reached| {
        called_off |= stop();
        if reached.stretch_mm >= to_mm || called_off {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    })?;
    if called_off {
        return Err(PullError::Case(CaseError::Stopped));
    }
    Ok(course.steps.iter().map(|s| [s.stretch_mm, s.load_kn]).collect())
}
