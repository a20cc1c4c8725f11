//! What was tried against a load, and what came of it.

use super::loads::Pair;
use crate::CaseError;
use crate::model::{End, Model, ModelErrors, Set, To};
use crate::seats::{Holds, PlaceName};
use solver::rig::{GateState, Loader, Rig};
use solver::system::SystemError;
use thiserror::Error;

/// Where a load comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LoadIs {
    /// It was asked for.
    Asked,
    /// It is marked for a closed gate.
    MarkedClosed,
    /// It is marked for an open gate.
    MarkedOpen,
}

/// The load that the settings of a gate are held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// The load, kN.
    pub kn: f64,
    /// Where it comes from.
    pub is: LoadIs,
}

impl Load {
    fn asked(kn: f64) -> Self {
        Self { kn, is: LoadIs::Asked }
    }

    /// Of a gate that is closed, or taken for closed.
    pub(super) fn closed(model: &Model, asked_kn: Option<f64>) -> Option<Self> {
        let marked = model.marking.closed_kn.map(|kn| Self { kn, is: LoadIs::MarkedClosed });
        asked_kn.map(Self::asked).or(marked)
    }

    /// Of an open gate, where one is marked for it.
    pub(super) fn open(model: &Model, asked_kn: Option<f64>) -> Option<Self> {
        let marked = model.marking.open_kn.map(|kn| Self { kn, is: LoadIs::MarkedOpen });
        asked_kn.map(Self::asked).or(marked)
    }
}

/// Why nothing was tried with the gate in a state.
#[derive(Clone, Debug, Error)]
pub enum NoReach {
    /// The model cannot have its gate so.
    #[error("{self:?}")]
    Model(ModelErrors),
    /// The connector cannot be drawn or meshed with its gate so.
    #[error("{self:?}")]
    System(SystemError),
}

/// What a setting comes to beside a load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Nothing breaks up to the load.
    Holds,
    /// Something breaks, or the pull ends, below the load.
    DoesNotHold,
    /// Friction does not keep the loads there.
    NotKept,
    /// It could not be solved there.
    NotSolved,
}

/// A setting that was tried.
#[derive(Clone, Debug)]
pub struct Tried {
    /// What the place is, where it has a name.
    pub name: Option<PlaceName>,
    /// The rig, at the load of the model.
    pub rig: Rig,
    /// Offsets from and to which the loads fit, upper and lower, mm.
    pub room_mm: [[f64; 2]; 2],
    /// Friction needed to stay, upper and lower end.
    pub friction_needed: [f64; 2],
    /// Whether the friction that the rig relies on is enough.
    pub kept: bool,
    /// What it holds, or why that is not known.
    pub holds: Result<Holds, CaseError>,
}

impl Tried {
    /// The load up to which nothing breaks, kN, where friction keeps the loads there.
    #[must_use]
    pub fn kept_holds_kn(&self) -> Option<f64> {
        self.holds.as_ref().ok().filter(|_| self.kept).map(|holds| holds.holds_kn)
    }

    /// The keys that make this setting of the model, in full and in the place of other sets of its gate and loads: a forecast with
    /// them is one of the very same pull. `gate` is the word
    /// of [`ReachOfGate`].
    #[must_use]
    pub fn keys(&self, gate: &str) -> Vec<Set> {
        let mut keys = vec![("rig.gate".to_owned(), To::Typed(gate.to_owned()))];
        if let GateState::Half { engaged_mm } = self.rig.gate {
            keys.push(("rig.engaged_mm".to_owned(), To::Number(engaged_mm)));
        }
        for (end, loader) in [(End::Upper, self.rig.upper), (End::Lower, self.rig.lower)] {
            let (kind, size, size_mm) = match loader {
                Loader::Strap { width_mm, .. } => ("strap", "width_mm", width_mm),
                Loader::Bar { diameter_mm, .. } => ("bar", "diameter_mm", diameter_mm),
            };
            let key = |name: &str| format!("rig.{}.{name}", end.word());
            keys.push((key("kind"), To::Typed(kind.to_owned())));
            keys.push((key(size), To::Number(size_mm)));
            keys.push((key("offset_mm"), To::Number(loader.offset_mm())));
        }
        keys
    }

    /// The offsets of the upper and the lower load, mm, positive toward the gate.
    #[must_use]
    pub fn offsets_mm(&self) -> [f64; 2] {
        [self.rig.upper.offset_mm(), self.rig.lower.offset_mm()]
    }
}

/// All settings with the gate in one state.
#[derive(Clone, Debug)]
pub struct ReachOfGate {
    /// The state in the words of its key: `closed`, `half` or `open`.
    pub word: &'static str,
    /// The same with how far the pin is engaged; absent where the gate cannot be so.
    pub state: Option<GateState>,
    /// The load.
    pub load: Load,
    /// What was tried, straps from narrow to wide first, with whether it fits on its bars.
    pub pairs: Vec<(Pair, bool)>,
    /// Every setting, pair by pair.
    pub tried: Result<Vec<Tried>, NoReach>,
}

impl ReachOfGate {
    /// What a setting comes to beside the load.
    #[must_use]
    pub fn verdict(&self, tried: &Tried) -> Verdict {
        match &tried.holds {
            Err(_) => Verdict::NotSolved,
            Ok(_) if !tried.kept => Verdict::NotKept,
            Ok(holds) if holds.holds_kn >= self.load.kn => Verdict::Holds,
            Ok(_) => Verdict::DoesNotHold,
        }
    }

    /// How many settings have a verdict.
    #[must_use]
    pub fn count(&self, verdict: Verdict) -> usize {
        self.settings().filter(|tried| self.verdict(tried) == verdict).count()
    }

    /// The least load that any setting holds which friction keeps, kN.
    #[must_use]
    pub fn weakest_kept(&self) -> Option<f64> {
        self.settings().filter_map(Tried::kept_holds_kn).reduce(f64::min)
    }

    /// How many settings friction keeps and were solved.
    #[must_use]
    pub fn kept(&self) -> usize {
        self.count(Verdict::Holds) + self.count(Verdict::DoesNotHold)
    }

    /// All settings; none where the gate cannot be so.
    pub fn settings(&self) -> impl Iterator<Item = &Tried> {
        self.tried.iter().flatten()
    }

    /// The settings of a pair.
    pub fn of_pair(&self, pair: Pair) -> impl Iterator<Item = &Tried> {
        self.settings().filter(move |tried| {
            let same = |of: Loader, tried: Loader| of.placed(tried.offset_mm()) == tried;
            same(pair[0], tried.rig.upper) && same(pair[1], tried.rig.lower)
        })
    }

    /// Of the settings with a verdict the one that holds least, or most; the first of equal ones.
    fn extreme(&self, verdict: Verdict, most: bool) -> Option<&Tried> {
        let kn = |tried: &Tried| tried.holds.as_ref().map_or(f64::NAN, |holds| holds.holds_kn);
        self.settings().filter(|tried| self.verdict(tried) == verdict).reduce(|best, other| {
            if (kn(other) > kn(best)) == most && kn(other) != kn(best) { other } else { best }
        })
    }

    /// The nearest miss: of what does not hold, the setting that comes nearest to the load.
    #[must_use]
    pub fn nearest_miss(&self) -> Option<&Tried> {
        self.extreme(Verdict::DoesNotHold, true)
    }

    /// Of what does not hold, the weakest.
    #[must_use]
    pub fn weakest(&self) -> Option<&Tried> {
        self.extreme(Verdict::DoesNotHold, false)
    }

    /// Of what holds, the setting with least to spare.
    #[must_use]
    pub fn least_to_spare(&self) -> Option<&Tried> {
        self.extreme(Verdict::Holds, false)
    }
}

/// Where a connector holds a load.
#[derive(Clone, Debug)]
pub struct Reach {
    /// Friction that the rig relies on.
    pub friction: f64,
    /// Gate closed, half shut, open.
    pub gates: Vec<ReachOfGate>,
}

impl Reach {
    /// What was tried with any gate, straps from narrow to wide first.
    #[must_use]
    pub fn pairs(&self) -> Vec<Pair> {
        let tried = self.gates.iter().max_by_key(|gate| gate.pairs.len());
        tried.into_iter().flat_map(|gate| gate.pairs.iter().map(|(pair, _)| *pair)).collect()
    }
}
