//! Forecasts held against the pulls that followed them, in words and as JSON.

use super::names::numbers;
use crate::caution::CAUTION;
use crate::numbers::decimals;
use lab::scores::{Bias, Scores};
use lab::statistics::Share;
use schemars::JsonSchema;
use serde::Serialize;

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-log-score-1";

/// Forecasts held against the pulls that followed them.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct ScoreDocument {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// All of it in sentences.
    sentences: Vec<String>,
    /// Numbers of the pulls that have a forecast and a result whose outcome was told.
    counted: Vec<i64>,
    /// How many different inputs were forecast.
    inputs: usize,
    /// Numbers of those whose forecast was made with a calibration.
    calibrated: Vec<i64>,
    /// Numbers of those whose forecast came with a package, and is blind by its word alone.
    taken_in: Vec<i64>,
    /// Numbers of pulls left out, since their outcome was not told.
    without_outcome: Vec<i64>,
    /// Numbers of pulls left out, being told to be older than their forecast.
    not_blind: Vec<i64>,
    /// Numbers of pulls that ended without a break and not above their range: nothing follows of them.
    ended: Vec<i64>,
    /// Numbers of pulls that ended without a break above their range: they hold more than was forecast.
    ended_above: Vec<i64>,
    /// Peaks over the middles of their forecasts, of pulls that broke; null where none did.
    bias: Option<BiasFigures>,
    /// Peaks within the range of 90 %, of pulls that broke; null where none did.
    within: Option<ShareFigures>,
    /// How many of those that broke lie below the range.
    below: usize,
    /// How many lie above it.
    above: usize,
    /// Breaks at what was forecast to fail first; null where no place was told.
    place: Option<ShareFigures>,
    /// What the numbers are not.
    caution: &'static str,
}

/// Peaks over forecasts.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct BiasFigures {
    /// How many pulls.
    #[schemars(range(min = 1))]
    count: usize,
    /// Geometric mean.
    #[schemars(extend("exclusiveMinimum" = 0))]
    mean: f64,
    /// From where to where it lies with 95 % confidence; null of fewer than two, or of equal ones.
    interval: Option<[f64; 2]>,
    /// Standard deviation, n - 1, of the natural logarithms; null of a single pull.
    spread: Option<f64>,
}

/// So many of so many.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct ShareFigures {
    /// How many.
    hits: usize,
    /// Of how many.
    #[schemars(range(min = 1))]
    of: usize,
    /// From where to where the share of all lies, with 95 % confidence at least.
    #[schemars(inner(range(min = 0, max = 1)))]
    interval: [f64; 2],
}

impl ScoreDocument {
    /// Tells scores.
    #[must_use]
    pub fn new(found: &Scores) -> Self {
        let share = |found: Share| ShareFigures { hits: found.hits, of: found.of, interval: found.interval };
        let [below, above] = found.outside;
        Self {
            format: FORMAT,
            sentences: sentences(found),
            counted: found.counted.clone(),
            inputs: found.inputs,
            calibrated: found.calibrated.clone(),
            taken_in: found.taken_in.clone(),
            without_outcome: found.untold.clone(),
            not_blind: found.not_blind.clone(),
            ended: found.ended.clone(),
            ended_above: found.ended_above.clone(),
            bias: found.bias.map(|Bias { count, mean, interval, spread }| BiasFigures {
                count,
                mean,
                interval,
                spread,
            }),
            within: found.within.map(share),
            below,
            above,
            place: found.place.map(share),
            caution: CAUTION,
        }
    }
}

/// What `score` prints.
#[must_use]
pub fn score(found: &Scores) -> String {
    sentences(found).into_iter().map(|sentence| sentence + "\n").collect()
}

/// `12 pulls`.
fn pulls(count: usize) -> String {
    if count == 1 { "1 pull".to_owned() } else { format!("{count} pulls") }
}

/// `66 % to 99 %`: ends as wide as they are.
fn interval([low, high]: [f64; 2]) -> String {
    format!("{:.0} to {:.0} %", (100.0 * low).floor(), (100.0 * high).ceil())
}

fn sentences(found: &Scores) -> Vec<String> {
    let mut told = Vec::new();
    if found.counted.is_empty() {
        told.push(
            "No pull here has both a forecast from before it and a result whose outcome was told.".to_owned(),
        );
    }
    if let Some(bias) = &found.bias {
        told.push(of_bias(bias));
    }
    if let Some(within) = found.within {
        let [below, above] = found.outside;
        told.push(format!(
            "Of {} that broke {} lie within the range that was forecast for 90 of 100, {below} below and {above} above it: of all such pulls {} would, 95 % \
             confident.",
            within.of,
            within.hits,
            interval(within.interval)
        ));
    }
    if let Some(place) = found.place {
        told.push(format!(
            "What was to fail first is where the break was found in {} of {} pulls: of all such {}, 95 % confident.",
            place.hits,
            place.of,
            interval(place.interval)
        ));
    }
    if found.counted.len() > 1 && found.inputs < found.counted.len() {
        let inputs = if found.inputs == 1 {
            "one and the same forecast".to_owned()
        } else {
            format!("{} different forecasts", found.inputs)
        };
        told.push(format!(
            "Note: {} had {inputs}: what is told is of those models, rigs and calibrations, and says little of others.",
            pulls(found.counted.len())
        ));
    }
    let left: [(&[i64], &str); 6] = [
        (
            &found.calibrated,
            "forecast with a calibration; the options of log list part them from those without",
        ),
        (&found.ended, "ended without a break and not above the range: nothing follows"),
        (
            &found.ended_above,
            "ended without a break above the range: the forecast was low by more than is told of those that broke",
        ),
        (&found.not_blind, "left out, told to be older than the forecast: so told it was not blind"),
        (&found.untold, "left out, outcome not told"),
        (&found.taken_in, "forecast taken in with a package, blind by its word alone"),
    ];
    told.extend(
        left.iter().filter(|one| !one.0.is_empty()).map(|(of, why)| format!("Note: {}: {why}.", numbers(of))),
    );
    told
}

fn of_bias(bias: &Bias) -> String {
    let ratio = |value: f64| decimals(value, 3);
    let spread = bias.spread.map_or_else(String::new, |sd| format!(", spread {} %", decimals(100.0 * sd, 1)));
    let (where_it_lies, follows) = match bias.interval {
        None => (String::new(), "too few, or too much alike, to tell more"),
        Some([low, high]) => (
            format!(" ({} to {}, 95 % confident)", ratio(low), ratio(high)),
            match () {
                () if low > 1.0 => "they hold more than was forecast",
                () if high < 1.0 => "they hold less than was forecast",
                () => "no bias is shown; that is no proof that there is none",
            },
        ),
    };
    format!(
        "{} broke, at {} times the middle of their forecasts by the geometric mean{where_it_lies}{spread}: {follows}.",
        pulls(bias.count),
        ratio(bias.mean)
    )
}
