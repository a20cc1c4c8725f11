//! The pull itself, and what is asked beside it.

use super::bent::Bent;
use super::pulled::Pulled;
use super::ready::Ready;
use super::refusal::PullError;
use super::sets::{SetFound, Sets, Shutting};
use super::wanted::Wanted;
use crate::Step;
use solver::plastic::NoStep;
use solver::pull_to_failure::{Course, End, Reached, Watch, pull_with_gate};
use solver::rig::GateState;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};

impl Ready {
    /// Pulls it. `watch` is told each step, `begins` what is done besides; `stop` is asked before each step, and true keeps what was reached
    /// until then and leaves out the rest.
    ///
    /// # Errors
    /// [`PullError`]: what was asked for is never reached, or no equilibrium is found.
    pub fn pull(
        &self,
        wanted: &Wanted,
        watch: &mut (dyn FnMut(&Reached) + Send),
        begins: &(dyn Fn(Step) + Sync),
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Result<Pulled<'_>, PullError> {
        if let (Some(unload), Some(until)) = (wanted.unload_from_kn, wanted.until_kn)
            && unload > until
        {
            return Err(PullError::NotReached { asked_kn: unload, highest_kn: until, end: End::Asked });
        }
        // What cannot be answered is not pulled on for.
        let refused = AtomicBool::new(false);
        let mut watch = |reached: &Reached| {
            watch(reached);
            let ends = stop() || refused.load(Ordering::Relaxed);
            if ends { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        };
        let asked = self.asked(wanted, wanted.until_kn);
        let mut course =
            pull_with_gate(&self.system, &self.rig, &asked, &mut watch).map_err(PullError::NoStep)?;
        let wants = [wanted.until_kn, wanted.unload_from_kn].into_iter().flatten();
        let beyond =
            wants.filter(|kn| *kn > course.marks.peak_kn && course.end != End::Asked).reduce(f64::max);
        if let (Some(asked_kn), false) = (beyond, course.end == End::Stopped) {
            let highest_kn = course.marks.peak_kn;
            return Err(PullError::NotReached { asked_kn, highest_kn, end: course.end });
        }
        // A gate that stood half shut before is not asked whether it shuts.
        let closed = self.rig.gate == GateState::Closed;
        let gated = closed && course.steps.iter().any(|s| s.gate_line_kn > 0.0);
        if course.end == End::Stopped {
            let shutting = if gated { Shutting::Unknown } else { Shutting::NoGate };
            return Ok(Pulled {
                ready: self,
                course,
                shutting,
                set_found: None,
                bent: None,
                not_unloaded: None,
                stopped: true,
            });
        }
        // What its hook does and what it leaves hang on nothing but the pull: neither waits for the other.
        let (hook, left) = rayon::join(
            || {
                let hook = course.open_hook(&self.rig, &asked, &mut watch);
                begins(Step::Unloading);
                hook
            },
            || {
                let left = self.left(&course, wanted.set_found_mm, gated, stop);
                refused.store(left.is_err(), Ordering::Relaxed);
                left
            },
        );
        let (shutting, set_found) = left?;
        course.take_up(hook);
        let unloaded = wanted.unload_from_kn.map(|kn| self.bent(wanted, kn, &mut watch, stop)).transpose();
        let (bent, not_unloaded) = match unloaded {
            Ok(bent) => (bent.flatten(), None),
            // The pull itself is there, and is told.
            Err(reason @ PullError::NotUnloaded { .. }) => (None, Some(reason)),
            Err(other) => return Err(other),
        };
        let stopped = stop();
        Ok(Pulled { ready: self, course, shutting, set_found, bent, not_unloaded, stopped })
    }

    /// Up to which load its gate shuts, and which load has left a permanent stretch.
    fn left(
        &self,
        course: &Course<'_>,
        set_found_mm: Option<f64>,
        gated: bool,
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Result<(Shutting, Option<SetFound>), PullError> {
        let mut sets = Sets::new(course, stop);
        let shutting = match (gated, &course.end) {
            (false, _) => Shutting::NoGate,
            // Nothing is said of loads that were not reached.
            (true, End::NoFurther(_) | End::Steps) => Shutting::Unknown,
            (true, _) => sets.shutting(),
        };
        let set_found = match set_found_mm {
            Some(mm) => match sets.found(mm, self.yield_scatter) {
                // Nothing is said of what was called off.
                Err(_) if stop() => None,
                found => Some(found?),
            },
            None => None,
        };
        Ok((shutting, set_found))
    }

    /// Pulled to a load, unloaded and pulled again; nothing where it was stopped on the way.
    fn bent(
        &self,
        wanted: &Wanted,
        kn: f64,
        watch: &mut Watch<'_>,
        stop: &dyn Fn() -> bool,
    ) -> Result<Option<Bent>, PullError> {
        let asked = self.asked(wanted, Some(kn));
        let course = pull_with_gate(&self.system, &self.rig, &asked, watch).map_err(PullError::NoStep)?;
        if course.end == End::Stopped {
            return Ok(None);
        }
        let last = course.steps.len() - 1;
        let unloaded = match course.unloaded(last, stop) {
            Err(NoStep::CalledOff) => return Ok(None),
            unloaded => unloaded
                .map_err(|reason| PullError::NotUnloaded { from_kn: course.steps[last].load_kn, reason })?,
        };
        Ok(Some(Bent { before: course.steps[last].clone(), unloaded }))
    }
}
