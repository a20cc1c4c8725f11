//! A load cell of a file, with its values.

use super::absent::{Absent, Code};
use super::columns::UnitFrom;
use super::error::TraceError;
use super::number::Cell;
use crate::force_unit::ForceUnit;

/// No bench of a connector pulls with more, kN: what reads as more has another unit.
pub(super) const MOST_KN: f64 = 5000.0;
/// Fewer samples are no curve.
pub(super) const FEWEST: usize = 3;
/// A load below zero that is none of a scatter, kN.
const PUSHED_KN: f64 = 0.02;

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
    /// Error codes that stand in place of loads: left out.
    pub codes: Vec<Code>,
    /// Where loads are not there for an error code, or since samples were lost.
    pub absent: Vec<Absent>,
    /// Lines, counted from 1, on which the cell had more than it can measure.
    pub over: Vec<u32>,
    /// Whether tension was written as negative.
    pub turned: bool,
    /// What a count is, where they are counts: counts of one unit, counts without load.
    pub counts: Option<(f64, f64)>,
}

impl Channel {
    /// Loads that are not there and may have been higher than the highest that is: those beside it, and those where the load may have
    /// come to more by its steepest rise from one sample to the next.
    #[must_use]
    pub fn absent_at(&self, peak: usize) -> Option<Absent> {
        let kn = &self.kn;
        let mut steepest: f64 = 0.0;
        let mut absent = self.absent.iter().peekable();
        for i in 1..=peak {
            while absent.peek().is_some_and(|a| a.before < i) {
                absent.next();
            }
            // From one sample to the next, none absent between.
            if absent.peek().is_none_or(|a| a.before != i) {
                steepest = steepest.max(kn[i] - kn[i - 1]);
            }
        }
        let may = |absent: &&Absent| {
            let beside = [absent.before.checked_sub(1), Some(absent.before)];
            let loads = beside.iter().flatten().filter_map(|i| kn.get(*i));
            let most = loads.fold(f64::NEG_INFINITY, |m, v| m.max(*v));
            beside.contains(&Some(peak)) || most + steepest * (absent.samples + 1) as f64 > kn[peak]
        };
        self.absent.iter().find(may).copied()
    }
}

/// Gives a channel its values: those that are missing left out, tension positive.
pub(super) fn fill(
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
    if let Some((kn, line)) = channel.kn.iter().zip(&channel.lines).find(|(kn, _)| kn.abs() > MOST_KN) {
        return Err(TraceError::NotALoad { line: *line as usize, kn: *kn });
    }
    if channel.kn.len() < FEWEST {
        return Err(TraceError::TooFew { found: channel.kn.len() });
    }
    let most = channel.kn.iter().fold(f64::NEG_INFINITY, |m, v| m.max(*v));
    let least = channel.kn.iter().fold(f64::INFINITY, |m, v| m.min(*v));
    // A cell that was wired the other way round: not one that was disturbed once.
    let low = channel.kn.iter().filter(|v| **v < 0.5 * least).count();
    if -least > 3.0 * most.max(0.0) && least < -PUSHED_KN && low >= FEWEST {
        channel.turned = true;
        channel.kn.iter_mut().for_each(|v| *v = -*v);
    }
    Ok(())
}
