//! An explanation as it is written: its JSON is [`Explanation`], as it stands. `causes` and `marking` tell what it holds,
//! `sentence` what it comes to, `answer` all of it.

mod answer;
mod causes;
mod marking;
mod sentence;

pub use answer::{LEAST_OTHERS, answer, goes_on, tie_in_words};
pub use causes::family;
pub use marking::{MarkingReach, ReachedBy};

use crate::caution::CAUTION;
use crate::json::TieInWords;
use crate::letters::capital;
use crate::{json, rigs};
use geometry::outline::FrameLocation;
use schemars::JsonSchema;
use serde::Serialize;
use solver::causes::{Judgement, Observed, Place};
use solver::strength::FailureMode;
use study::Case;
use study::explain::{self, NearTie, SetKey};
use study::model::Model;

/// Name and version of the JSON.
pub const FORMAT: &str = "pullmap-explain-2";

/// One line of the ranking.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct RankedCause {
    /// What differed from what was entered, with its most likely value, in words.
    pub cause: String,
    /// What it is a kind of: `as entered` for nothing, `offset`, `gate open`, `gate half shut`, `alloy of the frame`, a key
    /// of the model, ...; two together as `... and offset`.
    pub family: String,
    /// The most likely values, in the order of the words and in their units there; empty where the cause has none.
    #[schemars(extend("maxItems" = 2))]
    pub values: Vec<f64>,
    /// The likely values in words: those that fit at least 0.6 times as well as the best; of two causes at once those of
    /// either, whatever the other is; empty where there is none.
    pub likely: String,
    /// Likelihood against everything that was considered and explains the observation, 0 to 1; of `as_entered` 0 when it has
    /// no line among `causes`.
    #[schemars(range(min = 0, max = 1))]
    pub likelihood: f64,
    /// How well part and load of this line fit what was seen, whatever else was considered: 1 at the very load and place.
    #[schemars(range(min = 0, max = 1))]
    pub fit: f64,
    /// Coefficient of friction that straps would need to stay where this line has them, where that is more than is told; such
    /// a place weighs less. Null where they stay.
    #[schemars(range(min = 0))]
    pub friction_needed: Option<f64>,
    /// Highest load of the pull then, kN; where the place seen is the part that fails first and the open hook would still
    /// hold, that part's load if it is nearer to the peak.
    #[schemars(range(min = 0))]
    pub peak_kn: f64,
    /// Highest load of that pull, kN, as `pullmap forecast` with its keys tells it.
    #[schemars(range(min = 0))]
    pub pull_ends_at_kn: f64,
    /// The part that fails first then.
    #[serde(serialize_with = "json::mode")]
    #[schemars(with = "String")]
    pub fails_first: FailureMode,
    /// The part at the place that was seen, where it is not the first one but its limit lies so close above that it may have
    /// gone first; null elsewhere.
    #[serde(serialize_with = "json::maybe_tie")]
    #[schemars(with = "Option<TieInWords>")]
    pub near_tie: Option<NearTie>,
    /// Where the frame tears in the end, in words; null when a strap goes first.
    #[serde(serialize_with = "json::maybe_place")]
    #[schemars(with = "Option<String>")]
    pub tears_at: Option<FrameLocation>,
    /// Where it may tear instead, in words: the second of two places that have both yielded through when the frame opens;
    /// null where there is one only.
    #[serde(serialize_with = "json::maybe_place")]
    #[schemars(with = "Option<String>")]
    pub may_tear_at: Option<FrameLocation>,
    /// By how much peak_kn misses the load that was measured, and why nothing nearer is told; empty where it hardly does, and for
    /// everything as entered.
    pub misses: String,
    /// What to measure, and which reading would speak for this cause; empty for none.
    pub measure: String,
    /// What makes it of the model as entered, each as after `--set`: `pullmap forecast` with these keys solves the same
    /// connector. Empty for nothing changed; null where no key does, and for a load that the forecast of everything as
    /// entered leaves open.
    pub keys: Option<Vec<String>>,
    /// The setting, for the picture.
    #[serde(skip)]
    pub setting: Case,
}

/// What comes nearest at the place when nothing explains the observation.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Closest {
    /// What would have to differ from what was entered, in words.
    pub cause: String,
    /// The load that it gives, kN.
    #[schemars(range(min = 0))]
    pub peak_kn: f64,
    /// What makes it of the model as entered, each as after `--set`: `pullmap forecast` with these keys solves the same
    /// connector. Null where no key does.
    pub keys: Option<Vec<String>>,
    /// Lowest and highest load of all that was considered and fits the place, kN.
    #[schemars(inner(range(min = 0)))]
    pub reachable_kn: [f64; 2],
}

/// What would explain an observation.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
#[schemars(extend("allOf" = [{
    "if": { "properties": { "explained": { "const": true } } },
    "then": { "properties": { "causes": { "minItems": 1 }, "closest": { "type": "null" } } },
    "else": { "properties": { "causes": { "maxItems": 0 } } }
}]))]
pub struct Explanation {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    pub format: &'static str,
    /// Title of the connector, from its model file.
    pub connector: String,
    /// The rig as entered, in a line.
    pub rig: String,
    /// The observed peak, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub broke_at_kn: f64,
    /// Where it was found broken; null when that was not told.
    #[serde(serialize_with = "json::maybe_word")]
    #[schemars(schema_with = "json::place_words")]
    pub place: Option<Place>,
    /// Scatter that a load may have and still fit, one standard deviation as a part of the load.
    #[schemars(extend("exclusiveMinimum" = 0, "exclusiveMaximum" = 1))]
    pub scatter: f64,
    /// What everything as entered would have given.
    pub as_entered: RankedCause,
    /// The 90 % range with everything as entered, kN; null where it has no forecast.
    #[schemars(inner(range(min = 0)))]
    pub forecast_kn: Option<[f64; 2]>,
    /// Whether anything explains the observation: a load within two scatters of it, at its place.
    pub explained: bool,
    /// The answer in a sentence.
    pub sentence: String,
    /// What explains it, the likeliest first, one line for each family. The likelihoods add up to 1 less what was too
    /// unlikely to be told. What leaves part and load as they would be without it counts with what is left.
    #[schemars(extend("maxItems" = 6))]
    pub causes: Vec<RankedCause>,
    /// Likelihood of all that fits and is not among the causes, together.
    #[schemars(range(min = 0, max = 1))]
    pub others_likelihood: f64,
    /// What comes nearest at the place; null when something explains the observation, and when nothing that was tried breaks
    /// at the place.
    pub closest: Option<Closest>,
    /// What to measure to tell the leading causes apart, the first first.
    #[schemars(extend("maxItems" = 3))]
    pub measure_next: Vec<String>,
    /// For every strength that is marked, the rigs that would reach it.
    #[schemars(extend("maxItems" = 2))]
    pub marking: Vec<MarkingReach>,
    /// How many settings were solved.
    #[schemars(range(min = 1))]
    pub solved: usize,
    /// What was judged and not measured: chances beforehand, scatter, and where a difference counts.
    #[schemars(extend("minItems" = 1))]
    pub judgement: Judgement,
    /// What an explanation is not.
    pub caution: &'static str,
}

fn keys(keys: Option<&Vec<SetKey>>) -> Option<Vec<String>> {
    keys.map(|keys| keys.iter().map(causes::set).collect())
}

impl RankedCause {
    /// A line about what was seen, beside the friction entered.
    fn new(line: &explain::RankedCause, observed: &Observed, friction: f64) -> Self {
        Self {
            cause: causes::cause(&line.difference, line.friction_needed, friction, observed.broke_at_kn),
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
            misses: causes::misses(line, observed),
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
        let line = |line: &explain::RankedCause| RankedCause::new(line, seen, friction);
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
