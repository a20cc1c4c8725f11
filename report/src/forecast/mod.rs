//! The forecast as it is written: what `--json` prints and forecast.json holds. `sentences` and `answer` put it into words.

mod answer;
mod calibrated;
mod pulled;
mod sentences;

pub use answer::{answer, asked, summary};
pub use calibrated::Calibrated;
pub use pulled::{PulledInWords, STOPPED};
pub use sentences::left_out;

use crate::caution::CAUTION;
use crate::in_use::InUse;
use crate::json::{ChanceInWords, ComputedInWords, LimitInWords};
use crate::story::story;
use crate::{json, notes, rigs, unknowns};
use geometry::outline::FrameLocation;
use lab::logbook::KeptCalibration;
use schemars::JsonSchema;
use serde::Serialize;
use solver::forecast::{Calibration, Chance};
use solver::strength::{ComputedLimit, Ends, FailureMode, Limit};
use study::forecast::pulled::Beside;
use study::model::Model;
use study::unknowns::Basis;
use study::{forecast, in_use};

/// Name and version of the format.
const FORMAT: &str = "pullmap-forecast-2";

/// Loads that 5, 50 and 95 of 100 draws stay below, kN.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Kilonewtons {
    /// 5 of 100, kN.
    #[schemars(range(min = 0))]
    pub p5: f64,
    /// 50 of 100, kN.
    #[schemars(range(min = 0))]
    pub p50: f64,
    /// 95 of 100, kN.
    #[schemars(range(min = 0))]
    pub p95: f64,
}

/// The forecast beside the marking for the same state of the gate.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Against {
    /// State of the gate.
    #[schemars(extend("enum" = ["closed", "open"]))]
    pub gate: &'static str,
    /// What is marked, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub marked_kn: f64,
    /// peak_kn over marked_kn.
    #[schemars(range(min = 0))]
    pub ratio: f64,
    /// Share of the draws that reach the marking, 0 to 1.
    #[schemars(range(min = 0, max = 1))]
    pub reached_by: f64,
}

/// Something that was varied.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Varied {
    /// What, in words or as a key of the model.
    pub what: String,
    /// From where, in words.
    pub from: String,
    /// To where, in words.
    pub to: String,
    /// Its share of the variance of the logarithm of peak_kn, of all unknowns taken one at a time, 0 to 1.
    #[schemars(range(min = 0, max = 1))]
    pub share: f64,
}

/// What fails first, at which load, and how sure that is.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Forecast {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    pub format: &'static str,
    /// Title of the connector, from its model file.
    pub title: String,
    /// State of the gate and what pulls, in words. The load of the rig plays no part.
    pub rig: String,
    /// Highest load of the pull with everything at its middle, kN: where the first part breaks or the frame opens, or what
    /// the open hook holds if that is more.
    #[schemars(range(min = 0))]
    pub peak_kn: f64,
    /// Loads that 5, 50 and 95 of 100 draws stay below, kN.
    pub range_kn: Kilonewtons,
    /// The part that fails first with everything at its middle.
    #[serde(serialize_with = "json::mode")]
    #[schemars(with = "String")]
    pub fails_first: FailureMode,
    /// Where it does, kN.
    #[schemars(range(min = 0))]
    pub fails_at_kn: f64,
    /// How often each part fails first among the draws, the likeliest first; they add up to 1. Parts that never do are left
    /// out.
    #[serde(serialize_with = "json::chances")]
    #[schemars(extend("minItems" = 1), with = "Vec<ChanceInWords>")]
    pub chances: Vec<Chance>,
    /// How the pull ends: a part breaks and the open hook cannot hold what is on it; the frame opens; the strap breaks.
    pub ends: Ends,
    /// Where the frame first yields somewhere, kN, by finite elements, the gate line taken as whole even beyond fails_at_kn;
    /// it still holds. Null where it was not found.
    #[schemars(range(min = 0))]
    pub first_yield_kn: Option<f64>,
    /// Where sections of the frame have yielded through and it is permanently bent, kN; the gate line holds up to what it
    /// can, even beyond fails_at_kn.
    #[schemars(range(min = 0))]
    pub bends_at_kn: f64,
    /// What the hook holds once the gate no longer carries, kN.
    #[schemars(range(min = 0))]
    pub open_hook_kn: f64,
    /// The open hook over the forecast, for a shut gate; null for any other, and where the strap goes first.
    #[schemars(range(min = 0))]
    pub open_over_closed: Option<f64>,
    /// Where the frame tears in the end, in words; null when the strap goes first.
    #[serde(serialize_with = "json::maybe_place")]
    #[schemars(with = "Option<String>")]
    pub tears_at: Option<FrameLocation>,
    /// Where it may tear instead, in words: the second of two places that have both yielded through when the frame opens;
    /// null where there is one only.
    #[serde(serialize_with = "json::maybe_place")]
    #[schemars(with = "Option<String>")]
    pub may_tear_at: Option<FrameLocation>,
    /// Every limit, lowest first; those that no load of this rig reaches last.
    #[serde(serialize_with = "json::limits")]
    #[schemars(with = "Vec<LimitInWords>")]
    pub limits: Vec<Limit>,
    /// Limits of the small parts by finite elements, as forces in the gate line, beside the formulas by hand, weakest first;
    /// empty where the gate carries nothing.
    #[serde(serialize_with = "json::computed")]
    #[schemars(with = "Vec<ComputedInWords>")]
    pub computed: Vec<ComputedLimit>,
    /// The story in sentences, what fails first to how sure that is.
    #[schemars(extend("minItems" = 1))]
    pub story: Vec<String>,
    /// Beside the marking for the same state of the gate; null without one, and for a gate that is half shut, for which nothing
    /// is marked.
    pub against_marking: Option<Against>,
    /// The load in use beside first yield, failure and marking; null where the model tells none.
    pub in_use: Option<InUse>,
    /// The first of `varied`; null when nothing that was varied moves the forecast.
    pub matters_most: Option<Varied>,
    /// Everything that was varied, what matters most first. The shares add up to 1, or are all 0.
    pub varied: Vec<Varied>,
    /// What was assumed where the model says nothing, in words.
    pub assumed: Vec<String>,
    /// What could not be varied, and why.
    pub left_out: Vec<String>,
    /// How the model was measured, where that is to be known: values that follow from what a caliper read, values that are still
    /// those of the example that its file was made from.
    pub notes: Vec<String>,
    /// What pulls have told of its constants; absent unless a calibration is used.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub calibration: Option<Calibrated>,
    /// The forecast beside the simulated pull of the same case; absent unless asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pulled: Option<PulledInWords>,
    /// What a forecast is not.
    pub caution: &'static str,
    /// The load up to which nothing breaks, kN.
    #[serde(skip)]
    pub holds_kn: f64,
}

impl Forecast {
    /// A model's forecast.
    #[must_use]
    pub fn new(told: &forecast::Forecast, model: &Model) -> Self {
        let (limits, range) = (&told.limits, &told.range);
        let [p5, p50, p95] = told.quantiles_kn();
        let varied: Vec<Varied> = range
            .matters
            .iter()
            .map(|m| {
                let unknown = &told.unknowns[m.unknown];
                // Constants of a calibration are drawn together.
                let (what, [from, to]) = match unknown.basis {
                    Basis::Calibrated => (
                        unknowns::in_a_sentence(unknown),
                        ["the least of each", "the largest of each"].map(str::to_owned),
                    ),
                    _ => {
                        (unknowns::what(unknown), unknown.law.ends().map(|end| unknowns::value(unknown, end)))
                    }
                };
                Varied { what, from, to, share: m.share }
            })
            .collect();
        let against = told.against(&model.marking);
        let mut forecast = Self {
            format: FORMAT,
            title: model.title.clone(),
            rig: rigs::without_load(&model.rig),
            peak_kn: limits.peak_kn,
            range_kn: Kilonewtons { p5, p50, p95 },
            fails_first: limits.fails_first,
            fails_at_kn: limits.fails_at_kn,
            chances: range.chances.clone(),
            ends: limits.ends,
            first_yield_kn: limits.first_yield_kn,
            bends_at_kn: limits.bends_at_kn,
            open_hook_kn: limits.open_hook_kn,
            open_over_closed: told.open_over_closed(),
            tears_at: limits.tears_at,
            may_tear_at: limits.may_tear_at,
            limits: limits.limits.clone(),
            computed: told.computed.clone(),
            story: story(limits),
            against_marking: against.map(|against| Against {
                gate: model.rig.gate.word(),
                marked_kn: against.marked_kn,
                ratio: against.ratio,
                reached_by: against.reached_by,
            }),
            in_use: in_use::InUse::of(model, limits, limits.first_yield_kn, Some(told.quantiles_kn()[0]))
                .map(InUse::from),
            matters_most: varied.first().filter(|v| v.share > 0.0).cloned(),
            varied,
            assumed: notes::all_taken(model)
                .into_iter()
                .chain(told.unknowns.iter().filter_map(unknowns::assumed))
                .collect(),
            left_out: told.left_out.iter().map(left_out).collect(),
            notes: notes::on_measuring(model),
            calibration: None,
            pulled: None,
            caution: CAUTION,
            holds_kn: told.holds_kn(),
        };
        let sure = forecast.sure_sentences(told, against);
        forecast.story.extend(sure);
        forecast
    }

    /// With the calibration that its model has.
    #[must_use]
    pub fn calibrated(self, kept: &KeptCalibration, changed_since: &[i64], told: &Calibration) -> Self {
        Self { calibration: Some(Calibrated::new(kept, changed_since, told)), ..self }
    }

    /// With the simulated pull of the same case beside it.
    #[must_use]
    pub fn beside(self, pull: &Beside<'_>) -> Self {
        Self { pulled: Some(PulledInWords::new(pull)), ..self }
    }
}
