//! From the rows of a file to the values of its cells, and to their times.

use super::Asked;
use super::absent::{absent, counted, without_codes};
use super::channel::{Channel, MOST_KN, fill};
use super::clock::{
    Clock, ClockUnit, RATES_HZ, RateFrom, forward, guessed_unit, rebuilt, run_together, stamp_s,
};
use super::codes::{is_end, is_shaped};
use super::columns::{Column, Role, UnitFrom};
use super::error::TraceError;
use super::kind::Kind;
use super::layout::Layout;
use super::number::{Cell, number, read as read_cell, with_word};
use super::quiet::noise_kn;
use super::remarks::{Fact, Remark};
use super::told_unit::{stated_unit, unit_of};
use super::unit::Unit;
use crate::force_unit::ForceUnit;

/// Less than this is no pull, kN, and so many times the scatter.
const LEAST_KN: f64 = 0.02;
const LEAST_NOISE: f64 = 10.0;
/// Fewer samples tell no scatter.
const MANY: usize = 20;
/// Stamps that repeat in more than this part of the lines are those of a clock that is too coarse.
const OFTEN: f64 = 0.2;

/// A file whose rows are to be read.
pub(super) struct Rows<'t, 'q> {
    pub(super) layout: &'q Layout,
    pub(super) lines: &'q [&'t str],
    pub(super) columns: &'q [Column],
    pub(super) remarks: &'q [Remark],
    pub(super) asked: &'q Asked,
}

impl Rows<'_, '_> {
    /// Clock, cells, and how many rows repeat the one before.
    pub(super) fn values(&self, first: usize) -> Result<(Clock, Vec<Channel>, usize), TraceError> {
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
        let mut raw: Vec<(Vec<Cell>, Vec<f64>)> = vec![(Vec::new(), Vec::new()); held.len()];
        let index_at = role(Role::Index).find(|k| self.layout.kinds[*k] == Kind::Number);
        let mut numbers: Vec<f64> = Vec::new();
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
                let (cell, written) = self.load(*k, &cells, line, channel)?;
                raw.0.push(cell);
                raw.1.push(written);
            }
            numbers.extend(index_at.map(|k| self.value(cells[k]).unwrap_or(f64::NAN)));
        }
        let places = counted(&numbers);
        let (clock, times) = self.clock(clock_at, first, (stamps, places.as_deref()), &lines)?;
        let whole_way = !ways.is_empty() && ways.iter().all(|w| w.is_finite());
        for (channel, (mut raw, written)) in channels.iter_mut().zip(raw) {
            channel.codes = without_codes(&mut raw, &written, &lines);
            // Counts at the end of what whole numbers hold are those of a converter that had too much.
            if channel.counts.is_some() {
                for (cell, _) in raw.iter_mut().zip(&written).filter(|(_, count)| is_end(**count)) {
                    *cell = if matches!(cell, Cell::Number(_)) { Cell::Over } else { *cell };
                }
            }
            channel.absent = absent(&raw, places.as_deref(), &lines);
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
            codes: Vec::new(),
            absent: Vec::new(),
            over: Vec::new(),
            turned: false,
            counts,
        })
    }

    /// A load, kN, and its number as it is written.
    fn load(
        &self,
        k: usize,
        cells: &[&str],
        line: usize,
        channel: &mut Channel,
    ) -> Result<(Cell, f64), TraceError> {
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
            mark => return Ok((mark, f64::NAN)),
        };
        if let Some(beside) = self.columns[k].unit_column.filter(|c| *c != k) {
            unit = ForceUnit::of(cells[beside]).ok_or_else(|| self.bad(line, beside, cells[beside]))?;
        }
        if self.asked.unit.is_some() {
            unit = channel.unit;
        } else if unit != channel.unit && channel.other_units.last().is_none_or(|(last, _)| *last != unit) {
            channel.other_units.push((unit, line));
        }
        let scaled = channel.counts.map_or(value, |(many, zero)| (value - zero) / many);
        let kn = scaled * unit.kn();
        // What may be an error code is judged by what stands beside it.
        if (kn.abs() > MOST_KN || !kn.is_finite()) && !is_shaped(value) {
            return Err(TraceError::NotALoad { line, kn });
        }
        Ok((Cell::Number(kn), value))
    }

    /// Where times come from, and the times.
    fn clock(
        &self,
        at: Option<usize>,
        first: usize,
        (stamps, places): (Vec<f64>, Option<&[f64]>),
        lines: &[u32],
    ) -> Result<(Clock, Option<Vec<f64>>), TraceError> {
        // By the numbers of the samples, where they have some.
        let place = |i: usize| places.map_or(i as f64, |p| p[i]);
        let counted = |hz: f64| (0..lines.len()).map(|i| place(i) / hz).collect::<Vec<f64>>();
        if let Some(k) = at {
            let column = self.columns[k].name.clone();
            let together = if self.layout.kinds[k] == Kind::Number { run_together(&stamps) } else { None };
            let daily = self.layout.kinds[k] == Kind::Stamp || together.is_some();
            let (unit_s, why) = match self.columns[k].unit {
                _ if together.is_some() => (1.0, ClockUnit::HourMinuteSecond),
                _ if daily => (1.0, ClockUnit::TimeOfDay),
                Some((Unit::Seconds(one), _)) => (one, ClockUnit::Named),
                _ => guessed_unit(&stamps),
            };
            let scaled: Vec<f64> = together.unwrap_or(stamps).iter().map(|s| unit_s * s).collect();
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
