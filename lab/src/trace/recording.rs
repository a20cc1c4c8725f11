//! A file, read: its loads in kN, with all that was understood of it and on what evidence.

use super::Asked;
use super::clock::Clock;
use super::columns::{Column, columns};
use super::error::TraceError;
use super::layout::Layout;
use super::list::{may_be_peaks, peaks};
use super::number::number;
use super::remarks::{Remark, fact};
use super::text::{Encoding, Text};
use super::values::Rows;

pub use super::channel::Channel;
pub use super::list::Peak;

/// Rows that are looked at to tell columns apart.
const SAMPLE: usize = 400;

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
    if let Some(values) = may_be_peaks(&layout, &lines, &table, asked, &remarks) {
        return Err(TraceError::PeaksOrCurve { values });
    }
    let rows = Rows { layout: &layout, lines: &lines, columns: &table, remarks: &remarks, asked };
    let (clock, channels, repeated) = rows.values(first)?;
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
