//! What came of moving the levers of a model.

use super::lever_key::LeverKey;
use super::turn::Turn;
use crate::CaseError;
use crate::model::keys::Key;
use crate::model::{ModelErrors, Set};
use solver::strength::FailureMode;
use thiserror::Error;

/// The numbers that are watched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effect {
    /// Highest load of the pull, kN: the forecast.
    pub peak_kn: f64,
    /// The part that fails first.
    pub fails_first: FailureMode,
    /// Where it does, kN.
    pub fails_at_kn: f64,
    /// Where the frame first yields, kN, the gate line taken as whole even beyond where it gives.
    pub first_yield_kn: Option<f64>,
    /// Gate over load, at the load of the rig.
    pub gate_fraction: f64,
    /// Friction that a strap needs to stay where it is put, where that is more than may be relied on.
    pub slides: Option<f64>,
}

/// Why a lever could not be moved.
#[derive(Clone, Debug, Error)]
pub enum NotMoved {
    /// The value makes no model.
    #[error("{self:?}")]
    Model(ModelErrors),
    /// The connector with it cannot be solved.
    #[error("{self:?}")]
    Case(CaseError),
}

/// A lever moved one way.
#[derive(Clone, Debug)]
pub struct Moved {
    /// The value that it was moved to, in the base unit of its key.
    pub value: f64,
    /// What makes this connector of the model: a forecast with these sets is one of the very same.
    pub sets: Vec<Set>,
    /// What it comes to there, or why it does not.
    pub effect: Result<Effect, NotMoved>,
    /// Where on the way another part fails first, if one does at its end.
    pub turn: Option<Turn>,
}

/// Something that was moved by one step, both ways.
#[derive(Clone, Debug)]
pub struct Lever {
    /// What was moved.
    pub lever: LeverKey,
    /// Its value in the model, in the base unit of its key.
    pub value: f64,
    /// Other keys whose values follow: those of bars that are like the spine, say.
    pub followers: Vec<&'static Key>,
    /// To the lower value, then to the higher one; absent where there is no such size.
    pub ways: [Option<Moved>; 2],
}

impl Lever {
    /// Both ways that were solved.
    pub fn solved(&self) -> impl Iterator<Item = (&Moved, &Effect)> {
        self.ways.iter().flatten().filter_map(|way| way.effect.as_ref().ok().map(|effect| (way, effect)))
    }
}

/// What moving every lever does, strongest first.
#[derive(Clone, Debug)]
pub struct Levers {
    /// The model as it is.
    pub base: Effect,
    /// The levers.
    pub levers: Vec<Lever>,
}

/// A lever, one of its ways, and what it comes to there.
pub type Step<'a> = (&'a Lever, &'a Moved, &'a Effect);

impl Levers {
    /// The levers of a model that comes to `base` as it is, strongest first; of equals in the order given.
    pub(super) fn new(base: Effect, levers: Vec<Lever>) -> Self {
        let mut all = Self { base, levers: Vec::new() };
        let mut levers = levers;
        levers.sort_by(|a, b| all.strength_kn(b).total_cmp(&all.strength_kn(a)));
        all.levers = levers;
        all
    }

    /// The largest change of the forecast that a lever makes, kN.
    #[must_use]
    pub fn strength_kn(&self, lever: &Lever) -> f64 {
        lever.solved().map(|(_, effect)| (effect.peak_kn - self.base.peak_kn).abs()).fold(0.0, f64::max)
    }

    fn steps(&self) -> impl Iterator<Item = Step<'_>> {
        self.levers.iter().flat_map(|lever| lever.solved().map(move |(way, effect)| (lever, way, effect)))
    }

    /// The step that raises the forecast most, if any does; a place that its load does not keep is none.
    #[must_use]
    pub fn buys_most(&self) -> Option<Step<'_>> {
        let stays = |step: &Step<'_>| step.2.slides.is_none() || self.base.slides.is_some();
        self.steps()
            .filter(stays)
            .reduce(|best, other| if other.2.peak_kn > best.2.peak_kn { other } else { best })
            .filter(|step| step.2.peak_kn > self.base.peak_kn)
    }

    /// The step that lowers it most, if any does.
    #[must_use]
    pub fn costs_most(&self) -> Option<Step<'_>> {
        self.steps()
            .reduce(|best, other| if other.2.peak_kn < best.2.peak_kn { other } else { best })
            .filter(|step| step.2.peak_kn < self.base.peak_kn)
    }
}
