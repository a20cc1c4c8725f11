//! One pull, whole: its values as they are, what was forecast, what was corrected.

use super::forecast::{beside, forecast_of};
use super::names::{day, field, unit};
use super::notes::notes;
use crate::numbers::kilonewtons;
use lab::logbook::peak::Peak;
use lab::logbook::{Amendment, Field, Pull, Recorded};
use serde::Serialize;
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
        _ => format!("{text}{}", unit(of)),
    }
}

/// Where something was recorded: in this logbook, or in that of a package.
fn recorded(at: &Recorded) -> String {
    let package = at.taken_in.as_ref().map_or_else(String::new, |file| format!(", taken in from {file}"));
    format!("{}{package}", day(&at.at))
}

/// The forecast, and how far it was blind.
fn forecast(pull: &Pull) -> Option<[String; 2]> {
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
    Some([
        forecast_of(pull)?,
        format!(
            "Recorded {} ({blind}); pullmap {}, inputs {}.",
            recorded(at),
            forecast.program,
            forecast.inputs
        ),
    ])
}

/// One pull in words, part by part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shown {
    /// Its number and its sample.
    pub title: String,
    /// When it was recorded, when and why it was withdrawn where it was, and when its result was recorded.
    pub recorded: Vec<String>,
    /// Its values as they are now.
    pub values: Vec<ShownValue>,
    /// What was forecast, and when that was recorded.
    pub forecast: Option<[String; 2]>,
    /// The peak beside it.
    pub beside: Option<String>,
    /// What in the values does not go together.
    pub notes: Vec<String>,
    /// What was corrected, in order.
    pub amendments: Vec<String>,
}

/// A value of a pull.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShownValue {
    /// What it is called.
    pub name: &'static str,
    /// The value.
    pub value: String,
    /// Whether it was corrected.
    pub amended: bool,
}

impl Shown {
    /// Tells of a pull.
    #[must_use]
    pub fn new(pull: &Pull) -> Self {
        let result = pull.done.as_ref().map_or_else(
            || "Planned; no result yet.".to_owned(),
            |done| format!("Result recorded {}.", recorded(done)),
        );
        let withdrawn = pull
            .withdrawn
            .as_ref()
            .map(|(why, at)| format!("Withdrawn {}, it counts no more; why: {why}", recorded(at)));
        let value = |of: Field| {
            let value = told(of, &pull.now.get(of)?);
            Some(ShownValue { name: field(of), value, amended: pull.is_amended(of) })
        };
        Self {
            title: format!("Pull {}: {}", pull.number, pull.now.plan.sample),
            recorded: [format!("Recorded {}.", recorded(&pull.planned))]
                .into_iter()
                .chain(withdrawn)
                .chain([result])
                .collect(),
            values: Field::ALL.into_iter().filter(|of| *of != Field::Sample).filter_map(value).collect(),
            forecast: forecast(pull),
            beside: beside(pull),
            notes: notes(pull),
            amendments: pull.amendments.iter().map(|(amendment, at)| amended(amendment, at)).collect(),
        }
    }
}

/// A correction.
fn amended(amendment: &Amendment, at: &Recorded) -> String {
    let side = |side: &Option<String>| {
        side.as_ref().map_or_else(|| "not told".to_owned(), |text| told(amendment.field, text))
    };
    format!(
        "{}: {} was {}, is {}; why: {}",
        recorded(at),
        field(amendment.field),
        side(&amendment.old),
        side(&amendment.new),
        amendment.why
    )
}

/// The answer that `show` prints.
#[must_use]
pub fn show(pull: &Pull) -> String {
    let Shown { title, recorded, values, forecast, beside, notes, amendments } = Shown::new(pull);
    let mut text = format!("{title}\n{}\n\n", recorded.join("\n"));
    for ShownValue { name, value, amended } in values {
        let mark = if amended { " *" } else { "" };
        // Further lines of a remark stand under its first.
        let value = value.replace('\n', &format!("\n{:width$}", "", width = NAMES + 4));
        // Writing to a string cannot fail.
        let _ = writeln!(text, "  {name:<NAMES$}  {value}{mark}");
    }
    text.push('\n');
    text.extend(forecast.map(|[told, at]| format!("{told}\n  {at}\n")));
    text.extend(beside.map(|sentence| sentence + "\n"));
    text.extend(notes.into_iter().map(|note| format!("Note: {note}\n")));
    if !amendments.is_empty() {
        text.push_str("* amended:\n");
        text.extend(amendments.into_iter().map(|line| format!("  {line}\n")));
    }
    text
}
