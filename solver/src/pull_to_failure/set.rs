//! What a pull leaves behind: the connector unloaded from a step, whether its gate still shuts, and a second pull on it.

use super::course::Course;
use super::fields::Fields;
use super::reached::Reached;
use super::standing::Standing;
use crate::plastic::NoStep;

/// A connector hangs in its straps with this part of the highest load, or a little of it, when it counts as unloaded.
const SLACK: f64 = 2e-3;
/// Room that a rubbing pin does not notice, mm.
const NO_ROOM_MM: f64 = 2e-3;
/// No way down is found where none is at a step as short as this, mm.
const SHORTEST_MM: f64 = 1e-5;
/// Steps of an unloading, at most.
const MOST: usize = 40;
/// The load that is aimed at, as a part of [`SLACK`].
const AIMED: f64 = 0.5;
/// The gate lets go at this part of the load, in so many steps.
const LETS_GO: f64 = 0.08;
const GATE_STEPS: u32 = 2;
/// Steps of a second pull up to the load of the first.
const AGAIN: u32 = 12;
/// No second pull takes more.
const MOST_AGAIN: usize = 100;

/// A connector that was let down from a step.
struct Down<'a> {
    standing: Standing<'a>,
    reached: Reached,
    /// How much farther apart its load centres would stay with no load at all, mm.
    set_mm: f64,
    /// Where it stood, and what it bore, before its gate was taken out.
    with_gate: Option<(Standing<'a>, Reached)>,
}

/// A connector after a pull.
#[derive(Clone, Debug)]
pub struct Unloaded {
    /// The load that it was unloaded from, kN.
    pub from_kn: f64,
    /// The load that is left, kN: next to nothing.
    pub left_kn: f64,
    /// How much farther apart its load centres stay, mm.
    pub set_mm: f64,
    /// What is left between nose and gate; nothing without a gate that carries.
    pub shuts: Option<Shuts>,
    /// Residual stress and plastic strain, and the shape that stays.
    pub fields: Fields,
    /// Largest residual stress away from nose and lug, after von Mises, MPa.
    pub residual_mpa: f64,
    /// Where, mm, on the undeformed frame.
    pub residual_at: geometry::curve::Point,
    /// A second pull to the same stretch, or as far as one was found.
    pub again: Vec<Reached>,
}

/// Whether a gate still shuts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shuts {
    /// Room around the pin in its notch where gate and hinge pin stand as well as they can, mm; below zero the pin does not fit.
    pub room_mm: f64,
    /// The same before the pull, mm.
    pub before_mm: f64,
    /// How much farther the notch (or head) stands from the hinge than before the pull, mm; below zero nearer.
    pub apart_mm: f64,
}

impl Shuts {
    /// True where the gate shuts.
    #[must_use]
    pub fn shuts(&self) -> bool {
        self.short_mm() <= 0.0
    }

    /// How much room is missing for the gate to shut, mm; below zero what is left over.
    #[must_use]
    pub fn short_mm(&self) -> f64 {
        // A neat pin has no room at all before the pull either.
        self.before_mm.min(0.0) - NO_ROOM_MM - self.room_mm
    }
}

impl Course<'_> {
    /// Unloads from a step, and pulls again up to its load; `stop` is asked before each step on the way, and true calls it off.
    ///
    /// # Errors
    /// [`NoStep`]: no equilibrium was found on the way down, or it was called off.
    pub fn unloaded(&self, step: usize, stop: &dyn Fn() -> bool) -> Result<Unloaded, NoStep> {
        let Down { mut standing, mut reached, set_mm, with_gate } = self.let_down(step, stop)?;
        let from_kn = self.steps[step].load_kn;
        let fields = Fields::of(&standing);
        let (residual_mpa, residual_at) = standing.largest_stress();
        let shuts = self.shuts_at(&standing);
        let (left_kn, mut again) = (reached.load_kn, vec![reached.clone()]);
        // A gate that no longer shuts leaves a hook to be pulled again. One that shuts is where it was when it let go: from nothing up to there it
        // only takes up its play.
        if let (Some((gated, at)), true) = (with_gate, shuts.is_some_and(|s| s.shuts())) {
            (standing, reached) = (gated, at);
            again.push(reached.clone());
        }
        let from = reached.stretch_mm;
        let to = self.steps[step].stretch_mm;
        let (longest, mut step) = ((to - from) / f64::from(AGAIN), 0.02 * (to - from) / f64::from(AGAIN));
        let mut at = from;
        while at < to && step > 1e-5 * longest && again.len() < MOST_AGAIN {
            if stop() {
                return Err(NoStep::CalledOff);
            }
            match standing.go((at + step).min(to)) {
                Ok(next) => {
                    at = next.stretch_mm;
                    again.push(next);
                    step = (2.0 * step).min(longest);
                }
                Err(_) => step *= 0.5,
            }
        }
        Ok(Unloaded { from_kn, left_kn, set_mm, shuts, fields, residual_mpa, residual_at, again })
    }

    /// Permanent stretch after unloading from a step, mm, and whether the gate then shuts.
    ///
    /// # Errors
    /// As [`Course::unloaded`].
    pub fn set_after(&self, step: usize, stop: &dyn Fn() -> bool) -> Result<(f64, Option<Shuts>), NoStep> {
        let Down { standing, set_mm, .. } = self.let_down(step, stop)?;
        Ok((set_mm, self.shuts_at(&standing)))
    }

    fn shuts_at(&self, standing: &Standing<'_>) -> Option<Shuts> {
        let joints = standing.fixed.rigged.joints.as_ref()?;
        let rest = vec![0.0; standing.body.displacements().len()];
        let moved = standing.body.displacements();
        Some(Shuts {
            room_mm: joints.room_mm(moved),
            before_mm: joints.room_mm(&rest),
            apart_mm: joints.apart_mm(moved),
        })
    }

    /// A step's connector, unloaded.
    fn let_down(&self, step: usize, stop: &dyn Fn() -> bool) -> Result<Down<'_>, NoStep> {
        let mut standing = self.states[step].clone();
        let mut reached = self.steps[step].clone();
        let from_kn = reached.load_kn;
        let slack = SLACK * self.marks.peak_kn;
        // Metal springs back along the slope at which it was first loaded: steeper than that near the peak.
        let mut slope = self.first_slope();
        let mut with_gate = None;
        for _ in 0..MOST {
            if reached.load_kn <= slack {
                break;
            }
            // The last of it without the gate, which would lie loose between its pins and says nothing of the frame's shape.
            if standing.gated && reached.load_kn < LETS_GO * from_kn {
                let before = (standing.clone(), reached.clone());
                if standing.let_go(GATE_STEPS) {
                    reached = standing.reached();
                    with_gate = Some(before);
                    continue;
                }
            }
            let down = reached.load_kn - AIMED * slack;
            // Large steps first; play and slack straps near the end.
            let mut step = (down / slope).min(0.6 * from_kn / slope).max(1e-6);
            let next = loop {
                if stop() {
                    return Err(NoStep::CalledOff);
                }
                let mut trial = standing.clone();
                match trial.go(reached.stretch_mm - step) {
                    Ok(next) if next.load_kn > 0.0 || step <= 1e-7 => {
                        standing = trial;
                        break next;
                    }
                    Ok(_) => step *= 0.5,
                    Err(_) if step > SHORTEST_MM => step *= 0.5,
                    Err(reason) => return Err(reason),
                }
            };
            let here = (reached.load_kn - next.load_kn) / step;
            if here > 0.0 {
                slope = here;
            }
            reached = next;
        }
        if reached.load_kn > 2.0 * slack {
            return Err(NoStep::Unsettled { left: reached.load_kn / from_kn });
        }
        let set_mm = reached.stretch_mm - reached.load_kn / slope;
        Ok(Down { standing, reached, set_mm, with_gate })
    }

    /// Slope of the load over the stretch, kN/mm: the steepest.
    fn first_slope(&self) -> f64 {
        self.steps
            .windows(2)
            .map(|p| (p[1].load_kn - p[0].load_kn) / (p[1].stretch_mm - p[0].stretch_mm))
            .fold(1e-3, f64::max)
    }

    /// Fields of a step.
    #[must_use]
    pub fn fields(&self, step: usize) -> Fields {
        Fields::of(&self.states[step])
    }
}
