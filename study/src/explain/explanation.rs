//! What an explanation holds.

use super::causes::{CauseOf, Family, Rounded, RoundedRange, ValueKind};
use super::marking::MarkingReach;
use super::set_key::SetKey;
use crate::Case;
use geometry::outline::FrameLocation;
use solver::causes::Observed;
use solver::strength::FailureMode;

/// A cause with its most likely value.
#[derive(Clone, Debug, PartialEq)]
pub struct Differs {
    /// What differs.
    pub of: CauseOf,
    /// What kind of value it has.
    pub told: ValueKind,
    /// The value, and for loads that lie diagonally that of the lower one; empty where it has none.
    pub values: Vec<Rounded>,
    /// The likely range of each of them; of two causes together of the first only.
    pub likely: Vec<RoundedRange>,
}

/// What differed from what was entered.
#[derive(Clone, Debug, PartialEq)]
pub enum Difference {
    /// Nothing, as it is entered.
    AsEntered,
    /// Nothing, by a draw of what the forecast of everything as entered leaves open; its 90 % range, kN.
    AsForecast([f64; 2]),
    /// One thing.
    One(Differs),
    /// One thing, and both loads off their place.
    WithOffset(Differs, Differs),
}

impl Difference {
    /// Whether nothing differs.
    #[must_use]
    pub fn is_none(&self) -> bool {
        matches!(self, Self::AsEntered | Self::AsForecast(_))
    }
}

/// One line of the ranking.
#[derive(Clone, Debug, PartialEq)]
pub struct RankedCause {
    /// What differed from what was entered.
    pub difference: Difference,
    /// What it is a kind of.
    pub family: Family,
    /// The most likely values, in their order; empty where there is none.
    pub values: Vec<f64>,
    /// Likelihood against all that was considered, 0 to 1.
    pub likelihood: f64,
    /// How well its part and load fit what was seen, 0 to 1, whatever else was considered.
    pub fit: f64,
    /// Coefficient of friction that straps would need to stay there, where that is more than holds them.
    pub friction_needed: Option<f64>,
    /// Load that it gives to whoever saw this, kN: the highest of the pull, or that of the part that fails first where the pull
    /// may have been stopped there.
    pub peak_kn: f64,
    /// The highest load of its pull, kN.
    pub pull_ends_at_kn: f64,
    /// What fails first then.
    pub fails_first: FailureMode,
    /// The part at the place seen, where it is not that one but its limit lies so close above that it may have gone first.
    pub near_tie: Option<NearTie>,
    /// Where the frame tears in the end.
    pub tears_at: Option<FrameLocation>,
    /// Where it may tear instead: the second of two places that have both yielded through.
    pub may_tear_at: Option<FrameLocation>,
    /// Why its load is not the one that was measured, where it is off by more than [`Miss::TOLD`]; absent for everything as entered.
    pub miss: Option<Miss>,
    /// What makes it of the model as entered. Absent where no key does, and for what the forecast of everything as entered leaves
    /// open.
    pub keys: Option<Vec<SetKey>>,
    /// The setting.
    pub setting: Case,
}

/// Why the load of a line is not the one that was measured.
#[derive(Clone, Debug, PartialEq)]
pub enum Miss {
    /// It is there or not: it has no value that could be another one.
    NoValue,
    /// Nothing that is considered for it comes nearer by more than [`Miss::TOLD`]: its bounds; empty for two causes together.
    Bounds(Vec<RoundedRange>),
    /// Wherever it would come nearer, straps stay only by more friction than may be relied on, and than they need here.
    Friction,
    /// All values that come nearer are rarer.
    Rarer,
    /// Values that come nearer are considered as well; a load scatters.
    Scatter,
}

impl Miss {
    /// A load that misses the one measured by more than so many scatters is told with the reason; and one that misses it by so much
    /// less than another comes nearer. Less may be that of another mesh.
    pub const TOLD: f64 = 0.5;
}

/// A part that may have gone first after all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NearTie {
    /// The part.
    pub what: FailureMode,
    /// The load at which it would give, kN.
    pub at_kn: f64,
}

/// What comes nearest at the place when nothing explains the observation.
#[derive(Clone, Debug, PartialEq)]
pub struct Closest {
    /// What would have to differ from what was entered.
    pub difference: Difference,
    /// Coefficient of friction that straps would need to stay there, where that is more than holds them.
    pub friction_needed: Option<f64>,
    /// The load that it gives, kN.
    pub peak_kn: f64,
    /// What makes it; absent where no key does.
    pub keys: Option<Vec<SetKey>>,
    /// Lowest and highest load of all that was considered and fits the place, kN.
    pub reachable_kn: [f64; 2],
}

/// What would explain an observation.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// What was seen, and the judgement that it is weighed by.
    pub observed: Observed,
    /// What everything as entered would have given.
    pub as_entered: RankedCause,
    /// The 90 % range with everything as entered, kN; absent where it has no forecast.
    pub forecast_kn: Option<[f64; 2]>,
    /// Causes, the most likely first; empty where nothing explains the observation.
    pub causes: Vec<RankedCause>,
    /// Likelihood of all that fits and is not among the causes, together.
    pub others_likelihood: f64,
    /// What comes nearest, when nothing explains it; absent when nothing at all breaks at the place.
    pub closest: Option<Closest>,
    /// Causes, by their place in the list, whose measure tells the leading ones apart.
    pub measure_next: Vec<usize>,
    /// Which rigs would reach the markings.
    pub marking: Vec<MarkingReach>,
    /// How many settings were solved.
    pub solved: usize,
}
