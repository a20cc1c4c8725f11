//! One pull, whole: its values as they are, what was forecast, what was corrected.

use super::names::{calibrated, day, field, unit};
use super::notes::notes;
use crate::numbers::{decimals, kilonewtons, kilonewtons_alone};
use lab::logbook::peak::Peak;
use lab::logbook::{Beside, Field, Pull, Recorded};
use std::fmt::Write;

/// Width of the column of names.
const NAMES: usize = 26;

/// The value of a field by its text.
fn told(of: Field, text: &str) -> String {
    match of {
        Field::Model | Field::Photo | Field::Trace => match text.split_once(' ') {
            Some(("-", name)) => format!("{name} (not read)"),
            Some((hash, name)) => format!("{name} (sha-256 {}...)", hash.get(..12).unwrap_or(hash)),
            None => text.to_owned(),
        },
        Field::Measured | Field::Sets => text.replace('\n', ", "),
        Field::Peak => match Peak::read(text) {
            Ok(peak) => format!("{} (entered as {text})", kilonewtons(peak.kn)),
            Err(_) => text.to_owned(),
        },
        Field::MarkedClosedKn | Field::MarkedOpenKn => {
            text.parse().map_or_else(|_| text.to_owned(), kilonewtons)
        }
        Field::PulledOn => day(text),
        Field::Remark => text.replace('\n', "\n                              "),
        _ => format!("{text}{}", unit(of)),
    }
}

/// Where something was recorded: in this logbook, or in that of a package.
fn recorded(at: &Recorded) -> String {
    let package = at.taken_in.as_ref().map_or_else(String::new, |file| format!(", taken in from {file}"));
    format!("{}{package}", day(&at.at))
}

/// The forecast, and how far it was blind.
fn forecast(pull: &Pull) -> Option<String> {
    let (forecast, at) = pull.forecast.as_ref()?;
    let blind = match (&pull.done, &at.taken_in) {
        (None, _) => "nothing was pulled yet".to_owned(),
        (Some(done), None) if pull.is_dated_before_forecast() => {
            format!(
                "entry {} of the logbook, before the result, entry {}; not blind by the day that is told",
                at.seq, done.seq
            )
        }
        (Some(_), Some(_)) if pull.is_dated_before_forecast() => {
            "not blind by the day that is told".to_owned()
        }
        (Some(done), None) => {
            format!("blind: entry {} of the logbook, the result is entry {}", at.seq, done.seq)
        }
        (Some(_), Some(_)) => "blind by the word of that package, which this logbook did not see".to_owned(),
    };
    Some(format!(
        "Forecast{}: half of all draws hold {}, nine of ten lie from {} to {}; first to fail: {}.\n  Recorded {} ({blind}); pullmap {}, inputs {}.\n",
        calibrated(forecast),
        kilonewtons(forecast.p50_kn),
        kilonewtons_alone(forecast.p5_kn),
        kilonewtons(forecast.p95_kn),
        forecast.first,
        recorded(at),
        forecast.program,
        forecast.inputs
    ))
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

/// The answer that `show` prints.
#[must_use]
pub fn show(pull: &Pull) -> String {
    let mut text = format!("Pull {}: {}\n", pull.number, pull.now.plan.sample);
    // Writing to a string cannot fail.
    let _ = writeln!(text, "Recorded {}.", recorded(&pull.planned));
    if let Some((why, at)) = &pull.withdrawn {
        let _ = writeln!(text, "Withdrawn {}, it counts no more; why: {why}", recorded(at));
    }
    if let Some(done) = &pull.done {
        let _ = writeln!(text, "Result recorded {}.", recorded(done));
    } else {
        let _ = writeln!(text, "Planned; no result yet.");
    }
    let _ = writeln!(text);
    for of in Field::ALL.into_iter().filter(|of| *of != Field::Sample) {
        if let Some(value) = pull.now.get(of).map(|text| told(of, &text)) {
            let mark = if pull.is_amended(of) { " *" } else { "" };
            let _ = writeln!(text, "  {:<NAMES$}  {value}{mark}", field(of));
        }
    }
    let _ = writeln!(text);
    text.extend(forecast(pull));
    text.extend(beside(pull).map(|sentence| sentence + "\n"));
    text.extend(notes(pull).into_iter().map(|note| format!("Note: {note}\n")));
    if !pull.amendments.is_empty() {
        let _ = writeln!(text, "* amended:");
        for (amendment, at) in &pull.amendments {
            let side = |side: &Option<String>| {
                side.as_ref().map_or_else(|| "not told".to_owned(), |text| told(amendment.field, text))
            };
            let _ = writeln!(
                text,
                "  {}: {} was {}, is {}; why: {}",
                recorded(at),
                field(amendment.field),
                side(&amendment.old),
                side(&amendment.new),
                amendment.why
            );
        }
    }
    text
}
