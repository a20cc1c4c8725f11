//! What was forecast of a pull, and its peak beside it.

use crate::numbers::{decimals, kilonewtons, kilonewtons_alone};
use lab::logbook::{Beside, Forecast, Pull};

/// What is forecast of it.
pub(super) fn forecast_of(pull: &Pull) -> Option<String> {
    let (forecast, _) = pull.forecast.as_ref()?;
    Some(format!(
        "Forecast{}: half of all draws hold {}, nine of ten lie from {} to {}; first to fail: {}.",
        calibrated(forecast),
        kilonewtons(forecast.p50_kn),
        kilonewtons_alone(forecast.p5_kn),
        kilonewtons(forecast.p95_kn),
        forecast.first
    ))
}

/// By which calibration a forecast was made, where it was by one.
fn calibrated(forecast: &Forecast) -> String {
    forecast.calibration.as_ref().map_or_else(String::new, |name| format!(" with calibration {name}"))
}

/// The peak beside the forecast, in a sentence.
#[must_use]
pub fn beside(pull: &Pull) -> Option<String> {
    let (forecast, _) = pull.forecast.as_ref()?;
    let (kn, ends) = (pull.peak_kn()?, [forecast.p5_kn, forecast.p95_kn]);
    let is_beside = pull.beside_forecast()?;
    // What lies outside has another number than the end that it lies beyond.
    let outside = matches!(is_beside, Beside::Below | Beside::Above);
    let hidden = outside && ends.iter().any(|end| kilonewtons(*end) == kilonewtons(kn));
    let number = |kn: f64| if hidden { decimals(kn, 3) } else { kilonewtons_alone(kn) };
    let range = format!("the range of {} to {} kN that was forecast", number(ends[0]), number(ends[1]));
    let peak = format!("{} kN", number(kn));
    Some(match is_beside {
        Beside::Below => format!("The peak of {peak} lies below {range}."),
        Beside::Within => format!("The peak of {peak} lies within {range}."),
        Beside::Above => format!("The peak of {peak} lies above {range}."),
        Beside::OutcomeNotTold => {
            format!("How the pull ended at {peak} was not told: nothing follows for {range}.")
        }
        Beside::EndedBefore => {
            format!("The connector was whole when the pull ended at {peak}: nothing follows for {range}.")
        }
    })
}
