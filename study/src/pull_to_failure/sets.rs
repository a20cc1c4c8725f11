//! What stays after unloading, over the steps of a pull: sought by halving, since each step that is looked at is unloaded.

use super::refusal::PullError;
use solver::pull_to_failure::{Course, Shuts};
use std::collections::BTreeMap;

/// Up to which load a gate shuts after unloading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shutting {
    /// There is no gate that carries.
    NoGate,
    /// It shuts after every load of the pull with the gate.
    Always,
    /// It no longer does after a load.
    Until(NoLongerShuts),
    /// It was not sought to its end, or the connector could not be unloaded from some steps.
    Unknown,
}

/// By how much something holds, of the permanent stretch and of the gate; nothing where that is not known.
type Over<'o> = dyn Fn(f64, Option<Shuts>) -> Option<f64> + 'o;

/// Steps between the last that is elastic and the first that is unloaded; from there on each lies twice as far. Farther apart they would meet
/// gates that have jammed for good, of which no way down is found.
const FIRST_GAP: usize = 2;

/// A step at which what is sought does not hold yet, and by how much, where that is known.
type Low = (usize, Option<f64>);

/// What a search over steps found.
#[derive(Clone, Copy)]
enum Sought {
    /// Between two steps that follow each other.
    Between([usize; 2]),
    /// At none.
    Never,
    /// Some step could not be unloaded.
    Unknown,
}

/// The load after which a gate no longer shuts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoLongerShuts {
    /// The load, kN: between two steps along a line through the room that is missing at both.
    pub at_kn: f64,
    /// The two loads, kN: after the first it shuts, after the second it does not.
    pub between_kn: [f64; 2],
    /// The stretch there, mm, between the two likewise.
    pub stretch_mm: f64,
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
    stop: &'c (dyn Fn() -> bool + Sync),
}

impl<'c, 'a> Sets<'c, 'a> {
    pub fn new(course: &'c Course<'a>, stop: &'c (dyn Fn() -> bool + Sync)) -> Self {
        Self { course, known: BTreeMap::new(), stop }
    }

    /// What a step leaves; nothing where it cannot be unloaded, or the caller calls it off.
    fn after(&mut self, step: usize) -> Option<(f64, Option<Shuts>)> {
        *self.known.entry(step).or_insert_with(|| self.course.set_after(step, self.stop).ok())
    }

    /// By how much something holds after unloading from a step, as `over` tells it; nothing where that is not known.
    fn at(&mut self, step: usize, over: &Over<'_>) -> Option<f64> {
        self.after(step).and_then(|(set, shuts)| over(set, shuts))
    }

    /// Seeks the step at which something first holds that does not while all is elastic; `over` tells by how much it does, below zero by how
    /// much it does not. Steps are unloaded farther and farther apart until one is found, then between: what has yielded little is unloaded
    /// soonest.
    fn first(&mut self, over: &Over<'_>) -> Sought {
        let steps = &self.course.steps;
        let last = steps.len() - 1;
        let elastic = steps.iter().position(|s| s.plastic_strain > 0.0).unwrap_or(last).saturating_sub(1);
        let (mut low, mut gap) = ((elastic, None), FIRST_GAP);
        let mut high = loop {
            let probe = (elastic + gap).min(last);
            let stuck = match self.at(probe, over) {
                Some(by) if by > 0.0 => break (probe, by),
                Some(by) => {
                    low = (probe, Some(by));
                    false
                }
                None => match self.before(probe, &mut low, over) {
                    Some(found) => break found,
                    None => true,
                },
            };
            if probe == last {
                return if stuck { Sought::Unknown } else { Sought::Never };
            }
            gap *= 2;
        };
        // In turn where a line through both ends has it, and in the middle.
        let mut along = true;
        while high.0 - low.0 > 1 {
            let between = high.0 - low.0;
            let part = low.1.filter(|_| along).map_or(0.5, |below| below / (below - high.1));
            let probe = low.0 + ((part * between as f64).round() as usize).clamp(1, between - 1);
            match self.at(probe, over) {
                Some(by) if by > 0.0 => high = (probe, by),
                Some(by) => low = (probe, Some(by)),
                None => match self.before(probe, &mut low, over) {
                    Some(found) => high = found,
                    None => return Sought::Unknown,
                },
            }
            along = !along;
        }
        if high.0 > low.0 { Sought::Between([low.0, high.0]) } else { Sought::Unknown }
    }

    /// Between the last step that was unloaded and the first of which no way down was found: a step at which it holds.
    fn before(&mut self, mut stuck: usize, low: &mut Low, over: &Over<'_>) -> Option<(usize, f64)> {
        while stuck - low.0 > 1 {
            let middle = low.0 + (stuck - low.0) / 2;
            match self.at(middle, over) {
                Some(by) if by > 0.0 => return Some((middle, by)),
                Some(by) => *low = (middle, Some(by)),
                None => stuck = middle,
            }
        }
        None
    }

    fn loads(&self, steps: [usize; 2]) -> [f64; 2] {
        steps.map(|step| self.course.steps[step].load_kn)
    }

    pub fn shutting(&mut self) -> Shutting {
        let steps = match self.first(&|_, shuts| shuts.map(|s| s.short_mm())) {
            Sought::Between(steps) => steps,
            Sought::Never => return Shutting::Always,
            Sought::Unknown => return Shutting::Unknown,
        };
        let [Some((set_below, Some(below))), Some((set_above, Some(above)))] = steps.map(|s| self.after(s))
        else {
            return Shutting::Unknown;
        };
        let between_kn = self.loads(steps);
        let part = (below.short_mm() / (below.short_mm() - above.short_mm())).clamp(0.0, 1.0);
        let along = |[from, to]: [f64; 2]| from + part * (to - from);
        Shutting::Until(NoLongerShuts {
            at_kn: along(between_kn),
            between_kn,
            stretch_mm: along(steps.map(|step| self.course.steps[step].stretch_mm)),
            set_mm: along([set_below, set_above]),
            room_mm: [below.room_mm, above.room_mm],
            before_mm: above.before_mm,
            apart_mm: along([below.apart_mm, above.apart_mm]),
        })
    }

    pub fn found(&mut self, set_mm: f64, scatter: f64) -> Result<SetFound, PullError> {
        let sought = self.first(&|set, _| Some(set - set_mm));
        let sides = match sought {
            Sought::Between(steps) => steps.map(|s| Some((s, self.after(s)?.0))),
            Sought::Never | Sought::Unknown => [None; 2],
        };
        let [Some((low, below_mm)), Some((high, above_mm))] = sides else {
            let sets = || self.known.values().flatten();
            let most_mm = sets().map(|(set, _)| *set).fold(f64::NEG_INFINITY, f64::max);
            let aparts = sets().filter_map(|(_, shuts)| Some(shuts.as_ref()?.apart_mm));
            let apart_mm = aparts.fold(0.0, |most: f64, mm| if mm.abs() > most.abs() { mm } else { most });
            let end = self.course.end.clone();
            return Err(match sought {
                Sought::Never => PullError::SetNotReached { asked_mm: set_mm, most_mm, apart_mm, end },
                _ => PullError::SetNotFound { asked_mm: set_mm },
            });
        };
        let [below, above] = self.loads([low, high]);
        let part = ((set_mm - below_mm) / (above_mm - below_mm)).clamp(0.0, 1.0);
        // Beyond the highest load the connector has seen that one.
        let peak_kn = self.course.marks.peak_kn;
        let seen = |step: usize| self.course.steps[..=step].iter().map(|s| s.load_kn).fold(0.0, f64::max);
        let past_the_highest = above < peak_kn && seen(high) >= peak_kn;
        let at_kn = if past_the_highest { peak_kn } else { below + part * (above - below) };
        Ok(SetFound {
            set_mm,
            at_kn,
            between: [[below, below_mm], [above, above_mm]],
            range_kn: [(1.0 - scatter) * seen(low), (1.0 + scatter) * seen(high)],
            scatter,
            past_the_highest,
        })
    }
}
