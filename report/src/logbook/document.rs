//! Pulls as JSON has them.

use super::forecast::beside;
use super::list::sentence;
use super::notes::notes;

use crate::caution::CAUTION;
use lab::logbook::{Amendment, Beside, Field, Forecast, Plan, Pull, Pulled, Recorded, Unreadable};
use schemars::JsonSchema;
use serde::Serialize;

/// Names and versions of the two forms.
const LIST: &str = "pullmap-log-list-1";
const SHOW: &str = "pullmap-log-show-1";

/// Pulls, one short entry each.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct ListDocument {
    /// Name and version of this format.
    #[schemars(extend("const" = LIST))]
    format: &'static str,
    /// How many there are, in words.
    sentence: String,
    /// The pulls that were asked for, in the order of their numbers.
    pulls: Vec<Listed>,
    /// How many more are withdrawn and were not asked for.
    withdrawn_not_listed: usize,
    /// Pulls that cannot be read, whatever was asked for.
    unreadable: Vec<CannotBeRead>,
    /// What the numbers are not.
    caution: &'static str,
}

/// A pull that cannot be read.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct CannotBeRead {
    /// Its number in this logbook.
    #[schemars(range(min = 1))]
    number: i64,
    /// What is wrong with it.
    why: String,
}

/// Why a pull counts no more.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct WithdrawnInWords {
    /// Why.
    why: String,
    /// When that was recorded.
    recorded: Entry,
}

impl WithdrawnInWords {
    fn of(pull: &Pull) -> Option<Self> {
        let (why, at) = pull.withdrawn.as_ref()?;
        Some(Self { why: why.clone(), recorded: Entry::new(at) })
    }
}

/// A pull in short, as it is now.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct Listed {
    /// Its number in this logbook.
    #[schemars(range(min = 1))]
    number: i64,
    /// What it is known by in every logbook.
    #[schemars(extend("pattern" = "^[0-9a-f]{32}$"))]
    uid: String,
    /// Name of the sample.
    sample: String,
    /// The day, or the day and the time in universal time; null while it is planned only.
    pulled_on: Option<String>,
    /// What is marked, gate closed, kN; null when not told.
    #[schemars(range(min = 0))]
    marked_closed_kn: Option<f64>,
    /// State of the gate; null when not told.
    gate: Option<String>,
    /// The highest load, kN; null while it is planned only.
    #[schemars(range(min = 0))]
    peak_kn: Option<f64>,
    /// How the pull ended; null when not told.
    outcome: Option<String>,
    /// Whether the connector itself gave way, so that the peak is its strength and not a lower bound; null when not told.
    broke: Option<bool>,
    /// Where it was found broken; null when not told.
    place: Option<String>,
    /// The range that was forecast before, kN, from the load that 5 of 100 draws stay below to that of 95; null when nothing was.
    #[schemars(inner(range(min = 0)))]
    forecast_kn: Option<[f64; 2]>,
    /// Fields that were corrected.
    amended: Vec<Field>,
    /// Why it is withdrawn; null where it counts.
    withdrawn: Option<String>,
}

/// A pull, whole.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct ShowDocument {
    /// Name and version of this format.
    #[schemars(extend("const" = SHOW))]
    format: &'static str,
    /// Its number in this logbook.
    #[schemars(range(min = 1))]
    number: i64,
    /// What it is known by in every logbook.
    #[schemars(extend("pattern" = "^[0-9a-f]{32}$"))]
    uid: String,
    /// When sample, model and rig were recorded.
    recorded: Entry,
    /// Sample, model and rig as they are now.
    plan: Plan,
    /// When the result was recorded; null while there is none.
    result_recorded: Option<Entry>,
    /// What the pull gave, as it is now; null while it is planned only.
    result: Option<Pulled>,
    /// What was forecast before the pull; null when nothing was.
    forecast: Option<Forecast>,
    /// When that was recorded; null when nothing was.
    forecast_recorded: Option<Entry>,
    /// The peak beside the forecast; null without either.
    peak_beside_forecast: Option<Beside>,
    /// The same in a sentence.
    sentence: Option<String>,
    /// What in these values does not go together, in sentences.
    notes: Vec<String>,
    /// Sample, model and rig as they were first recorded.
    first_plan: Plan,
    /// The result as it was first recorded.
    first_result: Option<Pulled>,
    /// What was corrected, in order.
    amendments: Vec<Amendment>,
    /// Why it is withdrawn; null where it counts.
    withdrawn: Option<WithdrawnInWords>,
    /// What the numbers are not.
    caution: &'static str,
}

/// When something was recorded.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct Entry {
    /// Place in the order of all that was ever recorded in this logbook.
    #[schemars(range(min = 1))]
    entry: i64,
    /// What the clock said, universal time.
    at: String,
    /// The package that it was taken in from, whose word the time is then; null when it was recorded here.
    taken_in_from: Option<String>,
}

impl Entry {
    fn new(at: &Recorded) -> Self {
        Self { entry: at.seq, at: at.at.clone(), taken_in_from: at.taken_in.clone() }
    }
}

impl ListDocument {
    /// Tells of pulls.
    #[must_use]
    pub fn new(pulls: &[Pull], unreadable: &[Unreadable], hidden: usize) -> Self {
        Self {
            format: LIST,
            sentence: sentence(pulls),
            pulls: pulls.iter().map(Listed::new).collect(),
            withdrawn_not_listed: hidden,
            unreadable: unreadable
                .iter()
                .map(|one| CannotBeRead { number: one.number, why: one.words.clone() })
                .collect(),
            caution: CAUTION,
        }
    }
}

impl Listed {
    fn new(pull: &Pull) -> Self {
        let plan = &pull.now.plan;
        let pulled = pull.now.pulled.as_ref();
        Self {
            number: pull.number,
            uid: pull.uid.clone(),
            sample: plan.sample.clone(),
            pulled_on: pulled.map(|pulled| pulled.pulled_on.clone()),
            marked_closed_kn: plan.marked_closed_kn,
            gate: plan.gate.clone(),
            peak_kn: pull.peak_kn(),
            outcome: pulled.and_then(|pulled| pulled.outcome.clone()),
            broke: pull.broke(),
            place: pulled.and_then(|pulled| pulled.place.clone()),
            forecast_kn: pull.forecast.as_ref().map(|(forecast, _)| [forecast.p5_kn, forecast.p95_kn]),
            amended: Field::ALL.into_iter().filter(|field| pull.is_amended(*field)).collect(),
            withdrawn: pull.withdrawn.as_ref().map(|(why, _)| why.clone()),
        }
    }
}

impl ShowDocument {
    /// Tells of a pull.
    #[must_use]
    pub fn new(pull: &Pull) -> Self {
        Self {
            format: SHOW,
            number: pull.number,
            uid: pull.uid.clone(),
            recorded: Entry::new(&pull.planned),
            plan: pull.now.plan.clone(),
            result_recorded: pull.done.as_ref().map(Entry::new),
            result: pull.now.pulled.clone(),
            forecast: pull.forecast.as_ref().map(|(forecast, _)| forecast.clone()),
            forecast_recorded: pull.forecast.as_ref().map(|(_, at)| Entry::new(at)),
            peak_beside_forecast: pull.beside_forecast(),
            sentence: beside(pull),
            notes: notes(pull),
            first_plan: pull.first.plan.clone(),
            first_result: pull.first.pulled.clone(),
            amendments: pull.amendments.iter().map(|(amendment, _)| amendment.clone()).collect(),
            withdrawn: WithdrawnInWords::of(pull),
            caution: CAUTION,
        }
    }
}
