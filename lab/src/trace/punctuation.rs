//! Which separator and which decimal mark the lines of a file are understood with.

use super::error::TraceError;
use super::kind::{Kind, kind_of};
use super::number::{Cell, Decimal, read, two_ways};
use super::separator::Separator;

/// Lines that are looked at to find the separator: so many at the beginning, and as many spread over the others.
const LOOKED_AT: usize = 1500;

/// The lines that are looked at, with their numbers from 0.
pub(super) fn looked_at<'l, 't>(lines: &'l [&'t str]) -> impl Iterator<Item = (usize, &'t str)> + 'l {
    let step = (lines.len().saturating_sub(LOOKED_AT) / LOOKED_AT).max(1);
    let all = lines.iter().copied().enumerate().filter(|(_, line)| !line.trim().is_empty());
    all.filter(move |(at, _)| *at < LOOKED_AT || at % step == 0)
}

/// How well lines are understood with a separator and a decimal mark.
pub(super) struct Reading {
    pub(super) separator: Separator,
    pub(super) decimal: Decimal,
    /// Cells of a row.
    pub(super) cells: usize,
    /// Rows, each by the part of its cells that is understood.
    understood: f64,
    /// A line and a cell that would be another number with the other mark.
    two_ways: Option<(usize, String)>,
    pub(super) marked: bool,
}

impl Reading {
    fn of(lines: &[&str], separator: Separator, decimal: Decimal) -> Option<Self> {
        let mut cells = Vec::new();
        // How often a line with numbers has so many cells.
        let mut often: Vec<(usize, f64)> = Vec::new();
        let (mut ambiguous, mut marked) = (None, false);
        for (at, line) in looked_at(lines) {
            separator.split(line, &mut cells);
            while cells.len() > 1 && cells.last().is_some_and(|c| c.is_empty()) {
                cells.pop();
            }
            let kinds: Vec<Option<Kind>> = cells.iter().map(|c| kind_of(c, decimal)).collect();
            if !kinds.contains(&Some(Kind::Number)) {
                continue;
            }
            let known = kinds.iter().filter(|k| **k != Some(Kind::Word)).count();
            let part = known as f64 / cells.len() as f64;
            match often.iter_mut().find(|(n, _)| *n == cells.len()) {
                Some((_, sum)) => *sum += part,
                None => often.push((cells.len(), part)),
            }
            for (cell, _) in cells.iter().zip(&kinds).filter(|(_, k)| **k == Some(Kind::Number)) {
                marked |= cell.contains(if decimal == Decimal::Point { '.' } else { ',' });
                if ambiguous.is_none() && two_ways(cell) {
                    ambiguous = Some((at, (*cell).to_owned()));
                }
            }
        }
        let (cells, understood) = often.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        // A mark that parts nothing is not there.
        if cells == 1 && separator != Separator::None {
            return None;
        }
        Some(Self { separator, decimal, cells, understood, two_ways: ambiguous, marked })
    }
}

/// The reading that understands most.
pub(super) fn best(lines: &[&str], decimal: Option<Decimal>) -> Result<Reading, TraceError> {
    let mut readings: Vec<Reading> = Vec::new();
    let quoted = quotes_commas(lines);
    for separator in Separator::ALL {
        for mark in [Decimal::Point, Decimal::Comma] {
            // A comma cannot be both, unless values that have one stand in quotes.
            let possible = separator != Separator::Comma || mark == Decimal::Point || quoted;
            let wanted =
                decimal.is_none_or(|d| d == mark || separator == Separator::Comma && d == Decimal::Point);
            if possible && wanted {
                readings.extend(Reading::of(lines, separator, mark));
            }
        }
    }
    let most = readings.iter().map(|r| r.understood).fold(0.0, f64::max);
    if most <= 0.0 {
        return Err(TraceError::NoValues);
    }
    readings.retain(|r| r.understood > most - 1e-9);
    let with = |readings: &[Reading], separator: Separator| readings.iter().any(|r| r.separator == separator);
    // One value a line, or two with a comma or a space between: both can be read.
    for (other, by_heading) in [(Separator::Comma, true), (Separator::Space, false)] {
        if with(&readings, other)
            && with(&readings, Separator::None)
            && readings.iter().any(|r| r.separator == other && r.cells > 1)
        {
            let one = one_column(lines, other);
            match one.or_else(|| falls(lines, other).then_some(true)) {
                Some(true) if by_heading => readings.retain(|r| r.separator == Separator::None),
                Some(false) if by_heading => readings.retain(|r| r.separator == other),
                _ => {
                    let (line, found) = first_with_digit(lines);
                    return Err(TraceError::TwoWays { line, found });
                }
            }
        }
    }
    let first = Separator::ALL.into_iter().find(|s| with(&readings, *s)).unwrap_or(Separator::None);
    let mut left = readings.into_iter().filter(|r| r.separator == first);
    let Some(reading) = left.next() else { return Err(TraceError::NoValues) };
    // With both marks all is understood: does it matter?
    if let (Some(_), Some((line, found))) = (left.next(), &reading.two_ways) {
        return Err(TraceError::TwoWays { line: line + 1, found: found.clone() });
    }
    Ok(reading)
}

/// Whether commas stand within quotes, between digits.
fn quotes_commas(lines: &[&str]) -> bool {
    let mut cells = Vec::new();
    looked_at(lines).any(|(_, line)| {
        line.contains('"') && {
            Separator::Comma.split(line, &mut cells);
            cells.iter().any(|c| c.contains(',') && matches!(read(c, Decimal::Comma), Cell::Number(_)))
        }
    })
}

/// Whether the line above the first number names one column; nothing where there is no such line.
fn one_column(lines: &[&str], separator: Separator) -> Option<bool> {
    let first =
        lines.iter().position(|l| l.trim().starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)))?;
    let above = lines[..first].iter().rev().find(|l| !l.trim().is_empty())?;
    if above.contains([':', '=']) || above.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    let mut cells = Vec::new();
    separator.split(above, &mut cells);
    Some(cells.iter().filter(|c| !c.is_empty()).count() == 1)
}

/// Whether the first of two cells falls on the way: then it is no clock and counts nothing, and without a heading such a pair is one number.
fn falls(lines: &[&str], separator: Separator) -> bool {
    let mut cells = Vec::new();
    let mut before = f64::NEG_INFINITY;
    for line in lines {
        separator.split(line, &mut cells);
        let Cell::Number(first) = read(cells.first().copied().unwrap_or(""), Decimal::Point) else {
            continue;
        };
        if first < before {
            return true;
        }
        before = first;
    }
    false
}

fn first_with_digit(lines: &[&str]) -> (usize, String) {
    let at =
        lines.iter().position(|l| l.trim().starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)));
    let at = at.unwrap_or(0);
    (at + 1, lines.get(at).map_or_else(String::new, |l| l.trim().to_owned()))
}
