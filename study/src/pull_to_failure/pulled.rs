//! What came of a pull.

use super::bent::Bent;
use super::ready::Ready;
use super::refusal::PullError;
use super::sets::{NoLongerShuts, SetFound, Shutting};
use geometry::outline::FrameLocation;
use solver::pull_to_failure::{Course, Reached};

/// Low load, as a part of that at which the frame first yields: the gate has engaged, and all metal is elastic.
const LOW: f64 = 0.5;

/// A connector that was pulled.
#[derive(Clone, Debug)]
pub struct Pulled<'a> {
    /// The connector before.
    pub ready: &'a Ready,
    /// Steps, marks, end, and the open hook afterwards.
    pub course: Course<'a>,
    /// Up to which load the gate shuts after unloading.
    pub shutting: Shutting,
    /// The load that left what was found.
    pub set_found: Option<SetFound>,
    /// What was unloaded on the way.
    pub bent: Option<Bent>,
    /// Why it could not be unloaded from where that was asked for; nothing where it was, or was not asked for.
    pub not_unloaded: Option<PullError>,
    /// True where the caller stopped it before everything was done.
    pub stopped: bool,
}

/// What goes over the gate at a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// The load, kN.
    pub load_kn: f64,
    /// The part of it that goes over the gate.
    pub gate: f64,
    /// What the gate carries, kN.
    pub gate_kn: f64,
    /// What the spine carries, kN.
    pub spine_kn: f64,
}

/// What goes over the gate on the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shares {
    /// Half way to first yield, or to the highest load where nothing yields.
    pub low: Share,
    /// At the last step at which the bars were elastic; nothing where they never yield.
    pub yields: Option<Share>,
    /// At the last step with the gate.
    pub end: Share,
}

impl Pulled<'_> {
    /// The step with the highest load.
    #[must_use]
    pub fn highest(&self) -> usize {
        let loads = self.course.steps.iter().map(|s| s.load_kn).enumerate();
        loads.max_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |found| found.0)
    }

    /// The last step with the gate.
    #[must_use]
    pub fn last(&self) -> &Reached {
        &self.course.steps[self.course.steps.len() - 1]
    }

    /// The first step at which the bars have yielded.
    #[must_use]
    pub fn first_plastic(&self) -> Option<usize> {
        self.course.steps.iter().position(|s| s.plastic_strain > 0.0)
    }

    /// The step whose load comes nearest on the way up.
    #[must_use]
    pub fn step_at(&self, load_kn: f64) -> usize {
        let up = self.course.steps[..=self.highest()].iter().enumerate();
        let off = |s: &Reached| (s.load_kn - load_kn).abs();
        up.min_by(|a, b| off(a.1).total_cmp(&off(b.1))).map_or(0, |found| found.0)
    }

    /// Whether a gate carries.
    #[must_use]
    pub fn is_gated(&self) -> bool {
        self.course.steps.iter().any(|s| s.gate_line_kn > 0.0)
    }

    /// Where the gate no longer shuts after unloading, where that was found.
    #[must_use]
    pub fn no_longer_shuts(&self) -> Option<NoLongerShuts> {
        match self.shutting {
            Shutting::Until(found) => Some(found),
            Shutting::NoGate | Shutting::Always | Shutting::Unknown => None,
        }
    }

    /// What goes over the gate on the way.
    #[must_use]
    pub fn shares(&self) -> Shares {
        let share = |step: usize| {
            let s = &self.course.steps[step];
            Share { load_kn: s.load_kn, gate: s.gate_fraction, gate_kn: s.gate_kn, spine_kn: s.spine_kn }
        };
        let yields_kn = self.course.marks.yields_kn;
        let low = self.step_at(LOW * yields_kn.unwrap_or(self.course.marks.peak_kn)).max(1);
        let steps = self.course.steps.len();
        Shares {
            low: share(low.min(steps - 1)),
            yields: self.first_plastic().map(|first| share(first.saturating_sub(1))),
            end: share(steps - 1),
        }
    }

    /// As [`Ready::keeps_to_deg`].
    #[must_use]
    pub fn keeps_to_deg(&self) -> f64 {
        self.ready.keeps_to_deg()
    }

    /// The last step of the open hook at which friction keeps straps and bars where they lie; nothing where it keeps them at none.
    #[must_use]
    pub fn hook_keeps(&self) -> Option<usize> {
        let hook = self.course.hook.as_ref()?;
        let slides = hook.steps.iter().position(|s| s.opened_deg.abs() > self.keeps_to_deg());
        slides.unwrap_or(hook.steps.len()).checked_sub(1)
    }

    /// The steps of the open hook as far as friction keeps on it what pulls it, the first at least: what is shown of it.
    #[must_use]
    pub fn kept_hook(&self) -> &[Reached] {
        let steps = self.course.hook.as_ref().map_or(&[][..], |hook| hook.steps.as_slice());
        &steps[..self.hook_keeps().map_or(1, |last| last + 1).min(steps.len())]
    }

    /// Whether the open hook turns so far that friction no longer keeps them.
    #[must_use]
    pub fn hook_slides(&self) -> bool {
        let steps = self.course.hook.as_ref().map_or(0, |hook| hook.steps.len());
        steps > 0 && self.hook_keeps().is_none_or(|last| last + 1 < steps)
    }

    /// The steps from rest on that are shown: with a gate all of them, without one as far as friction keeps straps and bars where they lie.
    #[must_use]
    pub fn shown(&self) -> &[Reached] {
        let steps = self.course.steps.as_slice();
        let slides = |s: &Reached| s.opened_deg.abs() > self.keeps_to_deg();
        let first = if self.is_gated() { None } else { steps.iter().position(slides) };
        &steps[..first.map_or(steps.len(), |first| first.max(2).min(steps.len()))]
    }

    /// Whether friction holds what pulls on an open hook at no step but that at rest.
    #[must_use]
    pub fn open_slides_at_once(&self) -> bool {
        let first = self.course.steps.get(1);
        !self.is_gated() && first.is_some_and(|s| s.opened_deg.abs() > self.keeps_to_deg())
    }

    /// Of a pull without a gate in whose course friction comes to keep nothing where it lies: the highest load until then, kN.
    #[must_use]
    pub fn open_keeps_kn(&self) -> Option<f64> {
        let shown = self.shown();
        let slides = shown.len() < self.course.steps.len();
        slides.then(|| shown.iter().map(|s| s.load_kn).fold(0.0, f64::max))
    }

    /// The highest load of the open hook after a lost gate for as long as friction keeps straps and bars where they lie, kN; nothing where it keeps
    /// them at no step.
    #[must_use]
    pub fn hook_keeps_kn(&self) -> Option<f64> {
        let steps = &self.course.hook.as_ref()?.steps;
        Some(steps[..=self.hook_keeps()?].iter().map(|s| s.load_kn).fold(0.0, f64::max))
    }

    /// The place of a point of the undeformed frame.
    #[must_use]
    pub fn place(&self, at: [f64; 2]) -> FrameLocation {
        self.ready.system.outline.frame_location(at)
    }
}
