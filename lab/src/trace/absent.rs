//! Loads that a cell has no value of: error codes in their place, or samples that the numbers of the file leave out.

use super::codes::codes;
use super::number::Cell;

/// Numbers of samples are those of a counter where so many of a hundred steps are the same.
const SAME_STEPS: usize = 90;

/// Why there is no value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AbsentWhy {
    /// An error code stands there.
    Code,
    /// The numbers of the samples go on by more than one.
    Lost,
}

/// Loads that are not there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Absent {
    /// The sample that follows them; the number of samples where none does.
    pub before: usize,
    /// How many.
    pub samples: usize,
    /// Why.
    pub why: AbsentWhy,
    /// Line of the first of them, or of what follows, counted from 1.
    pub line: u32,
}

/// An error code, and the lines on which it stands, counted from 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Code {
    /// As it is written.
    pub written: f64,
    /// Lines.
    pub lines: Vec<u32>,
}

/// Takes the error codes out of what a cell wrote: `written` has the numbers of its rows as they stand there.
pub(super) fn without_codes(raw: &mut [Cell], written: &[f64], lines: &[u32]) -> Vec<Code> {
    let numbers: Vec<usize> = (0..raw.len()).filter(|i| matches!(raw[*i], Cell::Number(_))).collect();
    let kn: Vec<f64> =
        numbers.iter().map(|i| if let Cell::Number(kn) = raw[*i] { kn } else { f64::NAN }).collect();
    let as_written: Vec<f64> = numbers.iter().map(|i| written[*i]).collect();
    let mut found: Vec<Code> = Vec::new();
    for (at, _) in numbers.iter().zip(codes(&as_written, &kn)).filter(|(_, is_code)| *is_code) {
        raw[*at] = Cell::Code;
        match found.iter_mut().find(|c| c.written == written[*at]) {
            Some(code) => code.lines.push(lines[*at]),
            None => found.push(Code { written: written[*at], lines: vec![lines[*at]] }),
        }
    }
    found
}

/// How many steps of its counter each sample lies after the first, by the numbers that a file gives them; nothing where they do not
/// count.
pub(super) fn counted(numbers: &[f64]) -> Option<Vec<f64>> {
    let steps: Vec<f64> = numbers.windows(2).map(|w| w[1] - w[0]).collect();
    let mut sorted = steps.clone();
    sorted.sort_by(f64::total_cmp);
    let usual = *sorted.get(sorted.len() / 2)?;
    let same = steps.iter().filter(|s| **s == usual).count();
    let whole = |v: f64| v.is_finite() && v.fract() == 0.0;
    let counts = usual > 0.0
        && numbers.iter().all(|v| whole(*v))
        && steps.iter().all(|s| *s > 0.0 && whole(s / usual))
        && 100 * same >= SAME_STEPS * steps.len();
    counts.then(|| numbers.iter().map(|v| (v - numbers[0]) / usual).collect())
}

/// What is not there of a cell, by its rows and by how far each lies behind the first.
pub(super) fn absent(raw: &[Cell], places: Option<&[f64]>, lines: &[u32]) -> Vec<Absent> {
    let mut all: Vec<Absent> = Vec::new();
    let mut before = 0;
    let mut add = |before: usize, samples: usize, why: AbsentWhy, line: u32| match all.last_mut() {
        Some(last) if last.before == before && last.why == why => last.samples += samples,
        _ => all.push(Absent { before, samples, why, line }),
    };
    for (i, cell) in raw.iter().enumerate() {
        let lost = places.filter(|_| i > 0).map_or(0, |p| (p[i] - p[i - 1] - 1.0) as usize);
        if lost > 0 {
            add(before, lost, AbsentWhy::Lost, lines[i]);
        }
        match cell {
            Cell::Code => add(before, 1, AbsentWhy::Code, lines[i]),
            Cell::Number(_) => before += 1,
            _ => {}
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_samples_tell_what_was_lost() {
        let numbers: Vec<f64> =
            (0..60).filter(|i| !(40..43).contains(i)).map(|i| f64::from(5 * i + 7)).collect();
        let places = counted(&numbers).unwrap();
        assert_eq!((places[39], places[40]), (39.0, 43.0));
        let raw = vec![Cell::Number(1.0); numbers.len()];
        let lines: Vec<u32> = (1..=57).collect();
        assert_eq!(
            absent(&raw, Some(&places), &lines),
            [Absent { before: 40, samples: 3, why: AbsentWhy::Lost, line: 41 }]
        );
        // Numbers that go back, or by steps of all sizes, are no counter.
        assert_eq!(counted(&[1.0, 2.0, 1.0, 2.0]), None);
        assert_eq!(counted(&[1.0, 2.0, 4.0, 8.0, 9.0]), None);
    }
}
