//! Which lines of a file hold values: several recordings in it, pages, and lines that are neither.

use super::clock::stamp_s;
use super::error::TraceError;
use super::kind::Kind;
use super::layout::Layout;
use super::number::number;
use super::separator::fit;

/// Lines behind the values that begin as values do: fewer may be a foot.
const NO_FOOT: usize = 3;
/// Lines before the end of a page that tell what grows, and how far it goes on over that end, in its largest steps.
const PAGE: usize = 50;
const PAGE_STEPS: f64 = 2.0;
/// Steps of a clock or of numbers of samples: the largest is so many times the least.
const EVEN: f64 = 3.0;

impl Layout {
    /// Finds the lines of values from the first on, and where recordings begin.
    pub(super) fn find_rows(&mut self, lines: &[&str], first: usize) -> Result<(), TraceError> {
        let mut cells = Vec::new();
        let heading = self.heading.map(|h| lines[h]);
        self.parts.push(first);
        let mut between: Vec<usize> = Vec::new();
        for (at, line) in lines.iter().enumerate().skip(first) {
            if self.takes(line, &mut cells) {
                let again = between.iter().any(|l| Some(lines[*l]) == heading);
                // A line of the table with a word in it does not part two recordings.
                let rows = |l: &usize| {
                    let mut cells = Vec::new();
                    self.separator.split(lines[*l], &mut cells);
                    fit(&mut cells, self.kinds.len());
                    cells.len() == self.kinds.len() && self.kinds.len() > 1
                };
                if again && self.goes_on(lines, at) {
                    // A page ends, and the next one has the heading once more.
                } else if again || between.len() > 1 && !between.iter().all(rows) {
                    self.parts.push(at);
                } else if let Some(odd) = between.first() {
                    return Err(self.why_odd(lines[*odd], *odd));
                }
                between.clear();
                self.rows.push(at);
            } else if !line.trim().is_empty() && !line.trim_start().starts_with(['#', '%']) {
                between.push(at);
            }
        }
        // What begins as values do is no foot.
        let like =
            |l: &usize| lines[*l].trim_start().starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c));
        if between.iter().filter(|l| like(l)).count() >= NO_FOOT
            && let Some(odd) = between.iter().find(|l| like(l))
        {
            return Err(self.why_odd(lines[*odd], *odd));
        }
        Ok(())
    }

    /// Whether what grows in every line of the recording so far, as clocks and numbers of samples do, goes on in a line by steps as before.
    fn goes_on(&self, lines: &[&str], at: usize) -> bool {
        let from = self.parts.last().copied().unwrap_or(0);
        let rows: Vec<usize> =
            self.rows.iter().rev().take_while(|r| **r >= from).take(PAGE).copied().collect();
        let mut cells = Vec::new();
        let mut values = |row: usize| -> Vec<Option<f64>> {
            self.separator.split(lines[row], &mut cells);
            let value = |(cell, kind): (&&str, &Kind)| match kind {
                Kind::Number => number(cell, self.decimal),
                Kind::Stamp => stamp_s(cell),
                _ => None,
            };
            cells.iter().zip(&self.kinds).map(value).collect()
        };
        let next = values(at);
        let before: Vec<Vec<Option<f64>>> = rows.iter().rev().map(|r| values(*r)).collect();
        let column =
            |k: usize| before.iter().map(|row| row.get(k).copied().flatten()).collect::<Option<Vec<f64>>>();
        // Each column that grows: whether it does so by even steps, and whether it goes on.
        let mut found: Vec<(bool, bool)> = Vec::new();
        for k in 0..self.kinds.len() {
            let Some(values) = column(k).filter(|v| v.len() > 1) else { continue };
            let (first, last) = (values[0], values[values.len() - 1]);
            let steps = values.windows(2).map(|w| w[1] - w[0]);
            let (least, most) = steps.fold((f64::INFINITY, 0.0_f64), |(l, m), s| (l.min(s), m.max(s)));
            if last <= first || least < 0.0 {
                continue;
            }
            let step = next.get(k).copied().flatten().map_or(-1.0, |n| n - last);
            let goes_on = step >= 0.0 && step <= PAGE_STEPS * most;
            found.push((most <= EVEN * least, goes_on));
        }
        // A load may end its rise with the page; a clock does not.
        let clocks = found.iter().any(|f| f.0);
        !found.is_empty() && found.iter().all(|f| f.1 || clocks && !f.0)
    }

    /// Why a line among values is none of them.
    fn why_odd(&self, line: &str, at: usize) -> TraceError {
        let mut cells = Vec::new();
        self.separator.split(line, &mut cells);
        fit(&mut cells, self.kinds.len());
        match self.wrong_cell(&cells) {
            Some(column) if cells.len() == self.kinds.len() => TraceError::BadCell {
                line: at + 1,
                column: (column + 1).to_string(),
                found: cells[column].to_owned(),
            },
            _ => TraceError::OtherLength { line: at + 1, found: cells.len(), wanted: self.kinds.len() },
        }
    }
}
