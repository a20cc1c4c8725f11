//! What was understood of a file, and on what evidence.

use crate::numbers::{digits, plain};
use lab::trace::absent::{AbsentWhy, Code};
use lab::trace::clock::{Clock, ClockUnit, RateFrom};
use lab::trace::columns::{Role, UnitFrom};
use lab::trace::layout::Separator;
use lab::trace::number::Decimal;
use lab::trace::pull::Pull;
use lab::trace::recording::{Channel, Recording};
use lab::trace::remarks::Fact;
use lab::trace::text::Encoding;

/// What was understood of a recording, a sentence for each thing.
#[must_use]
pub fn understood(recording: &Recording, pulls: &[Pull]) -> Vec<String> {
    let mut told = vec![written(recording), lines(recording)];
    told.extend(recording.channels.iter().map(channel));
    told.push(clock(recording));
    if let Some((usual, gaps, longest)) = pulls.first().and_then(|p| p.steps).filter(|s| s.1 > 0) {
        told.push(format!(
            "Samples lie {} s apart as a rule; {} {} longer, the longest {} s: samples may be missing there, or the rate was changed.",
            digits(usual),
            gaps,
            if gaps == 1 { "gap is" } else { "gaps are" },
            digits(longest)
        ));
    }
    if recording.repeated > 0 {
        told.push(format!(
            "{} lines that repeat the one before, time and all, are left out.",
            recording.repeated
        ));
    }
    told.extend(recording.channels.iter().filter_map(missing));
    told.extend(recording.channels.iter().flat_map(codes));
    told.extend(recording.channels.first().and_then(lost));
    if let Some(way) = recording.columns.iter().find(|c| c.role == Role::Way) {
        let used = recording.channels.iter().any(|c| c.way_mm.is_some());
        let how = if used {
            "the bench's travel"
        } else {
            "not used: it has no unit of length, or values are missing"
        };
        told.push(format!("Column {} is {how}.", way.name));
    }
    told.extend(recording.remarks.iter().filter_map(|remark| {
        let line = remark.line;
        match remark.fact {
            Fact::Range(range, unit) => Some(format!(
                "Line {line} gives the cell's range: {}{}.",
                plain(range),
                unit.map_or_else(String::new, |u| format!(" {}", u.sign()))
            )),
            Fact::Zero(zero) if recording.channels.iter().all(|c| c.counts.is_none()) => Some(format!(
                "Line {line} gives a zero of {}: not subtracted, since the loads are not raw counts.",
                plain(zero)
            )),
            _ => None,
        }
    }));
    match recording.after[..] {
        [] => {}
        [line] => told.push(format!("Line {line}, after the values, is not read.")),
        [first, .., last] => told.push(format!("Lines {first} to {last}, after the values, are not read.")),
    }
    told
}

fn written(recording: &Recording) -> String {
    let encoding = match (recording.encoding, recording.marked) {
        (Encoding::Utf8, false) => "UTF-8 or plain ASCII".to_owned(),
        (Encoding::Utf8, true) => "UTF-8, by the mark at its beginning".to_owned(),
        (Encoding::Utf16Little | Encoding::Utf16Big, true) => {
            "UTF-16, by the mark at its beginning".to_owned()
        }
        (Encoding::Utf16Little | Encoding::Utf16Big, false) => {
            "UTF-16, by the zero bytes between its letters".to_owned()
        }
        (Encoding::Windows1252, _) => "Western European, one byte a letter, since it is not UTF-8".to_owned(),
    };
    let separator = match recording.layout.separator {
        Separator::Tab => "tabs between the values",
        Separator::Semicolon => "semicolons between the values",
        Separator::Bar => "vertical bars between the values",
        Separator::Space => "spaces between the values",
        Separator::Comma => "commas between the values",
        Separator::None => "one value a line",
    };
    let mark = match (recording.layout.marked, recording.layout.decimal) {
        (false, _) => "whole numbers only",
        (true, Decimal::Point) => "a decimal point",
        (true, Decimal::Comma) => "a decimal comma",
    };
    format!("The file is {encoding}; {separator}, {mark}.")
}

fn lines(recording: &Recording) -> String {
    let rows = &recording.layout.rows;
    let (first, last) = (rows.first().map_or(0, |r| r + 1), rows.last().map_or(0, |r| r + 1));
    let heading = match (recording.layout.heading, recording.layout.units) {
        (None, _) => "no heading".to_owned(),
        (Some(h), None) => format!("the heading in line {}", h + 1),
        (Some(h), Some(u)) => format!("the heading in line {}, units in line {}", h + 1, u + 1),
    };
    let others: Vec<String> = recording
        .columns
        .iter()
        .filter(|c| c.role == Role::Other && !c.name.bytes().all(|b| b.is_ascii_digit()))
        .map(|c| c.name.clone())
        .collect();
    let unread = if others.is_empty() { String::new() } else { format!("; not read: {}", others.join(", ")) };
    format!("Values stand in lines {first} to {last}, {heading}{unread}.")
}

fn channel(channel: &Channel) -> String {
    let from = match channel.unit_from {
        UnitFrom::Asked => "as asked for".to_owned(),
        UnitFrom::Heading(line) => format!("by the heading in line {line}"),
        UnitFrom::Rows => "by the unit beside each value".to_owned(),
        UnitFrom::Line(line) => format!("by line {line}"),
    };
    let mut told = format!("Load: column {}, in {} {from}", channel.name, channel.unit.sign());
    for (unit, line) in &channel.other_units {
        told += &format!("; in {} from line {line} on", unit.sign());
    }
    if let Some((many, zero)) = channel.counts {
        told += &format!(
            "; {} counts are one {}, {} counts no load",
            plain(many),
            channel.unit.sign(),
            plain(zero)
        );
    }
    if channel.turned {
        told += "; tension is written as negative, since the largest load is: turned round";
    }
    told + "."
}

fn missing(channel: &Channel) -> Option<String> {
    (channel.missing > 0)
        .then(|| format!("{} values of column {} are missing and left out.", channel.missing, channel.name))
}

/// Lines that are named; of more the number is told.
const NAMED: usize = 12;

fn codes(channel: &Channel) -> Vec<String> {
    let told = |code: &Code| {
        let named: Vec<String> = code.lines.iter().take(NAMED).map(ToString::to_string).collect();
        let more = code.lines.len().saturating_sub(NAMED);
        let more = if more == 0 { String::new() } else { format!(" and {more} more") };
        let lines = if code.lines.len() == 1 { "line" } else { "lines" };
        format!(
            "Column {} holds {} on {lines} {}{more}, far from the values beside it: taken for an error code and left out.",
            channel.name,
            plain(code.written),
            named.join(", ")
        )
    };
    channel.codes.iter().map(told).collect()
}

fn lost(channel: &Channel) -> Option<String> {
    let lost = || channel.absent.iter().filter(|a| a.why == AbsentWhy::Lost);
    let first = lost().next()?;
    let all: usize = lost().map(|a| a.samples).sum();
    Some(format!(
        "By the numbers of the samples {all} {} missing, first before line {}.",
        if all == 1 { "is" } else { "are" },
        first.line
    ))
}

fn clock(recording: &Recording) -> String {
    match &recording.clock {
        Clock::Column { column, unit_s, why } => {
            let why = match why {
                ClockUnit::Named => {
                    let unit = match unit_s {
                        u if *u == 1.0 => "seconds",
                        u if *u == 1e-3 => "milliseconds",
                        u if *u == 1e-6 => "microseconds",
                        u if *u == 60.0 => "minutes",
                        u if *u == 3600.0 => "hours",
                        _ => "days",
                    };
                    format!("in {unit}, by its heading")
                }
                ClockUnit::TimeOfDay => "times of day".to_owned(),
                ClockUnit::HourMinuteSecond => {
                    "hours, minutes and seconds one behind the other, since its numbers go on so from minute to minute".to_owned()
                }
                ClockUnit::SheetDate => "dates of a spreadsheet, in days, since its numbers are such".to_owned(),
                ClockUnit::Epoch => "seconds since 1970, since its numbers are such".to_owned(),
                ClockUnit::EpochMs => "milliseconds since 1970, since its numbers are such".to_owned(),
                ClockUnit::WholeMs => {
                    "taken as milliseconds: no unit is given, and its whole numbers step by more than one; --rate overrules".to_owned()
                }
                ClockUnit::Assumed => "taken as seconds: no unit is given; --rate overrules".to_owned(),
            };
            format!("Time: column {column}, {why}.")
        }
        Clock::Rebuilt { column, hz, step_s, samples: [least, most] } => {
            let many = if least == most { least.to_string() } else { format!("{least} to {most}") };
            format!(
                "Time: column {column} steps by {} s and each stamp stands at {many} samples: times are counted, {} samples a second.",
                plain(*step_s),
                digits(*hz)
            )
        }
        Clock::Rate { hz, from } => {
            let from = match from {
                RateFrom::Asked => "as asked for".to_owned(),
                RateFrom::Line(line) => format!("by line {line}"),
                RateFrom::BareLine(line) => {
                    format!(
                        "line {line} is a bare number above the values: taken as the seconds between samples; --rate overrules"
                    )
                }
            };
            format!("Time: counted at {} samples a second, {from}.", digits(*hz))
        }
        Clock::None => {
            "Time: nothing tells it, so no rate, hold or bound of the peak is told; give --rate.".to_owned()
        }
    }
}
