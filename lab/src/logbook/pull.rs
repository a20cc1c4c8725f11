//! A pull as it stands in a logbook: its values as they are now, what they were, and what was forecast.

use super::field::Field;
use super::record::{Record, is_break};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What was forecast of a pull before it.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Forecast {
    /// The load that 5 of 100 draws stay below, kN.
    #[schemars(range(min = 0))]
    pub p5_kn: f64,
    /// That which 50 of 100 stay below, kN.
    #[schemars(range(min = 0))]
    pub p50_kn: f64,
    /// That which 95 of 100 stay below, kN.
    #[schemars(range(min = 0))]
    pub p95_kn: f64,
    /// What fails first.
    #[schemars(length(min = 1))]
    pub first: String,
    /// Version of the program.
    #[schemars(length(min = 1))]
    pub program: String,
    /// Hash of the inputs, as pictures and `forecast` have it.
    #[schemars(length(min = 1))]
    pub inputs: String,
    /// The name of the calibration that it was made with, in the logbook that it was made in; none without one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1))]
    pub calibration: Option<String>,
}

impl Forecast {
    /// Whether it is one: loads that are finite and in order, and short words.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        let loads = [self.p5_kn, self.p50_kn, self.p95_kn];
        let plain = |text: &str| {
            !text.is_empty() && text.chars().count() <= 200 && !text.chars().any(char::is_control)
        };
        loads.iter().all(|kn| kn.is_finite() && *kn >= 0.0)
            && loads.is_sorted()
            && [&self.first, &self.program, &self.inputs]
                .into_iter()
                .chain(&self.calibration)
                .all(|text| plain(text))
    }
}

/// A correction of one value.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Amendment {
    /// When it was recorded, universal time.
    pub recorded_at: String,
    /// What was corrected.
    pub field: Field,
    /// What stood there, as it is typed; null where nothing did.
    pub old: Option<String>,
    /// What stands there from then on; null for nothing.
    pub new: Option<String>,
    /// Why.
    #[schemars(length(min = 1))]
    pub why: String,
}

/// When something was recorded, and whether this logbook saw it or took it in from a package.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recorded {
    /// Place in the order of all that was ever recorded here.
    pub seq: i64,
    /// What the clock said, universal time.
    pub at: String,
    /// The package that it came with, where it did.
    pub taken_in: Option<String>,
}

/// A peak beside the range that was forecast, from the load that 5 of 100 draws stay below to that of 95.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Beside {
    /// Below the range.
    Below,
    /// Within it.
    Within,
    /// Above it.
    Above,
    /// Not above it, and the connector was whole when the pull ended: nothing follows.
    EndedBefore,
    /// Not above it, and how the pull ended was not told: nothing follows.
    OutcomeNotTold,
}

/// A pull.
#[derive(Clone, Debug, PartialEq)]
pub struct Pull {
    /// Its number in this logbook.
    pub number: i64,
    /// What it is known by in every logbook: 32 hexadecimal digits.
    pub uid: String,
    /// When sample, model and rig were recorded.
    pub planned: Recorded,
    /// When the result was, where there is one.
    pub done: Option<Recorded>,
    /// What was forecast before, and when that was recorded.
    pub forecast: Option<(Forecast, Recorded)>,
    /// Its values as they were first recorded.
    pub first: Record,
    /// Its values as they are now.
    pub now: Record,
    /// What was corrected, in order.
    pub amendments: Vec<(Amendment, Recorded)>,
    /// Why it is withdrawn, and when that was recorded; nothing where it counts.
    pub withdrawn: Option<(String, Recorded)>,
}

impl Pull {
    /// The peak, kN, where it was pulled.
    #[must_use]
    pub fn peak_kn(&self) -> Option<f64> {
        self.now.pulled.as_ref().map(|pulled| pulled.peak.kn)
    }

    /// Whether the connector itself gave way; `None` where it was not pulled or its outcome was not told.
    #[must_use]
    pub fn broke(&self) -> Option<bool> {
        self.now.pulled.as_ref()?.outcome.as_deref().map(is_break)
    }

    /// The peak beside the forecast; `None` without either.
    #[must_use]
    pub fn beside_forecast(&self) -> Option<Beside> {
        let (forecast, _) = self.forecast.as_ref()?;
        let kn = self.peak_kn()?;
        Some(if kn > forecast.p95_kn {
            Beside::Above
        } else if self.broke() == Some(false) {
            Beside::EndedBefore
        } else if self.broke().is_none() {
            Beside::OutcomeNotTold
        } else if kn < forecast.p5_kn {
            Beside::Below
        } else {
            Beside::Within
        })
    }

    /// Whether it is told to have been pulled before its forecast was recorded. A day alone is that of whoever told it, wherever that is:
    /// it has ended everywhere before the forecast.
    #[must_use]
    pub fn is_dated_before_forecast(&self) -> bool {
        let (Some((_, forecast)), Some(pulled)) = (&self.forecast, &self.now.pulled) else { return false };
        let told = pulled.pulled_on.as_str();
        match super::dates::ended_everywhere(told) {
            Some(end) => end < forecast.at,
            None => told < forecast.at.as_str(),
        }
    }

    /// Whether a field was ever corrected.
    #[must_use]
    pub fn is_amended(&self, field: Field) -> bool {
        self.amendments.iter().any(|(amendment, _)| amendment.field == field)
    }
}
