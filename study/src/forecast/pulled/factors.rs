//! What makes a pull's highest load another than the section limit of the forecast, one assumption after the other.
//!
//! The forecast's frame opens where sections of its undeformed shape have yielded through at one stress, the flow stress. Two pulls lie
//! between that and the pull: metal that flows at that very stress, in small motion, at the stretch at which the pull bears most; the
//! metal's own curve, in small motion, at that stretch. Each factor is the ratio of two neighbours, so
//! that their product is the pull over the forecast.

use super::course::{On, course, loads};
use crate::CaseError;
use crate::pull_to_failure::{PullError, Ready};
use solver::plastic::{Hardening, Motion};
use solver::pull_to_failure::{End, Reached, Watch};
use solver::rig::GateState;
use std::ops::ControlFlow;

/// An assumption of the forecast's section limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Factor {
    /// Sections by formula, and the most favourable share of the gate, in place of finite elements.
    Sections,
    /// One flow stress in place of the metal's curve.
    Hardening,
    /// The shape does not change.
    Shape,
    /// The hook has not been pulled with its gate before.
    Before,
}

/// By which factor the pull's load differs for each assumption, and what is to be known beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factors {
    /// Each assumption with its factor, in the order in which they are given up.
    pub factors: [(Factor, f64); 4],
    /// The flow stress of the forecast, MPa.
    pub flow_mpa: f64,
    /// Stress at which the metal flows after the largest plastic strain of the bars, MPa.
    pub stress_mpa: f64,
    /// That strain.
    pub strain: f64,
    /// By how much the bars have turned against each other at the highest load, degrees.
    pub opened_deg: f64,
}

impl Factors {
    /// The assumptions, the one that does most first.
    #[must_use]
    pub fn by_size(&self) -> [(Factor, f64); 4] {
        let mut sorted = self.factors;
        sorted.sort_by(|a, b| b.1.ln().abs().total_cmp(&a.1.ln().abs()));
        sorted
    }

    /// All factors together: the pull's load over the forecast's.
    #[must_use]
    pub fn product(&self) -> f64 {
        self.factors.iter().map(|f| f.1).product()
    }
}

/// The step with the highest load.
fn highest(steps: &[Reached]) -> Option<&Reached> {
    steps.iter().max_by(|a, b| a.load_kn.total_cmp(&b.load_kn))
}

/// Takes a difference apart. `forecast_kn`: the section limit; `steps`: the pull's; `gate`: as it was then, open for a hook that was left.
/// Nothing where a pull between the two comes to no load.
pub(super) fn factors(
    ready: &Ready,
    forecast_kn: f64,
    steps: &[Reached],
    (gate, steps_wanted): (GateState, u32),
    stop: &(dyn Fn() -> bool + Sync),
) -> Result<Option<Factors>, PullError> {
    let Some(found) = highest(steps) else { return Ok(None) };
    let hook_after_gate = gate == GateState::Open && ready.rig.gate != GateState::Open;
    let own = || On {
        hardening: ready.curve.hardening.clone(),
        motion: Motion::Large,
        tears: true,
        gate,
        steps: steps_wanted,
    };
    // A hook that was left by its gate, as if it had been one from the beginning.
    let from_rest = if hook_after_gate {
        let mut called_off = false;
        let watch: &mut Watch<'_> = &mut |_| {
            called_off |= stop();
            if called_off { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        };
        let course = course(ready, &own(), watch)?;
        if course.end == End::Stopped {
            return Err(PullError::Case(CaseError::Stopped));
        }
        highest(&course.steps).cloned()
    } else {
        Some(found.clone())
    };
    let Some(peak) = from_rest else { return Ok(None) };
    let flow_mpa = ready.strengths.frame_flow_mpa();
    let perfect = On {
        hardening: Hardening::Perfect { yield_mpa: flow_mpa },
        motion: Motion::Small,
        tears: false,
        ..own()
    };
    let hardening = On { motion: Motion::Small, ..own() };
    let to_mm = peak.stretch_mm;
    let (perfect, hardening) =
        rayon::join(|| loads(ready, &perfect, to_mm, stop), || loads(ready, &hardening, to_mm, stop));
    let (perfect, hardening) = (perfect?, hardening?);
    let (there, hardened) = (at(&perfect, to_mm), at(&hardening, to_mm));
    let all = [forecast_kn, there, hardened, peak.load_kn, found.load_kn];
    if all.iter().any(|kn| *kn <= 0.0) {
        return Ok(None);
    }
    let which = [Factor::Sections, Factor::Hardening, Factor::Shape, Factor::Before];
    let mut factors = which.map(|factor| (factor, 1.0));
    for (factor, pair) in factors.iter_mut().zip(all.windows(2)) {
        factor.1 = pair[1] / pair[0];
    }
    Ok(Some(Factors {
        factors,
        flow_mpa,
        stress_mpa: ready.curve.hardening.at(found.plastic_strain).stress_mpa,
        strain: found.plastic_strain,
        opened_deg: found.opened_deg,
    }))
}

/// The load at a stretch, along a line between two steps; that of the last where it ended before.
fn at(loads: &[[f64; 2]], stretch_mm: f64) -> f64 {
    let after = loads.partition_point(|p| p[0] < stretch_mm);
    match (after.checked_sub(1).and_then(|before| loads.get(before)), loads.get(after)) {
        (Some(a), Some(b)) => a[1] + (b[1] - a[1]) * (stretch_mm - a[0]) / (b[0] - a[0]),
        (_, Some(b)) => b[1],
        (Some(a), None) => a[1],
        (None, None) => 0.0,
    }
}
