//! A pull in a line of the page's list, in the words of `list`.

use crate::numbers::{kilonewtons, kilonewtons_alone};
use lab::logbook::{Beside, Pull};
use serde::Serialize;

/// A pull in short, as it is now. Texts are empty where nothing was told.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Line {
    /// Its number.
    number: i64,
    /// Name of the sample.
    sample: String,
    /// The day; `planned` while there is no result.
    day: String,
    /// The peak.
    peak: String,
    /// How the pull ended.
    outcome: String,
    /// Where it was found broken.
    place: String,
    /// What is marked, gate closed.
    marked: String,
    /// What was forecast; null where nothing was.
    forecast: Option<Forecast>,
    /// How the peak lies to it, in words.
    beside: &'static str,
    /// Whether it lies within.
    within: Option<bool>,
    /// The peak, kN; null while it is planned only.
    peak_kn: Option<f64>,
    /// Whether there is no result yet.
    planned: bool,
    /// Whether anything of it was corrected.
    amended: bool,
    /// Why it is withdrawn; null where it counts.
    withdrawn: Option<String>,
}

/// What was forecast, kN, and in words.
#[derive(Clone, Debug, PartialEq, Serialize)]
struct Forecast {
    /// The load that 5 of 100 draws stay below, that of 50, that of 95.
    kn: [f64; 3],
    /// The first and the last of them.
    range: String,
    /// The one in the middle.
    middle: String,
}

/// How a peak lies to what was forecast.
const fn word(beside: Beside) -> &'static str {
    match beside {
        Beside::Below => "below the forecast",
        Beside::Within => "within the forecast",
        Beside::Above => "above the forecast",
        Beside::EndedBefore => "ended before a break",
        Beside::OutcomeNotTold => "outcome not told",
    }
}

impl Line {
    /// Tells of a pull.
    #[must_use]
    pub fn new(pull: &Pull) -> Self {
        let pulled = pull.now.pulled.as_ref();
        let text = |text: Option<&String>| text.cloned().unwrap_or_default();
        let beside = pull.beside_forecast();
        Self {
            number: pull.number,
            sample: pull.now.plan.sample.clone(),
            day: pulled.map_or("planned", |pulled| pulled.pulled_on.get(..10).unwrap_or_default()).to_owned(),
            peak: pull.peak_kn().map(kilonewtons).unwrap_or_default(),
            outcome: text(pulled.and_then(|pulled| pulled.outcome.as_ref())),
            place: text(pulled.and_then(|pulled| pulled.place.as_ref())),
            marked: pull.now.plan.marked_closed_kn.map(kilonewtons).unwrap_or_default(),
            forecast: pull.forecast.as_ref().map(|(forecast, _)| Forecast {
                kn: [forecast.p5_kn, forecast.p50_kn, forecast.p95_kn],
                range: format!("{} to {}", kilonewtons_alone(forecast.p5_kn), kilonewtons(forecast.p95_kn)),
                middle: kilonewtons(forecast.p50_kn),
            }),
            beside: beside.map(word).unwrap_or_default(),
            within: match beside {
                Some(Beside::Within) => Some(true),
                Some(Beside::Below | Beside::Above) => Some(false),
                _ => None,
            },
            peak_kn: pull.peak_kn(),
            planned: pull.done.is_none(),
            amended: !pull.amendments.is_empty(),
            withdrawn: pull.withdrawn.as_ref().map(|(why, _)| why.clone()),
        }
    }
}
