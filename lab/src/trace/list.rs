//! Lists of peaks: files of which each line is a pull by itself.

use super::Asked;
use super::channel::{FEWEST, MOST_KN};
use super::columns::{Column, Role, is};
use super::error::TraceError;
use super::kind::Kind;
use super::layout::Layout;
use super::number::{number, with_word};
use super::remarks::{Fact, Remark};
use super::told_unit::{stated_unit, unit_of};
use super::unit::Unit;
use crate::force_unit::ForceUnit;

/// Words for a load that is a peak by itself.
const PEAKS: [&str; 9] =
    ["max", "maximum", "peak", "breaking", "break", "strength", "bruchlast", "ultimate", "failure"];
/// Peaks of several pulls lie above this part of the highest; of fewer nothing tells an order, of more where it turns so often.
const ONE_SIZE: f64 = 0.3;
const FEW_PEAKS: usize = 20;
const ORDER: f64 = 0.4;

/// A line of a list of peaks.
#[derive(Clone, Debug, PartialEq)]
pub struct Peak {
    /// Line, counted from 1.
    pub line: usize,
    /// What it is called.
    pub name: String,
    /// Load, kN.
    pub kn: f64,
    /// Its unit.
    pub unit: ForceUnit,
}

/// Whether rows are pulls by themselves, each with its name, and what they say.
pub(super) fn peaks(
    layout: &Layout,
    lines: &[&str],
    table: &[Column],
    asked: &Asked,
    remarks: &[Remark],
) -> Result<Option<Vec<Peak>>, TraceError> {
    // A name in each row, a load, and no clock.
    let loads: Vec<usize> = (0..table.len()).filter(|k| table[*k].role == Role::Load).collect();
    let timed = table.iter().any(|c| c.role == Role::Clock) || asked.rate_hz.is_some();
    let [load] = loads[..] else { return Ok(None) };
    let word = layout.kinds.iter().position(|k| *k == Kind::Word).filter(|name| *name < load);
    // Numbered tests, whose load is called a peak.
    let numbered = table.iter().position(|c| c.role == Role::Index).filter(|_| is(&table[load].name, &PEAKS));
    let Some(name) = word.or(numbered).filter(|_| !timed) else { return Ok(None) };
    // Of several loads none is the peak by itself.
    let forces: Vec<String> = table
        .iter()
        .filter(|c| matches!(c.unit, Some((Unit::Force(_), _))))
        .map(|c| c.name.clone())
        .collect();
    if forces.len() > 1 && asked.column.is_none() {
        return Err(TraceError::WhichLoad { columns: forces });
    }
    let mut names: Vec<&str> = Vec::new();
    for row in &layout.rows {
        let mut cells = Vec::new();
        layout.takes(lines[*row], &mut cells);
        let name = cells.get(name).copied().unwrap_or("");
        if name.contains(':') && name.bytes().any(|b| b.is_ascii_digit()) {
            return Err(TraceError::UnknownTime { line: row + 1, found: name.to_owned() });
        }
        names.push(name);
    }
    names.sort_unstable();
    names.dedup();
    // Samples share their words, tests have names of their own.
    if 2 * names.len() < layout.rows.len() {
        return Ok(None);
    }
    let mut cells = Vec::new();
    let mut peaks = Vec::new();
    for row in &layout.rows {
        layout.takes(lines[*row], &mut cells);
        let (value, word) = match with_word(cells[load], layout.decimal) {
            Some((value, word)) => (Some(value), ForceUnit::of(word)),
            None => (number(cells[load], layout.decimal), None),
        };
        let beside = table[load].unit_column.filter(|k| *k != load).and_then(|k| ForceUnit::of(cells[k]));
        let unit =
            asked.unit.or(word).or(beside).or(unit_of(&table[load])).or(stated_unit(remarks).map(|s| s.0));
        let line = row + 1;
        let Some(value) = value else {
            let column = table[load].name.clone();
            return Err(TraceError::BadCell { line, column, found: cells[load].to_owned() });
        };
        let Some(unit) = unit else { return Err(TraceError::NoUnit { column: table[load].name.clone() }) };
        let kn = value * unit.kn();
        if !(0.0..=MOST_KN).contains(&kn) {
            return Err(TraceError::NotALoad { line, kn });
        }
        peaks.push(Peak { line, name: cells[name].to_owned(), kn, unit });
    }
    Ok(Some(peaks))
}

/// How many loads stand in a file of one column of them, no clock and no name, where they are all of one size and in no order: peaks of
/// several pulls look like that.
pub(super) fn may_be_peaks(
    layout: &Layout,
    lines: &[&str],
    table: &[Column],
    asked: &Asked,
    remarks: &[Remark],
) -> Option<usize> {
    let timed = table.iter().any(|c| c.role == Role::Clock)
        || asked.rate_hz.is_some()
        || remarks.iter().any(|r| matches!(r.fact, Fact::RateHz(_) | Fact::IntervalS(_)));
    let mut loads = (0..table.len()).filter(|k| table[*k].role == Role::Load);
    let (Some(load), None, false) = (loads.next(), loads.next(), timed) else { return None };
    let mut cells = Vec::new();
    let value = |row: &usize| {
        layout.takes(lines[*row], &mut cells);
        let cell = cells.get(load)?;
        number(cell, layout.decimal).or_else(|| with_word(cell, layout.decimal).map(|found| found.0))
    };
    let values: Vec<f64> = layout.rows.iter().map(value).collect::<Option<_>>()?;
    let (least, most) = values.iter().fold((f64::INFINITY, 0.0_f64), |(l, m), v| (l.min(*v), m.max(*v)));
    let turns = values.windows(3).filter(|w| (w[1] - w[0]) * (w[2] - w[1]) < 0.0).count();
    let in_order = values.len() >= FEW_PEAKS && (turns as f64) < ORDER * values.len() as f64;
    (values.len() >= FEWEST && least >= ONE_SIZE * most && most > least && !in_order).then_some(values.len())
}
