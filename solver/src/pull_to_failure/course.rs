//! A pull from rest to its end, and beyond it on the open hook.

use super::fields::Fields;
use super::marks::Marks;
use super::reached::{End, Reached};
use super::standing::{Metal, Standing};
use crate::plastic::NoStep;
use crate::rig::{GateState, Loader, Rig, RigEnd};
use crate::strength::{Capacity, LimitKind};
use crate::system::System;
use std::ops::ControlFlow;

/// Steps of a pull to its end, about.
pub const DEFAULT_STEPS: u32 = 60;
/// No pull takes more than so many times the steps asked for.
const MOST_STEPS: usize = 12;
/// A step is cut into halves so many times before it is given up.
const CUTS: u32 = 9;
/// A step that takes more iterations than this is followed by a shorter one.
const SLOW: usize = 16;
/// Steps that stay short after one that had to be cut.
const CALM: u32 = 3;
/// A hook has opened where its bars have turned against each other by this much, degrees: what pulls then lies across them, not in them
/// (engineering judgement).
const OPENED_DEG: f64 = 90.0;
/// A gate is lost when no more runs along it than this part of the most that did, if that most is more than this part of the load.
const LOST: f64 = 1e-3;
const TOOK_PART: f64 = 0.01;
/// A load that has fallen by this part of the highest has passed its maximum.
const FALLEN: f64 = 0.02;
/// Steps are no longer than this part of the window's length, at the default number of steps.
const LONGEST: f64 = 1.0 / 100.0;
/// First step, as a part of the window's length.
const FIRST: f64 = 2e-5;
/// The end is found within this part of a step.
const AT_END: f64 = 2e-3;
/// Steps in which a gate that is gone lets go of its force.
const LETTING_GO: u32 = 8;

/// What is asked of a pull.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The frame's metal.
    pub metal: Metal,
    /// What the parts of the gate line hold.
    pub parts: Vec<Capacity>,
    /// The load that the pull is expected to reach, kN: it sets the length of steps, nothing else.
    pub expected_kn: f64,
    /// Steps to the end, about.
    pub steps: u32,
    /// The pull ends at this load, kN.
    pub until_kn: Option<f64>,
    /// The bench's stroke, mm.
    pub stroke_mm: Option<f64>,
    /// A hook, open from the beginning or left by a lost gate, is followed until its bars have turned against each other by more than this,
    /// degrees; without it, to its own end.
    pub hook_to_deg: Option<f64>,
}

/// A pull.
#[derive(Clone, Debug)]
pub struct Course<'a> {
    /// From rest on, with the gate.
    pub steps: Vec<Reached>,
    /// What ended it.
    pub end: End,
    /// What the open hook did after a gate that was lost: from the load right after on.
    pub hook: Option<Hook>,
    /// Loads at which something shows.
    pub marks: Marks,
    /// Iterations in all.
    pub iterations: usize,
    /// Steps that were tried and not found.
    pub cut: usize,
    pub(super) states: Vec<Standing<'a>>,
    hook_states: Vec<Standing<'a>>,
}

impl<'a> Course<'a> {
    /// The open hook from where the gate was lost, asked for as the pull was; nothing where none is left, or none is found in balance.
    pub fn open_hook(&self, rig: &Rig, asked: &Asked, watch: &mut Watch<'_>) -> Option<HookCourse<'a>> {
        if !self.end.leaves_a_hook() || rig.gate == GateState::Open {
            return None;
        }
        let mut standing = self.states.last()?.clone();
        if !standing.let_go(LETTING_GO) {
            return None;
        }
        let mut run = Run::new(standing, rig, asked);
        let _ = watch(run.last());
        let end = run.go_on(watch).unwrap_or_else(End::NoFurther);
        let Run { steps, states, iterations, cut, .. } = run;
        Some(HookCourse { hook: Hook { steps, end }, states, iterations, cut })
    }

    /// Makes what its open hook does a part of it.
    pub fn take_up(&mut self, hook: Option<HookCourse<'a>>) {
        if let Some(HookCourse { hook, states, iterations, cut }) = hook {
            self.hook = Some(hook);
            self.hook_states = states;
            self.iterations += iterations;
            self.cut += cut;
        }
    }

    /// Fields of a step of the open hook.
    #[must_use]
    pub fn hook_fields(&self, step: usize) -> Fields {
        Fields::of(&self.hook_states[step])
    }
}

/// The open hook after a lost gate.
#[derive(Clone, Debug, PartialEq)]
pub struct Hook {
    /// Steps, the first at the stretch at which the gate was lost.
    pub steps: Vec<Reached>,
    /// What ended it.
    pub end: End,
}

impl Hook {
    /// The highest load, kN.
    #[must_use]
    pub fn peak_kn(&self) -> f64 {
        self.steps.iter().map(|s| s.load_kn).fold(0.0, f64::max)
    }
}

/// What is told each step as it is reached; it may stop the pull.
pub type Watch<'w> = dyn FnMut(&Reached) -> ControlFlow<()> + 'w;

/// What an open hook does, until its course takes it up.
#[derive(Debug)]
pub struct HookCourse<'a> {
    hook: Hook,
    states: Vec<Standing<'a>>,
    iterations: usize,
    cut: usize,
}

/// Pulls a connector until it fails, and its open hook on where its gate is lost.
///
/// # Errors
/// [`NoStep`]: not even the first step was found.
pub fn pull<'a>(
    system: &'a System,
    rig: &Rig,
    asked: &Asked,
    watch: &mut Watch<'_>,
) -> Result<Course<'a>, NoStep> {
    let mut course = pull_with_gate(system, rig, asked, watch)?;
    let hook = course.open_hook(rig, asked, watch);
    course.take_up(hook);
    Ok(course)
}

/// Pulls a connector until it fails; what its hook does then is for [`Course::open_hook`] to find.
///
/// # Errors
/// [`NoStep`]: not even the first step was found.
pub fn pull_with_gate<'a>(
    system: &'a System,
    rig: &Rig,
    asked: &Asked,
    watch: &mut Watch<'_>,
) -> Result<Course<'a>, NoStep> {
    from(Standing::at_rest(system, rig, &asked.metal)?, rig, asked, watch)
}

/// Pulls a connector on from where it stands.
pub(super) fn from<'a>(
    standing: Standing<'a>,
    rig: &Rig,
    asked: &Asked,
    watch: &mut Watch<'_>,
) -> Result<Course<'a>, NoStep> {
    let mut run = Run::new(standing, rig, asked);
    let end = run.go_on(watch)?;
    let marks = Marks::of(&run.steps);
    let Run { steps, states, iterations, cut, .. } = run;
    Ok(Course { steps, end, hook: None, marks, iterations, cut, states, hook_states: Vec::new() })
}

struct Run<'a, 'q> {
    asked: &'q Asked,
    rig: Rig,
    now: Standing<'a>,
    steps: Vec<Reached>,
    states: Vec<Standing<'a>>,
    iterations: usize,
    cut: usize,
    longest_mm: f64,
    load_step_kn: f64,
}

impl<'a, 'q> Run<'a, 'q> {
    fn new(now: Standing<'a>, rig: &Rig, asked: &'q Asked) -> Self {
        let length = now.fixed.system.connector.window.inside_length_mm;
        let finer = f64::from(DEFAULT_STEPS) / f64::from(asked.steps);
        let mut run = Self {
            asked,
            rig: *rig,
            steps: Vec::new(),
            states: Vec::new(),
            iterations: 0,
            cut: 0,
            longest_mm: LONGEST * length * finer,
            load_step_kn: 2.0 * asked.expected_kn / f64::from(asked.steps),
            now,
        };
        run.keep(run.now.reached());
        run
    }

    fn keep(&mut self, reached: Reached) {
        self.iterations += reached.iterations;
        self.steps.push(reached);
        self.states.push(self.now.clone());
    }

    fn last(&self) -> &Reached {
        &self.steps[self.steps.len() - 1]
    }

    /// Goes on until something ends it.
    fn go_on(&mut self, watch: &mut Watch<'_>) -> Result<End, NoStep> {
        let length = self.now.fixed.system.connector.window.inside_length_mm;
        let mut step = FIRST * length;
        let (mut cuts, mut calm) = (0, CALM);
        let most = MOST_STEPS * self.asked.steps as usize;
        loop {
            if self.steps.len() > most {
                return Ok(End::Steps);
            }
            let before = self.now.clone();
            let from = before.stretch_mm();
            match self.now.go(from + step) {
                Ok(reached) => {
                    cuts = 0;
                    let last = self.last().clone();
                    if let Some((end, at)) = self.ends(&last, &reached) {
                        let reached = match at {
                            Some(part) => self.meet(before, from, step, part, &end).unwrap_or(reached),
                            None => reached,
                        };
                        let _ = watch(&reached);
                        self.keep(reached);
                        return Ok(end);
                    }
                    let slope = (reached.load_kn - last.load_kn).abs() / step;
                    let by_load = if slope > 0.0 { self.load_step_kn / slope } else { f64::INFINITY };
                    // After a step that had to be cut, the next ones stay as short for a while.
                    calm = (calm + 1).min(CALM);
                    let grown = match (reached.iterations > SLOW, calm < CALM) {
                        (true, _) => 0.6 * step,
                        (false, true) => step,
                        (false, false) => 2.0 * step,
                    };
                    let stopped = watch(&reached).is_break();
                    self.keep(reached);
                    if stopped {
                        return Ok(End::Stopped);
                    }
                    step = grown.min(by_load).min(self.longest_mm);
                }
                Err(reason) => {
                    self.cut += 1;
                    cuts += 1;
                    calm = 0;
                    step *= 0.5;
                    if cuts > CUTS {
                        return match (self.steps.len(), self.slides_out()) {
                            (1, _) => Err(reason),
                            (_, true) => Ok(End::GateLost),
                            (_, false) => Ok(End::NoFurther(reason)),
                        };
                    }
                }
            }
        }
    }

    /// Whether the pin was on its way out of the notch when no further step was found.
    fn slides_out(&self) -> bool {
        let seats = &self.now.fixed.system.outline.seats;
        self.now.gated && self.last().pin_out_mm > 0.5 * seats.pin_inside_mouth_mm().abs().max(0.1)
    }

    /// What a step ended in, and by which part of it, where that can be told.
    fn ends(&self, last: &Reached, now: &Reached) -> Option<(End, Option<f64>)> {
        let part = |wanted: f64, from: f64, to: f64| ((wanted - from) / (to - from)).clamp(0.0, 1.0);
        let mut found: Vec<(End, f64)> = Vec::new();
        if self.now.gated {
            let breaks = self.asked.parts.iter().filter(|p| p.kind == LimitKind::Breaks);
            let over = breaks.filter(|p| 1e-3 * p.force_n <= now.gate_line_kn);
            if let Some(weakest) = over.min_by(|a, b| a.force_n.total_cmp(&b.force_n)) {
                let at = part(1e-3 * weakest.force_n, last.gate_line_kn, now.gate_line_kn);
                found.push((End::Part(weakest.clone()), at));
            }
            // Next to nothing runs along the gate any more, however many steps that took.
            let most = self.steps.iter().map(|s| s.gate_line_kn).fold(0.0, f64::max);
            if now.gate_line_kn <= LOST * most && most > TOOK_PART * now.load_kn {
                return Some((End::GateLost, None));
            }
        }
        for (end, loader) in [(RigEnd::Upper, self.rig.upper), (RigEnd::Lower, self.rig.lower)] {
            if let Loader::Strap { strength_kn: Some(strength), .. } = loader
                && now.load_kn >= strength
            {
                found.push((End::Strap(end), part(strength, last.load_kn, now.load_kn)));
            }
        }
        if let (Some(was), Some(is)) = (last.ductility_used, now.ductility_used)
            && is >= 1.0
        {
            found.push((End::Torn, part(1.0, was, is)));
        }
        if let Some(stroke) = self.asked.stroke_mm.filter(|s| now.stroke_mm >= *s) {
            found.push((End::Stroke, part(stroke, last.stroke_mm, now.stroke_mm)));
        }
        if let Some(until) = self.asked.until_kn.filter(|u| now.load_kn >= *u) {
            found.push((End::Asked, part(until, last.load_kn, now.load_kn)));
        }
        let peak = self.steps.iter().map(|s| s.load_kn).fold(0.0, f64::max);
        if let Some((end, at)) = found.into_iter().min_by(|a, b| a.1.total_cmp(&b.1)) {
            return Some((end, Some(at)));
        }
        if !self.now.gated && self.asked.hook_to_deg.is_some_and(|to| now.opened_deg.abs() > to) {
            return Some((End::Slides, None));
        }
        if now.opened_deg.abs() >= OPENED_DEG {
            return Some((End::Opened, None));
        }
        let falls = now.load_kn < (1.0 - FALLEN) * peak;
        // A gate line that gives way while its pin slides is lost, whatever is left of its force.
        let end = if falls && self.slides_out() { End::GateLost } else { End::Maximum };
        falls.then_some((end, None))
    }

    /// Goes to where a step met its end: from where it began, by parts of it.
    fn meet(&mut self, before: Standing<'a>, from: f64, step: f64, part: f64, end: &End) -> Option<Reached> {
        let strength = |end: &RigEnd| match (end, self.rig.upper, self.rig.lower) {
            (RigEnd::Upper, Loader::Strap { strength_kn, .. }, _)
            | (RigEnd::Lower, _, Loader::Strap { strength_kn, .. }) => strength_kn,
            _ => None,
        };
        let wanted = |r: &Reached| match end {
            End::Part(capacity) => Some((r.gate_line_kn, 1e-3 * capacity.force_n)),
            End::Strap(end) => strength(end).map(|s| (r.load_kn, s)),
            End::Asked => self.asked.until_kn.map(|until| (r.load_kn, until)),
            End::Stroke => self.asked.stroke_mm.map(|stroke| (r.stroke_mm, stroke)),
            End::Torn => r.ductility_used.map(|used| (used, 1.0)),
            _ => None,
        };
        let last = self.last().clone();
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        let mut at = part;
        let mut best = None;
        for _ in 0..4 {
            let mut trial = before.clone();
            let Ok(reached) = trial.go(from + at * step) else { break };
            let off = match (wanted(&reached), wanted(&last)) {
                (Some((is, to)), Some((was, _))) => (is - to) / (to - was).abs().max(1e-12),
                _ => 0.0,
            };
            self.now = trial;
            best = Some(reached);
            if off.abs() < AT_END {
                break;
            }
            if off > 0.0 {
                high = at
            } else {
                low = at
            }
            // Where it would be met if what it is measured by grew evenly over the step.
            at = (at / (1.0 + off)).clamp(low + 0.02 * (high - low), high - 0.02 * (high - low));
        }
        best
    }
}
