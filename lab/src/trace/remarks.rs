//! What stands about the values: rate, unit, range, scale, a device's own extremes.

use super::number::{Decimal, number, with_word};
use super::separator::{Separator, uncommented};
use super::unit::Unit;
use crate::force_unit::ForceUnit;

/// A fact that a line states.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fact {
    /// Samples a second.
    RateHz(f64),
    /// Time between samples, s.
    IntervalS(f64),
    /// Unit of the loads.
    Unit(ForceUnit),
    /// The largest load that the cell measures, in its unit where one is given.
    Range(f64, Option<ForceUnit>),
    /// Counts of one unit of load.
    CountsPerUnit(f64, Option<ForceUnit>),
    /// Counts, or load, without load.
    Zero(f64),
    /// The largest load, by the device.
    Highest(f64, Option<ForceUnit>),
}

/// A fact and the line that states it, counted from 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Remark {
    /// The line.
    pub line: usize,
    /// The fact.
    pub fact: Fact,
}

/// The words of a key, in small letters.
fn words(key: &str) -> Vec<String> {
    key.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).map(str::to_lowercase).collect()
}

/// Splits a line into what it is about and what it says of it.
fn said(line: &str, separator: Separator) -> Option<(&str, Vec<&str>)> {
    let line = uncommented(line).trim_end();
    // The first of these marks parts key from value.
    let at = line.find([':', '=', ';', '\t', ',']).or_else(|| line.rfind(' '))?;
    let (key, rest) = line.split_at(at);
    let (mark, rest) = (rest.as_bytes()[0], rest[1..].trim().trim_matches('"'));
    let mut cells = Vec::new();
    match separator {
        Separator::None | Separator::Space if matches!(mark, b';' | b',' | b'\t') => {
            cells.extend(rest.split(char::from(mark)).map(str::trim));
        }
        Separator::None | Separator::Space => cells.push(rest),
        // A comma behind a colon is that of a number.
        Separator::Comma if matches!(mark, b':' | b'=') => cells.push(rest),
        _ => separator.split(rest, &mut cells),
    }
    cells.retain(|c| !c.is_empty());
    (!cells.is_empty()).then_some((key.trim().trim_matches('"'), cells))
}

/// A value with the unit behind it, in its cell or in the next.
fn value<'t>(cells: &[&'t str], decimal: Decimal) -> Option<(f64, Option<&'t str>)> {
    let other = if decimal == Decimal::Point { Decimal::Comma } else { Decimal::Point };
    for mark in [decimal, other] {
        if let Some(value) = number(cells[0], mark) {
            return Some((value, cells.get(1).copied()));
        }
        if let Some((value, word)) = with_word(cells[0], mark) {
            return Some((value, Some(word)));
        }
    }
    None
}

/// The unit in a key: interval_ms, Range [kN], counts per lbf.
fn unit_in(key: &str) -> Option<Unit> {
    key.split(|c: char| !(c.is_alphanumeric() || c == '\u{b5}'))
        .filter(|w| w.len() < 6)
        .filter_map(Unit::of)
        .next_back()
}

/// The fact that a line states, if it states one.
#[must_use]
pub fn fact(line: &str, separator: Separator, decimal: Decimal) -> Option<Fact> {
    let (key, cells) = said(line, separator)?;
    let words = words(key);
    let has = |wanted: &[&str]| words.iter().any(|w| wanted.contains(&w.as_str()));
    let force = |word: Option<&str>| {
        word.and_then(ForceUnit::of).or(match unit_in(key) {
            Some(Unit::Force(unit)) => Some(unit),
            _ => None,
        })
    };
    if has(&["unit", "units", "einheit"]) {
        return ForceUnit::of(cells[0]).map(Fact::Unit);
    }
    if has(&["range", "capacity", "messbereich", "nennlast", "bereich"]) && !has(&["time", "temperature"])
        || has(&["full"]) && has(&["scale"])
    {
        // +-25 kN, 0-25 kN: what counts is the end.
        let end = cells[0].trim_start_matches(['\u{b1}', '+', '-', '/', ' ']);
        let end = end
            .rsplit_once(" to ")
            .or_else(|| end.rsplit_once(".."))
            .or_else(|| end.rsplit_once('-'))
            .map_or(end, |(_, to)| to.trim_start_matches('.'));
        let (range, word) = value(&[&[end.trim()], &cells[1..]].concat(), decimal)?;
        return (range > 0.0).then(|| Fact::Range(range, force(word)));
    }
    let (found, word) = value(&cells, decimal)?;
    if !found.is_finite() {
        return None;
    }
    if has(&["counts", "count"]) && has(&["per", "pro"]) {
        return Some(Fact::CountsPerUnit(found, force(word)));
    }
    let only = |wanted: &[&str]| words.iter().all(|w| wanted.contains(&w.as_str()));
    if has(&RATE) && only(&[&RATE[..], &SAMPLING[..]].concat()) {
        let small = word.unwrap_or("").to_lowercase();
        return match (small.as_str(), unit_in(key)) {
            ("khz", _) => Some(Fact::RateHz(1e3 * found)),
            ("s" | "ms" | "us", _) => Unit::of(&small).and_then(|u| seconds(u, found)),
            ("" | "hz" | "sps" | "s/s" | "1/s" | "samples/s" | "/s", None | Some(Unit::Other)) => {
                Some(Fact::RateHz(found))
            }
            _ => None,
        };
    }
    if has(&INTERVAL) && only(&[&INTERVAL[..], &SAMPLING[..], &["ms", "us", "s"]].concat()) {
        return word.and_then(Unit::of).or(unit_in(key)).and_then(|unit| seconds(unit, found));
    }
    if has(&["offset", "zero", "null", "nullpunkt", "tare"]) {
        return Some(Fact::Zero(found));
    }
    // Of the load alone: not of a speed, a temperature or a time.
    let of_load = words
        .iter()
        .all(|w| HIGHEST.contains(&w.as_str()) || LOAD.contains(&w.as_str()) || ForceUnit::of(w).is_some());
    let other = word.is_some_and(|w| ForceUnit::of(w).is_none());
    if has(&HIGHEST) && of_load && !other {
        return Some(Fact::Highest(found, force(word)));
    }
    None
}

const RATE: [&str; 8] =
    ["rate", "frequency", "frequenz", "abtastrate", "abtastfrequenz", "messrate", "hz", "sps"];
const INTERVAL: [&str; 7] =
    ["interval", "intervall", "period", "periode", "dt", "abtastintervall", "messintervall"];
/// Words beside these that leave them what they are.
const SAMPLING: [&str; 12] = [
    "sample",
    "sampling",
    "samples",
    "logging",
    "logger",
    "data",
    "scan",
    "measuring",
    "time",
    "in",
    "of",
    "update",
];
const HIGHEST: [&str; 5] = ["max", "maximum", "peak", "highest", "spitze"];
const LOAD: [&str; 8] = ["load", "force", "kraft", "last", "tension", "value", "wert", "f"];

fn seconds(unit: Unit, many: f64) -> Option<Fact> {
    match unit {
        Unit::Seconds(one) if many > 0.0 => Some(Fact::IntervalS(one * many)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_say_what_they_are_about() {
        let comma = Separator::Comma;
        for (line, wanted) in [
            ("Sample rate: 100 Hz", Some(Fact::RateHz(100.0))),
            ("Sample rate,640,Hz", Some(Fact::RateHz(640.0))),
            ("# rate = 40", Some(Fact::RateHz(40.0))),
            ("Baud rate: 9600", None),
            ("Low pass frequency: 5 Hz", None),
            ("Loading rate: 1", None),
            ("Sensitivity: 2.0 mV/V", None),
            ("interval_ms: 12.5", Some(Fact::IntervalS(0.0125))),
            ("Interval: 0,1 s", Some(Fact::IntervalS(0.1))),
            ("Interval: 5", None),
            ("Unit: kgf", Some(Fact::Unit(ForceUnit::Kgf))),
            ("Range: 50 kN", Some(Fact::Range(50.0, Some(ForceUnit::KN)))),
            ("counts_per_kN=4123.5", Some(Fact::CountsPerUnit(4123.5, Some(ForceUnit::KN)))),
            ("Offset: 8388", Some(Fact::Zero(8388.0))),
            ("Max: 24.1 kN", Some(Fact::Highest(24.1, Some(ForceUnit::KN)))),
            ("Peak [lbf]: 5400", Some(Fact::Highest(5400.0, Some(ForceUnit::Lbf)))),
            ("Range: +-25 kN", Some(Fact::Range(25.0, Some(ForceUnit::KN)))),
            ("Range: 0-25 kN", Some(Fact::Range(25.0, Some(ForceUnit::KN)))),
            ("Full scale: 50 kN", Some(Fact::Range(50.0, Some(ForceUnit::KN)))),
            ("Max speed: 200 mm/min", None),
            ("Max. Temp 23.5", None),
            ("Max time: 11.98", None),
            ("Device: cell 7", None),
            ("Serial 12", None),
        ] {
            assert_eq!(fact(line, comma, Decimal::Point), wanted, "{line}");
        }
        assert_eq!(fact("Messrate;80;Hz", Separator::Semicolon, Decimal::Comma), Some(Fact::RateHz(80.0)));
    }
}
