//! One group against another, as JSON has it.

use lab::statistics::{NoWelch, Welch};
use schemars::JsonSchema;
use serde::Serialize;

/// Against another group.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(super) struct Against {
    /// All of it in a sentence.
    sentence: String,
    /// Welch's test; null where the groups cannot be compared.
    welch: Option<WelchFigures>,
    /// Why they cannot; null where they are.
    not_compared: Option<WhyNotCompared>,
}

/// Why groups are not compared.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
enum WhyNotCompared {
    /// Pulls ended without a break.
    Ended,
    /// A group has fewer than two breaks.
    TooFew,
    /// Neither has any spread.
    AllEqual,
}

/// Welch's t test: this group minus the other.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct WelchFigures {
    /// Breaks of the other group.
    other_breaks: usize,
    /// Its mean, kN.
    other_mean_kn: f64,
    /// Its standard deviation with n - 1, kN.
    other_sd_kn: f64,
    /// Difference of the means, kN.
    difference_kn: f64,
    /// From where to where it lies with 95 % confidence, kN.
    interval_kn: [f64; 2],
    /// It over its standard deviation.
    t: f64,
    /// Degrees of freedom.
    #[schemars(extend("exclusiveMinimum" = 0))]
    degrees_of_freedom: f64,
    /// The chance of one as large, either way, where the lots have one mean.
    #[schemars(range(min = 0, max = 1))]
    p: f64,
    /// Whether that is below 5 %.
    differs: bool,
}

/// A number that is one.
pub(super) fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

impl Against {
    /// With its sentence.
    pub(super) fn new(found: &Result<Welch, NoWelch>, sentence: String) -> Self {
        match found {
            Ok(welch) => Self {
                sentence,
                welch: Some(WelchFigures {
                    other_breaks: welch.second.count,
                    other_mean_kn: welch.second.mean,
                    other_sd_kn: welch.second.sd.unwrap_or(welch.second.sd_of_these),
                    difference_kn: welch.difference_kn,
                    interval_kn: welch.interval_kn,
                    t: welch.t,
                    degrees_of_freedom: welch.degrees_of_freedom,
                    p: welch.p,
                    differs: welch.differs(),
                }),
                not_compared: None,
            },
            Err(why) => Self {
                sentence,
                welch: None,
                not_compared: Some(match why {
                    NoWelch::Ended => WhyNotCompared::Ended,
                    NoWelch::TooFew => WhyNotCompared::TooFew,
                    NoWelch::AllEqual => WhyNotCompared::AllEqual,
                }),
            },
        }
    }
}
