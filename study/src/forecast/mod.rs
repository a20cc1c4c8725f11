//! What fails first, at which load, and how sure that is.

mod ends;
mod left_out;
pub mod pulled;
mod solve;

pub use left_out::LeftOut;
pub use solve::{Drawn, draws, solve};

use crate::map::Mapped;
use crate::model::Marking;
use crate::unknowns::Unknown;
use solver::causes::Judgement;
use solver::forecast::{Range, Response};
use solver::rig::GateState;
use solver::strength::{ComputedLimit, Ends, FailureMode, Limit, LimitKind, Limits, PinFailure};

/// What a forecast found.
#[derive(Debug)]
pub struct Forecast {
    /// The connector as it is, at the load of its rig, or at the load at which its first part fails if that is less.
    pub mapped: Mapped,
    /// Its limits.
    pub limits: Limits,
    /// Limits of its small parts by finite elements, beside the formulas; empty where the gate carries nothing.
    pub computed: Vec<ComputedLimit>,
    /// What is not known, on the ranges that could be solved.
    pub unknowns: Vec<Unknown>,
    /// What could not be varied, and why.
    pub left_out: Vec<LeftOut>,
    /// What every unknown does to every part's load, in the order of `unknowns`.
    pub parts: Response,
    /// The draws.
    pub range: Range,
}

/// A forecast beside the marking for the same state of the gate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Against {
    /// What is marked, kN.
    pub marked_kn: f64,
    /// The highest load of the pull over the marking.
    pub ratio: f64,
    /// Share of the draws that reach the marking, 0 to 1.
    pub reached_by: f64,
    /// Whether a part breaks below the marking although the pull ends above it.
    pub breaks_below: bool,
}

/// What a load supposes that is beyond the one at which the first part fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Supposes {
    /// That the gate holds.
    Gate,
    /// Its gate at its limit.
    GateAtItsLimit,
    /// That the strap holds.
    Strap,
}

/// How everything at its middle is not the middle of what may happen: there are many parts that are nearly as weak, or a range
/// that runs one way only.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OffTheMiddle {
    /// The highest load is outside the 90 % range.
    OutsideTheRange,
    /// Another part than the likeliest, which is this, fails first.
    AnotherPart(FailureMode),
}

impl Supposes {
    /// What the load at which a part comes to its limit supposes, where something gives before: the frame's limits reckon with what has gone
    /// by then, and its gate carries no more than it can but at first yield. A strap hangs on no gate, and a gate that was never held has no
    /// part in any.
    #[must_use]
    pub fn of(limits: &Limits, part: FailureMode, kn: f64) -> Option<Self> {
        if kn <= limits.fails_at_kn || limits.fails_at_kn <= 0.0 {
            return None;
        }
        let first = limits.limits.iter().find(|limit| limit.what == limits.fails_first)?;
        match (first.kind, part) {
            (LimitKind::Breaks | LimitKind::Slips, FailureMode::Strap(_)) => None,
            (LimitKind::Breaks | LimitKind::Slips, FailureMode::FrameBends | FailureMode::FrameOpens) => {
                Some(Self::GateAtItsLimit)
            }
            (LimitKind::Breaks | LimitKind::Slips, _) => Some(Self::Gate),
            (LimitKind::Strap, _) => Some(Self::Strap),
            (LimitKind::Yields | LimitKind::Bends | LimitKind::Opens, _) => None,
        }
    }
}

impl Forecast {
    /// Loads that 5, 50 and 95 of 100 draws stay below, kN.
    #[must_use]
    pub fn quantiles_kn(&self) -> [f64; 3] {
        [0.05, 0.5, 0.95].map(|part| self.range.quantile_kn(part))
    }

    /// The state of the gate.
    #[must_use]
    pub fn gate(&self) -> GateState {
        self.mapped.response.rig.gate
    }

    /// The load up to which nothing breaks, kN, with everything at its middle ([`Limits::holds_kn`]).
    #[must_use]
    pub fn holds_kn(&self) -> f64 {
        self.limits.holds_kn()
    }

    /// Beside what is marked for this state of the gate; `None` where nothing is. No marking is for a gate that is half shut.
    #[must_use]
    pub fn against(&self, marking: &Marking) -> Option<Against> {
        let marked_kn = marking.of(self.gate())?;
        let ratio = self.limits.peak_kn / marked_kn;
        let breaks_below = self.holds_kn() < marked_kn && ratio >= 1.0;
        Some(Against { marked_kn, ratio, reached_by: self.range.reaches(marked_kn), breaks_below })
    }

    /// The open hook over the highest load, for a shut gate: what the same pull would leave of the connector with its gate open.
    #[must_use]
    pub fn open_over_closed(&self) -> Option<f64> {
        (self.gate() == GateState::Closed && self.limits.ends != Ends::Strap)
            .then(|| self.limits.open_hook_kn / self.limits.peak_kn)
    }

    /// A pin of the gate that bends before anything ends the pull, and the load at which it does, kN: it still holds, but it is not
    /// the pin that it was.
    #[must_use]
    pub fn bent_pin(&self) -> Option<(FailureMode, f64)> {
        let bent = |l: &&Limit| matches!(l.what, FailureMode::Pin(_, PinFailure::Bent));
        let first = self.limits.limits.iter().filter(bent).find_map(|l| Some((l.what, l.at_kn?)))?;
        (first.1 < self.limits.fails_at_kn).then_some(first)
    }

    /// Where everything at its middle is not the middle of what may happen.
    #[must_use]
    pub fn off_the_middle(&self) -> Option<OffTheMiddle> {
        let [p5, _, p95] = self.quantiles_kn();
        if !(p5..=p95).contains(&self.limits.peak_kn) {
            return Some(OffTheMiddle::OutsideTheRange);
        }
        let chances = &self.range.chances;
        let of = |part: FailureMode| chances.iter().find(|c| c.what == part).map_or(0.0, |c| c.chance);
        let clearly = of(self.limits.fails_first) + Judgement::STANDING.clearly;
        chances.first().filter(|c| c.chance > clearly).map(|c| OffTheMiddle::AnotherPart(c.what))
    }
}
