//! Pulls as a table, one line each, as they are now.

use super::names::day;
use crate::numbers::kilonewtons_alone;
use lab::logbook::{Pull, Unreadable};
use std::fmt::{Display, Write};

/// Widths of the columns of words, letters at most.
const SAMPLE: usize = 24;
const PLACE: usize = 16;

/// Beside the number of a pull of which something was corrected.
const AMENDED: char = '*';
/// Beside that of one that is withdrawn.
const WITHDRAWN: char = 'x';

/// A text in a column: cut where it is longer.
fn cut(text: &str, width: usize) -> String {
    match text.chars().count() {
        fits if fits <= width => text.to_owned(),
        _ => text.chars().take(width - 3).collect::<String>() + "...",
    }
}

fn place(pull: &Pull) -> Option<&str> {
    pull.now.pulled.as_ref()?.place.as_deref()
}

/// Pulls that cannot be read and are left out, a line each; empty where there is none.
#[must_use]
pub fn left_out(unreadable: &[Unreadable]) -> String {
    let told = |one: &Unreadable| {
        format!(
            "Left out: pull {} cannot be read, the logbook is damaged there ({}).\n",
            one.number, one.words
        )
    };
    unreadable.iter().map(told).collect()
}

/// Pulls that are withdrawn and not listed; `None` where there is none.
#[must_use]
pub fn not_listed(hidden: usize) -> Option<String> {
    match hidden {
        0 => None,
        1 => Some("1 pull that is withdrawn is not listed".to_owned()),
        several => Some(format!("{several} pulls that are withdrawn are not listed")),
    }
}

/// The same with the option that lists them; empty where there is none.
fn hidden_told(hidden: usize) -> String {
    let them = if hidden == 1 { "it" } else { "them" };
    not_listed(hidden).map_or_else(String::new, |told| format!("{told}; --withdrawn lists {them}.\n"))
}

/// The answer that `list` prints, with the pulls that cannot be read, and how many that are withdrawn are not listed.
#[must_use]
pub fn list(pulls: &[Pull], unreadable: &[Unreadable], hidden: usize) -> String {
    if pulls.is_empty() {
        return format!("No pull in the logbook meets what was asked for.\n{}", hidden_told(hidden));
    }
    let widest = |of: fn(&Pull) -> Option<&str>, least: usize, most: usize| {
        let longest = pulls.iter().filter_map(of).map(|text| text.chars().count()).max().unwrap_or(0);
        longest.clamp(least, most)
    };
    let (sample_width, place_width) =
        (widest(|pull| Some(pull.now.plan.sample.as_str()), 6, SAMPLE), widest(place, 5, PLACE));
    let number_width = pulls.iter().map(|pull| pull.number.to_string().len()).max().unwrap_or(0).max(4);
    let mut text = format!(
        "{:>number_width$}   {:<10}  {:<sample_width$}  {:>6}  {:>7}  {:<11}  {:<place_width$}  forecast, kN\n",
        "pull", "day", "sample", "marked", "peak kN", "outcome", "where"
    );
    for pull in pulls {
        let pulled = pull.now.pulled.as_ref();
        let kn = |kn: Option<f64>| kn.map_or_else(|| "-".to_owned(), |kn| format!("{kn:.1}"));
        let forecast = pull.forecast.as_ref().map_or_else(String::new, |(forecast, _)| {
            format!("{} to {}", kilonewtons_alone(forecast.p5_kn), kilonewtons_alone(forecast.p95_kn))
        });
        let mark = match (&pull.withdrawn, pull.amendments.is_empty()) {
            (Some(_), _) => WITHDRAWN,
            (None, true) => ' ',
            (None, false) => AMENDED,
        };
        let line = format!(
            "{:>number_width$}{mark}  {:<10}  {:<sample_width$}  {:>6}  {:>7}  {:<11}  {:<place_width$}  {forecast}",
            pull.number,
            pulled.map_or("planned", |pulled| pulled.pulled_on.get(..10).unwrap_or_default()),
            cut(&pull.now.plan.sample, sample_width),
            kn(pull.now.plan.marked_closed_kn),
            kn(pull.peak_kn()),
            pulled.and_then(|pulled| pulled.outcome.as_deref()).unwrap_or("-"),
            cut(place(pull).unwrap_or("-"), place_width),
        );
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{}", line.trim_end());
    }
    text.push_str(&sentence(pulls));
    text.push('\n');
    for pull in pulls {
        if let Some((why, at)) = &pull.withdrawn {
            let _ = writeln!(text, "{WITHDRAWN} pull {} was withdrawn {}: {why}", pull.number, day(&at.at));
        }
    }
    text.push_str(&hidden_told(hidden));
    text.push_str(&left_out(unreadable));
    if pulls.iter().any(|pull| !pull.amendments.is_empty() && pull.withdrawn.is_none()) {
        let _ = writeln!(text, "{AMENDED} amended; pullmap log show NUMBER tells what was first recorded.");
    }
    text
}

/// How many there are.
#[must_use]
pub fn sentence(pulls: &[Pull]) -> String {
    let planned = pulls.iter().filter(|pull| pull.done.is_none()).count();
    let count = match pulls.len() {
        1 => "1 pull".to_owned(),
        count => format!("{count} pulls"),
    };
    let withdrawn = match pulls.iter().filter(|pull| pull.withdrawn.is_some()).count() {
        0 => String::new(),
        withdrawn => format!(", {withdrawn} of them withdrawn"),
    };
    match planned {
        0 => format!("{count}{withdrawn}."),
        planned if planned == pulls.len() => format!("{count}, planned only{withdrawn}."),
        planned => format!("{count}, {planned} of them planned only{withdrawn}."),
    }
}

/// What was written to a file.
#[must_use]
pub fn exported(pulls: usize, file: impl Display) -> String {
    let noun = if pulls == 1 { "pull" } else { "pulls" };
    format!("Written: {file}, {pulls} {noun}\n")
}
