//! An explanation as it is written: its JSON is [`Explanation`], as it stands. `causes` and `marking` tell what it holds,
//! `sentence` what it comes to, `answer` all of it.

mod answer;
mod causes;
mod marking;
mod sentence;

pub use answer::{LEAST_OTHERS, answer, goes_on, percent, tie_in_words};
pub use causes::family;
pub use marking::{MarkingReach, ReachedBy};

use crate::caution::CAUTION;
use crate::letters::capital;
use crate::{json, rigs};
use geometry::outline::FrameLocation;
use serde::Serialize;
use solver::causes::{Judgement, Place};
use solver::strength::FailureMode;
use study::Case;
use study::explain::{self, NearTie, SetKey};
use study::model::Model;

/// Name and version of the JSON.
pub const FORMAT: &str = "pullmap-explain-2";

/// One line of the ranking.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RankedCause {
    /// What differed from what was entered, with its most likely value.
    pub cause: String,
    /// What it is a kind of: `offset`, `gate open`, a key of the model, ...; `as entered` for nothing.
    pub family: String,
    /// The most likely values, in the order of the words; empty where there is none.
    pub values: Vec<f64>,
    /// The likely values in words; empty where there is none.
    pub likely: String,
    /// Likelihood against all that was considered, 0 to 1.
    pub likelihood: f64,
    /// How well its part and load fit what was seen, 0 to 1, whatever else was considered.
    pub fit: f64,
    /// Coefficient of friction that straps would need to stay there, where that is more than is told.
    pub friction_needed: Option<f64>,
    /// Load that it gives to whoever saw this, kN: the highest of the pull, or that of the part that fails first where the pull
    /// may have been stopped there.
    pub peak_kn: f64,
    /// The highest load of its pull, kN.
    pub pull_ends_at_kn: f64,
    /// What fails first then.
    #[serde(serialize_with = "json::mode")]
    pub fails_first: FailureMode,
    /// The part at the place seen, where it is not that one but its limit lies so close above that it may have gone first.
    #[serde(serialize_with = "json::maybe_tie")]
    pub near_tie: Option<NearTie>,
    /// Where the frame tears in the end.
    #[serde(serialize_with = "json::maybe_place")]
    pub tears_at: Option<FrameLocation>,
    /// Where it may tear instead: the second of two places that have both yielded through.
    #[serde(serialize_with = "json::maybe_place")]
    pub may_tear_at: Option<FrameLocation>,
    /// What to measure, and which reading would speak for this cause; empty for none.
    pub measure: String,
    /// What makes it, as after `--set`, `key=value`: `forecast` with these keys gives the load. Absent where no key does,
    /// and for what the forecast of everything as entered leaves open.
    pub keys: Option<Vec<String>>,
    /// The setting, for the picture.
    #[serde(skip)]
    pub setting: Case,
}

/// What comes nearest at the place when nothing explains the observation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Closest {
    /// What would have to differ from what was entered.
    pub cause: String,
    /// The load that it gives, kN.
    pub peak_kn: f64,
    /// What makes it, as after `--set`; absent where no key does.
    pub keys: Option<Vec<String>>,
    /// Lowest and highest load of all that was considered and fits the place, kN.
    pub reachable_kn: [f64; 2],
}

/// What would explain an observation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Explanation {
    /// [`FORMAT`].
    pub format: &'static str,
    /// Name of the connector.
    pub connector: String,
    /// The rig as entered, in a line.
    pub rig: String,
    /// Observed peak, kN.
    pub broke_at_kn: f64,
    /// Observed place.
    #[serde(serialize_with = "json::maybe_word")]
    pub place: Option<Place>,
    /// Scatter that a load may have and still fit, one standard deviation.
    pub scatter: f64,
    /// What everything as entered would have given.
    pub as_entered: RankedCause,
    /// The 90 % range with everything as entered, kN; absent where it has no forecast.
    pub forecast_kn: Option<[f64; 2]>,
    /// Whether anything explains the observation.
    pub explained: bool,
    /// The answer in a sentence.
    pub sentence: String,
    /// Causes, the most likely first.
    pub causes: Vec<RankedCause>,
    /// Likelihood of all that fits and is not among the causes, together.
    pub others_likelihood: f64,
    /// What comes nearest, when nothing explains it; absent when nothing at all breaks at the place.
    pub closest: Option<Closest>,
    /// What to measure to tell the leading causes apart.
    pub measure_next: Vec<String>,
    /// Which rigs would reach the markings.
    pub marking: Vec<MarkingReach>,
    /// How many settings were solved.
    pub solved: usize,
    /// What was judged and not measured: chances beforehand, scatter, and where a difference counts, each with its reason.
    pub judgement: Judgement,
    /// The caution.
    pub caution: &'static str,
}

fn keys(keys: Option<&Vec<SetKey>>) -> Option<Vec<String>> {
    keys.map(|keys| keys.iter().map(causes::set).collect())
}

impl RankedCause {
    /// A line about what broke at a load, kN, beside the friction entered.
    fn new(line: &explain::RankedCause, (broke_at_kn, friction): (f64, f64)) -> Self {
        Self {
            cause: causes::cause(&line.difference, line.friction_needed, friction, broke_at_kn),
            family: causes::family(&line.family),
            values: line.values.clone(),
            likely: causes::likely(&line.difference),
            likelihood: line.likelihood,
            fit: line.fit,
            friction_needed: line.friction_needed,
            peak_kn: line.peak_kn,
            pull_ends_at_kn: line.pull_ends_at_kn,
            fails_first: line.fails_first,
            near_tie: line.near_tie,
            tears_at: line.tears_at,
            may_tear_at: line.may_tear_at,
            measure: causes::measures(&line.difference),
            keys: keys(line.keys.as_ref()),
            setting: line.setting.clone(),
        }
    }
}

impl Explanation {
    /// A model's explanation.
    #[must_use]
    pub fn new(found: &explain::Explanation, model: &Model) -> Self {
        let seen = &found.observed;
        let (broke_at_kn, friction) = (seen.broke_at_kn, found.as_entered.setting.rig.friction);
        let line = |line: &explain::RankedCause| RankedCause::new(line, (broke_at_kn, friction));
        let causes: Vec<RankedCause> = found.causes.iter().map(line).collect();
        let measure_next = found.measure_next.iter().filter_map(|i| causes.get(*i));
        Self {
            format: FORMAT,
            connector: model.title.clone(),
            rig: rigs::rig(&model.rig),
            broke_at_kn,
            place: seen.place,
            scatter: seen.judgement.scatter,
            as_entered: line(&found.as_entered),
            forecast_kn: found.forecast_kn,
            explained: !causes.is_empty(),
            sentence: sentence::sentence(found),
            others_likelihood: found.others_likelihood,
            closest: found.closest.as_ref().map(|closest| Closest {
                cause: causes::cause(&closest.difference, closest.friction_needed, friction, broke_at_kn),
                peak_kn: closest.peak_kn,
                keys: keys(closest.keys.as_ref()),
                reachable_kn: closest.reachable_kn,
            }),
            measure_next: measure_next
                .map(|c| format!("{} would say: {}.", capital(&c.measure), c.cause))
                .collect(),
            causes,
            marking: found.marking.iter().map(MarkingReach::from).collect(),
            solved: found.solved,
            judgement: seen.judgement,
            caution: CAUTION,
        }
    }
}

#[cfg(test)]
mod tests;
