//! A file, read: its loads in kN, with all that was understood of it and on what evidence.

use super::Asked;
use super::clock::{Clock, ClockUnit, RATES_HZ, RateFrom, forward, guessed_unit, rebuilt, stamp_s};
use super::columns::{Column, Role, UnitFrom, columns, is};
use super::error::TraceError;
use super::layout::{Kind, Layout};
use super::number::{Cell, number, read as read_cell, with_word};
use super::quiet::noise_kn;
use super::remarks::{Fact, Remark, fact};
use super::text::{Encoding, Text};
use super::unit::Unit;
use crate::force_unit::ForceUnit;

/// Rows that are looked at to tell columns apart.
const SAMPLE: usize = 400;
/// No bench of a connector pulls with more, kN: what reads as more has another unit.
const MOST_KN: f64 = 5000.0;
/// Words for a load that is a peak by itself.
const PEAKS: [&str; 9] =
    ["max", "maximum", "peak", "breaking", "break", "strength", "bruchlast", "ultimate", "failure"];
/// Less than this is no pull, kN, and so many times the scatter.
const LEAST_KN: f64 = 0.02;
const LEAST_NOISE: f64 = 10.0;
/// Fewer samples tell no scatter.
const MANY: usize = 20;
/// Stamps that repeat in more than this part of the lines are those of a clock that is too coarse.
const OFTEN: f64 = 0.2;
/// Fewer samples are no curve.
const FEWEST: usize = 3;

/// A load cell of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Channel {
    /// Its column.
    pub name: String,
    /// Its unit; the first, where rows have several.
    pub unit: ForceUnit,
    /// Where the unit is from.
    pub unit_from: UnitFrom,
    /// Further units that rows have, and the lines where they begin.
    pub other_units: Vec<(ForceUnit, usize)>,
    /// Loads, kN, those that are missing left out.
    pub kn: Vec<f64>,
    /// Their times, s from the first sample of the file.
    pub times_s: Option<Vec<f64>>,
    /// How far the bench had moved, mm.
    pub way_mm: Option<Vec<f64>>,
    /// Their lines, counted from 1.
    pub lines: Vec<u32>,
    /// Lines whose value is missing.
    pub missing: usize,
    /// Lines, counted from 1, on which the cell had more than it can measure.
    pub over: Vec<u32>,
    /// Whether tension was written as negative.
    pub turned: bool,
    /// What a count is, where they are counts: counts of one unit, counts without load.
    pub counts: Option<(f64, f64)>,
}

/// What was understood of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Recording {
    /// How it is written.
    pub encoding: Encoding,
    /// Whether a mark at its beginning says so.
    pub marked: bool,
    /// How its lines are read; lines counted from 0.
    pub layout: Layout,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Where times come from.
    pub clock: Clock,
    /// Samples that repeat the one before, time and all: left out.
    pub repeated: usize,
    /// What lines about the values state.
    pub remarks: Vec<Remark>,
    /// Lines after the values that state nothing that is understood, counted from 1.
    pub after: Vec<usize>,
    /// The cells.
    pub channels: Vec<Channel>,
}

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

/// What a file holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// A pull over time.
    Recording(Box<Recording>),
    /// Peaks of several pulls, no curve.
    Peaks(Vec<Peak>),
}

/// Reads a file.
///
/// # Errors
/// What the file leaves open, or what in it cannot be read.
pub fn read(bytes: &[u8], asked: &Asked) -> Result<Found, TraceError> {
    let text = Text::of(bytes)?;
    let mut lines = text.lines();
    let mut layout = Layout::of(&lines, asked.decimal)?;
    if let Some((from, to)) = part(&layout, asked.part)? {
        // One of several by itself, with what stands above it; its lines keep their numbers.
        for (at, line) in lines.iter_mut().enumerate() {
            if !(from..to).contains(&at) {
                *line = "";
            }
        }
        layout = Layout::of(&lines, asked.decimal)?;
    }
    let (first, last) = match (layout.rows.first(), layout.rows.last()) {
        (Some(first), Some(last)) => (*first, *last),
        _ => return Err(TraceError::NoValues),
    };
    let about = |from: usize, to: usize| {
        (from..to.min(lines.len())).filter(|l| Some(*l) != layout.heading && Some(*l) != layout.units)
    };
    let stated =
        |l: usize| fact(lines[l], layout.separator, layout.decimal).map(|fact| Remark { line: l + 1, fact });
    let before: Vec<Remark> = about(0, first).filter_map(stated).collect();
    let (mut remarks, mut after) = (before, Vec::new());
    for l in about(last + 1, lines.len()).filter(|l| !lines[*l].trim().is_empty()) {
        match stated(l) {
            Some(remark) => remarks.push(remark),
            None => after.push(l + 1),
        }
    }
    let sample = sample(&layout, &lines);
    let table = columns(&layout, &lines, &sample, asked.column.as_deref())?;
    if let Some(peaks) = peaks(&layout, &lines, &table, asked, &remarks)? {
        return Ok(Found::Peaks(peaks));
    }
    let reading = Reading { layout: &layout, lines: &lines, columns: &table, remarks: &remarks, asked };
    let (clock, channels, repeated) = reading.values(first)?;
    Ok(Found::Recording(Box::new(Recording {
        encoding: text.encoding,
        marked: text.marked,
        clock,
        repeated,
        remarks,
        after,
        channels,
        columns: table,
        layout,
    })))
}

/// The lines of the recording that is asked for: from, and up to but not with; nothing where there is only one.
fn part(layout: &Layout, wanted: Option<usize>) -> Result<Option<(usize, usize)>, TraceError> {
    let parts = layout.parts.len();
    match wanted {
        None if parts > 1 => {
            Err(TraceError::SeveralParts { lines: layout.parts.iter().map(|l| l + 1).collect() })
        }
        None => Ok(None),
        Some(wanted) if wanted == 0 || wanted > parts => Err(TraceError::NoSuchPart { wanted, parts }),
        Some(wanted) => {
            let last = |k: usize| {
                let end = layout.parts.get(k).copied().unwrap_or(usize::MAX);
                layout.rows.iter().rev().find(|r| **r < end).map_or(0, |r| r + 1)
            };
            let from = if wanted == 1 { 0 } else { last(wanted - 1) };
            Ok((parts > 1).then(|| (from, last(wanted))))
        }
    }
}

fn sample(layout: &Layout, lines: &[&str]) -> Vec<Vec<Option<f64>>> {
    let mut cells = Vec::new();
    layout
        .rows
        .iter()
        .take(SAMPLE)
        .map(|row| {
            layout.takes(lines[*row], &mut cells);
            cells.iter().map(|c| number(c, layout.decimal)).collect()
        })
        .collect()
}

/// Whether rows are pulls by themselves, each with its name, and what they say.
fn peaks(
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

fn unit_of(column: &Column) -> Option<ForceUnit> {
    match column.unit {
        Some((Unit::Force(unit), _)) => Some(unit),
        _ => None,
    }
}

fn stated_unit(remarks: &[Remark]) -> Option<(ForceUnit, usize)> {
    remarks.iter().find_map(|r| match r.fact {
        Fact::Unit(unit) => Some((unit, r.line)),
        _ => None,
    })
}

struct Reading<'t, 'q> {
    layout: &'q Layout,
    lines: &'q [&'t str],
    columns: &'q [Column],
    remarks: &'q [Remark],
    asked: &'q Asked,
}

impl Reading<'_, '_> {
    fn values(&self, first: usize) -> Result<(Clock, Vec<Channel>, usize), TraceError> {
        let role = |wanted: Role| (0..self.columns.len()).filter(move |k| self.columns[*k].role == wanted);
        let mut held: Vec<usize> = role(Role::Load).collect();
        if held.is_empty() {
            held = role(Role::Counts).collect();
        }
        let mut channels = held.iter().map(|k| self.channel(*k)).collect::<Result<Vec<_>, _>>()?;
        let clock_at = if self.asked.rate_hz.is_some() { None } else { self.clock_column() };
        let way_at = role(Role::Way).next();
        let way_unit = way_at.and_then(|k| match self.columns[k].unit {
            Some((Unit::Millimetres(one), _)) => Some(one),
            _ => None,
        });
        let (mut stamps, mut lines): (Vec<f64>, Vec<u32>) = (Vec::new(), Vec::new());
        let mut ways: Vec<f64> = Vec::new();
        let mut raw: Vec<Vec<Cell>> = vec![Vec::new(); held.len()];
        let mut cells = Vec::new();
        let mut previous: Option<&str> = None;
        let mut repeated = 0;
        let twice = clock_at.is_some_and(|k| self.written_twice(k));
        for row in &self.layout.rows {
            self.layout.separator.split(self.lines[*row], &mut cells);
            let line = row + 1;
            // A line that says the same as the one before, its time too, was written twice.
            if twice && previous == Some(self.lines[*row]) {
                repeated += 1;
                continue;
            }
            previous = Some(self.lines[*row]);
            if let Some(k) = clock_at {
                let stamp = match self.layout.kinds[k] {
                    Kind::Stamp => stamp_s(cells[k]),
                    _ => self.value(cells[k]),
                };
                stamps.push(stamp.ok_or_else(|| self.bad(line, k, cells[k]))?);
            }
            if let (Some(k), Some(one)) = (way_at, way_unit) {
                ways.push(self.value(cells[k]).map_or(f64::NAN, |v| one * v));
            }
            lines.push(u32::try_from(line).unwrap_or(u32::MAX));
            for ((k, channel), raw) in held.iter().zip(&mut channels).zip(&mut raw) {
                raw.push(self.load(*k, &cells, line, channel)?);
            }
        }
        let (clock, times) = self.clock(clock_at, first, stamps, &lines)?;
        let whole_way = !ways.is_empty() && ways.iter().all(|w| w.is_finite());
        for (channel, raw) in channels.iter_mut().zip(raw) {
            fill(channel, &raw, times.as_deref(), whole_way.then_some(&ways), &lines)?;
        }
        // A cell that nothing pulled on says nothing of the pull.
        let change = |c: &Channel| {
            let first = c.kn[0];
            c.kn.iter()
                .fold(0.0_f64, |m, v| m.max(v - first))
                .max(c.kn.iter().fold(0.0_f64, |m, v| m.max(*v)))
        };
        let scatter = |c: &Channel| if c.kn.len() < MANY { 0.0 } else { noise_kn(&c.kn) };
        let pulled = |c: &Channel| change(c) > LEAST_KN.max(LEAST_NOISE * scatter(c));
        if !channels.iter().any(pulled) {
            return Err(TraceError::NoPull { change_kn: channels.iter().map(change).fold(0.0, f64::max) });
        }
        channels.retain(pulled);
        Ok((clock, channels, repeated))
    }

    /// The column of the times: one with a unit of time, else times of day, else one that is called so.
    fn clock_column(&self) -> Option<usize> {
        let clocks = || (0..self.columns.len()).filter(|k| self.columns[*k].role == Role::Clock);
        let timed = clocks().find(|k| matches!(self.columns[*k].unit, Some((Unit::Seconds(_), _))));
        let stamped = clocks().find(|k| self.layout.kinds[*k] == Kind::Stamp);
        timed.or(stamped).or_else(|| clocks().next())
    }

    /// Whether times repeat only where whole lines do, and seldom: then those lines were written twice. A clock that is too coarse repeats
    /// its times by itself.
    fn written_twice(&self, clock: usize) -> bool {
        let (mut stamps, mut whole) = (0_usize, 0_usize);
        let (mut cells, mut before) = (Vec::new(), String::new());
        let mut line = "";
        for row in &self.layout.rows {
            self.layout.separator.split(self.lines[*row], &mut cells);
            if cells[clock] == before {
                stamps += 1;
                whole += usize::from(self.lines[*row] == line);
            } else {
                cells[clock].clone_into(&mut before);
            }
            line = self.lines[*row];
        }
        whole == stamps && (stamps as f64) < OFTEN * self.layout.rows.len() as f64
    }

    /// A number, with its unit behind it or without.
    fn value(&self, cell: &str) -> Option<f64> {
        number(cell, self.layout.decimal)
            .or_else(|| with_word(cell, self.layout.decimal).map(|found| found.0))
    }

    fn bad(&self, line: usize, column: usize, found: &str) -> TraceError {
        TraceError::BadCell { line, column: self.columns[column].name.clone(), found: found.to_owned() }
    }

    /// A channel before its values.
    fn channel(&self, k: usize) -> Result<Channel, TraceError> {
        let column = &self.columns[k];
        let stated = stated_unit(self.remarks);
        let own = unit_of(column).map(|unit| (unit, column.unit.map_or(UnitFrom::Rows, |u| u.1)));
        // A heading and a line that differ: one of them is wrong.
        if let (None, Some((own, UnitFrom::Heading(_))), Some((other, line))) = (self.asked.unit, own, stated)
            && own != other
        {
            return Err(TraceError::TwoUnits { line, units: [own, other] });
        }
        let mut unit = self
            .asked
            .unit
            .map(|u| (u, UnitFrom::Asked))
            .or(own)
            .or(stated.map(|(u, l)| (u, UnitFrom::Line(l))));
        let mut counts = None;
        if column.role == Role::Counts || self.asked.counts_per_unit.is_some() {
            let scale = self.remarks.iter().find_map(|r| match r.fact {
                Fact::CountsPerUnit(many, unit) => Some((many, unit, r.line)),
                _ => None,
            });
            let zero = self.remarks.iter().find_map(|r| match r.fact {
                Fact::Zero(zero) => Some(zero),
                _ => None,
            });
            let (many, by, line) = match (self.asked.counts_per_unit, scale) {
                (Some(many), _) => (many, None, 0),
                (None, Some(scale)) => scale,
                (None, None) => return Err(TraceError::NoScale { column: column.name.clone() }),
            };
            if !(many.is_finite() && many != 0.0) {
                return Err(TraceError::BadScale { line });
            }
            if self.asked.unit.is_none()
                && let Some(by) = by
            {
                unit = Some((by, UnitFrom::Line(line)));
            }
            counts = Some((many, self.asked.zero_counts.or(zero).unwrap_or(0.0)));
        }
        let Some((unit, unit_from)) = unit else {
            return Err(TraceError::NoUnit { column: column.name.clone() });
        };
        Ok(Channel {
            name: column.name.clone(),
            unit,
            unit_from,
            other_units: Vec::new(),
            kn: Vec::new(),
            times_s: None,
            way_mm: None,
            lines: Vec::new(),
            missing: 0,
            over: Vec::new(),
            turned: false,
            counts,
        })
    }

    /// A load, kN.
    fn load(&self, k: usize, cells: &[&str], line: usize, channel: &mut Channel) -> Result<Cell, TraceError> {
        let cell = cells[k];
        let mut unit = channel.unit;
        let value = match read_cell(cell, self.layout.decimal) {
            Cell::Number(value) => value,
            Cell::Word => {
                let (value, word) =
                    with_word(cell, self.layout.decimal).ok_or_else(|| self.bad(line, k, cell))?;
                unit = ForceUnit::of(word).ok_or_else(|| self.bad(line, k, cell))?;
                value
            }
            mark => return Ok(mark),
        };
        if let Some(beside) = self.columns[k].unit_column.filter(|c| *c != k) {
            unit = ForceUnit::of(cells[beside]).ok_or_else(|| self.bad(line, beside, cells[beside]))?;
        }
        if self.asked.unit.is_some() {
            unit = channel.unit;
        } else if unit != channel.unit && channel.other_units.last().is_none_or(|(last, _)| *last != unit) {
            channel.other_units.push((unit, line));
        }
        let value = channel.counts.map_or(value, |(many, zero)| (value - zero) / many);
        let kn = value * unit.kn();
        if kn.abs() > MOST_KN || !kn.is_finite() {
            return Err(TraceError::NotALoad { line, kn });
        }
        Ok(Cell::Number(kn))
    }

    /// Where times come from, and the times.
    fn clock(
        &self,
        at: Option<usize>,
        first: usize,
        stamps: Vec<f64>,
        lines: &[u32],
    ) -> Result<(Clock, Option<Vec<f64>>), TraceError> {
        let counted = |hz: f64| (0..lines.len()).map(|i| i as f64 / hz).collect::<Vec<f64>>();
        if let Some(k) = at {
            let column = self.columns[k].name.clone();
            let daily = self.layout.kinds[k] == Kind::Stamp;
            let (unit_s, why) = match self.columns[k].unit {
                _ if daily => (1.0, ClockUnit::TimeOfDay),
                Some((Unit::Seconds(one), _)) => (one, ClockUnit::Named),
                _ => guessed_unit(&stamps),
            };
            let scaled: Vec<f64> = stamps.iter().map(|s| unit_s * s).collect();
            let times = forward(&scaled, lines, daily)?;
            return Ok(match rebuilt(&times) {
                Some((times, hz, step_s, samples)) => {
                    (Clock::Rebuilt { column, hz, step_s, samples }, Some(times))
                }
                None => (Clock::Column { column, unit_s, why }, Some(times)),
            });
        }
        if let Some(hz) = self.asked.rate_hz {
            return Ok((Clock::Rate { hz, from: RateFrom::Asked }, Some(counted(hz))));
        }
        let mut rates = self.remarks.iter().filter_map(|r| match r.fact {
            Fact::RateHz(hz) => Some((hz, r.line)),
            Fact::IntervalS(s) => Some((s.recip(), r.line)),
            _ => None,
        });
        let allowed = |hz: f64| (RATES_HZ[0]..=RATES_HZ[1]).contains(&hz);
        if let Some((hz, line)) = rates.next().filter(|(hz, _)| allowed(*hz)) {
            if let Some((other, line)) = rates.find(|(other, _)| (other / hz - 1.0).abs() > 1e-3) {
                return Err(TraceError::TwoRates { line, hz: [hz, other] });
            }
            return Ok((Clock::Rate { hz, from: RateFrom::Line(line) }, Some(counted(hz))));
        }
        // A bare number on the first line, above values that have their unit beside them.
        let beside = self.columns.iter().any(|c| c.unit_column.is_some());
        let bare = number(self.lines[0].trim(), self.layout.decimal).filter(|v| *v > 0.0 && *v < 10.0);
        if let (true, true, Some(step)) = (beside, first > 0, bare) {
            let hz = step.recip();
            return Ok((Clock::Rate { hz, from: RateFrom::BareLine(1) }, Some(counted(hz))));
        }
        Ok((Clock::None, None))
    }
}

/// Gives a channel its values: those that are missing left out, tension positive.
fn fill(
    channel: &mut Channel,
    raw: &[Cell],
    times: Option<&[f64]>,
    ways: Option<&Vec<f64>>,
    lines: &[u32],
) -> Result<(), TraceError> {
    let kept: Vec<usize> = (0..raw.len()).filter(|i| matches!(raw[*i], Cell::Number(_))).collect();
    channel.kn = kept.iter().map(|i| if let Cell::Number(kn) = raw[*i] { kn } else { f64::NAN }).collect();
    channel.times_s = times.map(|t| kept.iter().map(|i| t[*i]).collect());
    channel.way_mm = ways.map(|w| kept.iter().map(|i| w[*i]).collect());
    channel.lines = kept.iter().map(|i| lines[*i]).collect();
    channel.missing = raw.iter().filter(|c| **c == Cell::Missing).count();
    channel.over = raw.iter().zip(lines).filter(|(c, _)| **c == Cell::Over).map(|(_, l)| *l).collect();
    if channel.kn.is_empty() {
        return Err(TraceError::AllMissing);
    }
    if channel.kn.len() < FEWEST {
        return Err(TraceError::TooFew { found: channel.kn.len() });
    }
    let most = channel.kn.iter().fold(f64::NEG_INFINITY, |m, v| m.max(*v));
    let least = channel.kn.iter().fold(f64::INFINITY, |m, v| m.min(*v));
    // A cell that was wired the other way round: not one that was disturbed once.
    let low = channel.kn.iter().filter(|v| **v < 0.5 * least).count();
    if -least > 3.0 * most.max(0.0) && least < -LEAST_KN && low >= FEWEST {
        channel.turned = true;
        channel.kn.iter_mut().for_each(|v| *v = -*v);
    }
    Ok(())
}
