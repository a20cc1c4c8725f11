//! What stays after unloading, over the steps of a pull: sought by halving, since each step that is looked at is unloaded.

use super::refusal::PullError;
use solver::pull_to_failure::{Course, Shuts};
use std::collections::BTreeMap;

/// The load after which a gate no longer shuts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoLongerShuts {
    /// The load, kN: between two steps along a line through the room that is left at both.
    pub at_kn: f64,
    /// The two loads, kN: after the first it shuts, after the second it does not.
    pub between_kn: [f64; 2],
    /// How much farther apart the load centres then stay, mm, between the two likewise.
    pub set_mm: f64,
    /// Room that is left after each of the two, mm; below zero the pin does not pass.
    pub room_mm: [f64; 2],
    /// Room before the pull, mm.
    pub before_mm: f64,
    /// How much farther the notch then stands from the hinge than before the pull, mm, between the two likewise; below zero nearer.
    pub apart_mm: f64,
}

/// The load that left a permanent stretch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetFound {
    /// What was found, mm.
    pub set_mm: f64,
    /// The highest load that the connector has seen, kN.
    pub at_kn: f64,
    /// The loads of the steps on both sides, kN, and what they leave, mm.
    pub between: [[f64; 2]; 2],
    /// The least and the most that it may have been, kN, with the scatter of the metal.
    pub range_kn: [f64; 2],
    /// That scatter, to each side, as a part.
    pub scatter: f64,
    /// True where the load had passed its highest already: it says the highest load, and not where beyond it the pull ended.
    pub past_the_highest: bool,
}

/// What steps leave, each unloaded once.
pub(super) struct Sets<'c, 'a> {
    course: &'c Course<'a>,
    known: BTreeMap<usize, Option<(f64, Option<Shuts>)>>,
    stop: &'c dyn Fn() -> bool,
}

/// The last steps that are tried where one cannot be unloaded.
const LAST: usize = 4;

impl<'c, 'a> Sets<'c, 'a> {
    pub fn new(course: &'c Course<'a>, stop: &'c dyn Fn() -> bool) -> Self {
        Self { course, known: BTreeMap::new(), stop }
    }

    /// What a step leaves; nothing where it cannot be unloaded, or the caller calls it off.
    fn after(&mut self, step: usize) -> Option<(f64, Option<Shuts>)> {
        let stopped = (self.stop)();
        let unload = || if stopped { None } else { self.course.set_after(step).ok() };
        *self.known.entry(step).or_insert_with(unload)
    }

    /// The last step that can be unloaded.
    fn last(&mut self) -> Option<usize> {
        let steps = self.course.steps.len();
        (steps.saturating_sub(LAST)..steps).rev().find(|step| self.after(*step).is_some())
    }

    /// The step at which something that does not hold at rest first holds, and the one before; nothing where it never does.
    fn first(&mut self, holds: &dyn Fn(f64, Option<Shuts>) -> bool) -> Option<[usize; 2]> {
        let (mut low, mut high) = (0, self.last()?);
        let (set, shuts) = self.after(high)?;
        if !holds(set, shuts) {
            return None;
        }
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            // A step that cannot be unloaded is left to the side on which nothing is known yet.
            match self.after(middle) {
                Some((set, shuts)) if holds(set, shuts) => high = middle,
                _ => low = middle,
            }
        }
        (high > low).then_some([low, high])
    }

    fn loads(&self, steps: [usize; 2]) -> [f64; 2] {
        steps.map(|step| self.course.steps[step].load_kn)
    }

    pub fn no_longer_shuts(&mut self) -> Option<NoLongerShuts> {
        let steps = self.first(&|_, shuts| shuts.is_some_and(|s| !s.shuts()))?;
        let [below, above] = steps.map(|step| self.after(step));
        let ((set_below, Some(below)), (set_above, Some(above))) = (below?, above?) else { return None };
        let between_kn = self.loads(steps);
        let part = (below.room_mm / (below.room_mm - above.room_mm)).clamp(0.0, 1.0);
        let along = |[from, to]: [f64; 2]| from + part * (to - from);
        Some(NoLongerShuts {
            at_kn: along(between_kn),
            between_kn,
            set_mm: along([set_below, set_above]),
            room_mm: [below.room_mm, above.room_mm],
            before_mm: above.before_mm,
            apart_mm: along([below.apart_mm, above.apart_mm]),
        })
    }

    pub fn found(&mut self, set_mm: f64, scatter: f64) -> Result<SetFound, PullError> {
        let peak_kn = self.course.marks.peak_kn;
        let not_reached = |sets: &mut Self| PullError::SetNotReached {
            asked_mm: set_mm,
            most_mm: sets.last().and_then(|last| sets.after(last)).map_or(0.0, |(set, _)| set),
            end: sets.course.end.clone(),
        };
        let Some(steps) = self.first(&|set, _| set >= set_mm) else { return Err(not_reached(self)) };
        let (Some((below_mm, _)), Some((above_mm, _))) = (self.after(steps[0]), self.after(steps[1])) else {
            return Err(not_reached(self));
        };
        let [below, above] = self.loads(steps);
        let part = ((set_mm - below_mm) / (above_mm - below_mm)).clamp(0.0, 1.0);
        // Beyond the highest load the connector has seen that one.
        let seen = |step: usize| self.course.steps[..=step].iter().map(|s| s.load_kn).fold(0.0, f64::max);
        let past_the_highest = above < peak_kn && seen(steps[1]) >= peak_kn;
        let at_kn = if past_the_highest { peak_kn } else { below + part * (above - below) };
        let [low, high] = steps.map(seen);
        Ok(SetFound {
            set_mm,
            at_kn,
            between: [[below, below_mm], [above, above_mm]],
            range_kn: [(1.0 - scatter) * low, (1.0 + scatter) * high],
            scatter,
            past_the_highest,
        })
    }
}
