//! Times of samples: read, rebuilt where a clock is too coarse, or counted from a rate.

use super::error::TraceError;

/// Where times come from.
#[derive(Clone, Debug, PartialEq)]
pub enum Clock {
    /// A column, each sample with a time of its own.
    Column {
        /// Its name or number.
        column: String,
        /// What one of its unit is, s.
        unit_s: f64,
        /// Why that unit.
        why: ClockUnit,
    },
    /// A column whose stamps repeat: times were counted within them.
    Rebuilt {
        /// Its name or number.
        column: String,
        /// Samples a second.
        hz: f64,
        /// Step of the stamps, s.
        step_s: f64,
        /// Samples of a stamp, least and most, first and last stamp left out.
        samples: [usize; 2],
    },
    /// A rate.
    Rate {
        /// Samples a second.
        hz: f64,
        /// Who says so.
        from: RateFrom,
    },
    /// None: samples in their order, no more.
    None,
}

/// Why a clock has its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClockUnit {
    /// The heading says so.
    Named,
    /// Times of day.
    TimeOfDay,
    /// Numbers that are hours, minutes and seconds one behind the other, such as 140503.25.
    HourMinuteSecond,
    /// Numbers that are dates of a spreadsheet, in days.
    SheetDate,
    /// Numbers that are seconds since 1970.
    Epoch,
    /// Numbers that are milliseconds since 1970.
    EpochMs,
    /// Nothing says so: whole numbers by more than one, taken as milliseconds.
    WholeMs,
    /// Nothing says so: taken as seconds.
    Assumed,
}

/// Who says a rate. Lines are counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RateFrom {
    /// It was asked for.
    Asked,
    /// A line of the file.
    Line(usize),
    /// A bare number in a line above values with their units, taken as the time between samples.
    BareLine(usize),
}

/// Rates that a logger may have, Hz.
pub const RATES_HZ: [f64; 2] = [1e-3, 1e6];
/// No pull takes longer, s.
const LONGEST_S: f64 = 1e6;

/// Stamps that repeat in more than this part of the samples are too coarse.
const COARSE: f64 = 0.3;
/// A gap is longer than so many of the usual steps.
const GAP: f64 = 2.5;

/// Seconds of the day of a time with or without a date; fractions have a point or a comma.
#[must_use]
pub fn stamp_s(cell: &str) -> Option<f64> {
    let small = cell.trim().to_lowercase();
    let (rest, half) = match (small.strip_suffix("pm"), small.strip_suffix("am")) {
        (Some(rest), _) => (rest.trim(), Some(12.0)),
        (_, Some(rest)) => (rest.trim(), Some(0.0)),
        _ => (small.as_str(), None),
    };
    let is_date = |date: &str| {
        let plain = date.chars().all(|c| c.is_ascii_alphanumeric() || "-./".contains(c));
        plain && date.contains(['-', '.', '/']) && date.bytes().any(|b| b.is_ascii_digit())
    };
    let time = match rest.split_once(['t', ' ']) {
        Some((date, time)) if is_date(date) => time.trim(),
        Some(_) => return None,
        None => rest,
    };
    // A time zone is the same on all lines.
    let zone = time.rfind(['+', '-']).filter(|at| time[*at..].contains(':') && *at > 3);
    let time = zone.map_or(time, |at| &time[..at]).trim_end_matches('z');
    let parts: Vec<&str> = time.split(':').collect();
    let digits = |p: &str| !p.is_empty() && p.len() <= 2 && p.bytes().all(|b| b.is_ascii_digit());
    let seconds_of = |p: &str| -> Option<f64> {
        let p = p.replace(',', ".");
        p.bytes().all(|b| b.is_ascii_digit() || b == b'.').then(|| p.parse().ok()).flatten()
    };
    let whole = |p: &str| if digits(p) { p.parse::<f64>().ok() } else { None };
    let (h, m, s) = match parts[..] {
        // Minutes and seconds, where the seconds have a fraction.
        [m, s] if s.contains(['.', ',']) => (0.0, whole(m)?, seconds_of(s)?),
        [h, m] if half.is_some() => (whole(h)?, whole(m)?, 0.0),
        [h, m, s] => (whole(h)?, whole(m)?, seconds_of(s)?),
        // Milliseconds behind one more colon.
        [h, m, s, ms] if ms.len() == 3 && ms.bytes().all(|b| b.is_ascii_digit()) => {
            (whole(h)?, whole(m)?, whole(s)? + 1e-3 * ms.parse::<f64>().ok()?)
        }
        _ => return None,
    };
    if h >= 24.0 || m >= 60.0 || s >= 61.0 {
        return None;
    }
    let h = half.map_or(h, |half| h % 12.0 + half);
    Some(3600.0 * h + 60.0 * m + s)
}

/// The unit of a clock of numbers that nobody names, s.
#[must_use]
pub fn guessed_unit(values: &[f64]) -> (f64, ClockUnit) {
    let (first, last) = (values.first().copied().unwrap_or(0.0), values.last().copied().unwrap_or(0.0));
    let span = (last - first).abs();
    let whole = values.iter().all(|v| v.fract() == 0.0);
    // 1954 to 2119, a pull shorter than a day.
    if (20_000.0..80_000.0).contains(&first) && span < 1.0 && !whole {
        (86_400.0, ClockUnit::SheetDate)
    } else if (1e9..1e10).contains(&first) {
        (1.0, ClockUnit::Epoch)
    } else if (1e12..1e13).contains(&first) {
        (1e-3, ClockUnit::EpochMs)
    } else if whole && values.len() > 2 && span > 1.5 * (values.len() - 1) as f64 {
        (1e-3, ClockUnit::WholeMs)
    } else {
        (1.0, ClockUnit::Assumed)
    }
}

/// Seconds of the day of numbers that are hours, minutes and seconds one behind the other, such as 140503.25; nothing where they are not,
/// or where no minute ends among them: then they step as seconds do.
#[must_use]
pub fn run_together(values: &[f64]) -> Option<Vec<f64>> {
    let second = |v: f64| {
        let (h, m, s) = ((v / 1e4).floor(), (v / 100.0).floor() % 100.0, v % 100.0);
        ((0.0..24.0).contains(&h) && m < 60.0 && s < 60.0).then_some(3600.0 * h + 60.0 * m + s)
    };
    let seconds: Vec<f64> = values.iter().map(|v| second(*v)).collect::<Option<_>>()?;
    let steps: Vec<f64> = seconds.windows(2).map(|w| (w[1] - w[0]).rem_euclid(86_400.0)).collect();
    let mut sorted: Vec<f64> = steps.iter().copied().filter(|s| *s > 0.0).collect();
    sorted.sort_by(f64::total_cmp);
    let usual = *sorted.get(sorted.len() / 2)?;
    let minutes: Vec<usize> = (0..steps.len())
        .filter(|i| (seconds[*i] / 60.0).floor() != (seconds[i + 1] / 60.0).floor())
        .collect();
    // Where a minute ends, the numbers leave out forty and more, and the seconds go on by their step.
    let even = minutes.iter().filter(|i| steps[**i] <= GAP * usual).count();
    (usual < 30.0 && even > 0 && 2 * even >= minutes.len()).then_some(seconds)
}

/// Times from stamps, s, with a stamp's line: from zero on, over midnight where `daily`.
///
/// # Errors
/// The clock goes back.
pub fn forward(stamps: &[f64], lines: &[u32], daily: bool) -> Result<Vec<f64>, TraceError> {
    let mut times = Vec::with_capacity(stamps.len());
    let (mut days, mut before) = (0.0, f64::NEG_INFINITY);
    let first = stamps.first().copied().unwrap_or(0.0);
    for (stamp, line) in stamps.iter().zip(lines) {
        let mut time = stamp - first + days;
        if daily && time < before - 43_200.0 {
            days += 86_400.0;
            time += 86_400.0;
        }
        if time < before {
            return Err(TraceError::TimeGoesBack { line: *line as usize, to_s: time, from_s: before });
        }
        if !time.is_finite() || time > LONGEST_S {
            return Err(TraceError::TooLong { line: *line as usize, seconds: time });
        }
        before = time;
        times.push(time);
    }
    Ok(times)
}

/// Times counted within stamps that are too coarse: the times, rate, step and samples of a stamp; nothing where they are not coarse.
#[must_use]
pub fn rebuilt(times: &[f64]) -> Option<(Vec<f64>, f64, f64, [usize; 2])> {
    let repeats = times.windows(2).filter(|w| w[0] == w[1]).count();
    if times.len() < 3 || (repeats as f64) < COARSE * (times.len() - 1) as f64 {
        return None;
    }
    let mut groups: Vec<(f64, usize)> = Vec::new();
    for time in times {
        match groups.last_mut() {
            Some((at, count)) if at == time => *count += 1,
            _ => groups.push((*time, 1)),
        }
    }
    // First and last are cut.
    let inner = groups.get(1..groups.len() - 1).filter(|g| g.len() > 1)?;
    let counts = [inner.iter().map(|g| g.1).min()?, inner.iter().map(|g| g.1).max()?];
    let middle = |mut values: Vec<f64>| {
        values.sort_by(f64::total_cmp);
        values[values.len() / 2]
    };
    let step = middle(groups.windows(2).map(|w| w[1].0 - w[0].0).collect());
    let usual = middle(inner.iter().map(|g| g.1 as f64).collect());
    // Within each stamp on its own: what is missing at one does not move the others.
    let mut rebuilt = Vec::with_capacity(times.len());
    for (k, (at, count)) in groups.iter().enumerate() {
        let many = usual.max(*count as f64);
        // What is missing of the first stamp is missing before it.
        let before = if k == 0 { many - *count as f64 } else { 0.0 };
        rebuilt.extend((0..*count).map(|j| at + step * (before + j as f64) / many));
    }
    let start = rebuilt[0];
    rebuilt.iter_mut().for_each(|t| *t -= start);
    Some((rebuilt, usual / step, step, counts))
}

/// The usual step of times, s; gaps in them, and the longest, s.
#[must_use]
pub fn steps(times: &[f64]) -> (f64, usize, f64) {
    let mut all: Vec<f64> = times.windows(2).map(|w| w[1] - w[0]).filter(|d| *d > 0.0).collect();
    if all.is_empty() {
        return (0.0, 0, 0.0);
    }
    let middle = all.len() / 2;
    let usual = *all.select_nth_unstable_by(middle, f64::total_cmp).1;
    let longest = all.iter().fold(0.0_f64, |m, d| m.max(*d));
    (usual, all.iter().filter(|d| **d > GAP * usual).count(), longest)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stamps_are_seconds_of_a_day() {
        for (cell, wanted) in [
            ("12:00:01.25", Some(43_201.25)),
            ("12:00:01,25", Some(43_201.25)),
            ("2026-03-01 12:00:00", Some(43_200.0)),
            ("2026-03-01T12:00:00Z", Some(43_200.0)),
            ("01.03.2026 00:00:05", Some(5.0)),
            ("3/1/2026 1:00 PM", Some(46_800.0)),
            ("12:00:00 am", Some(0.0)),
            ("11:59:55.500 AM", Some(43_195.5)),
            ("05:02.25", Some(302.25)),
            ("10:00:00:250", Some(36_000.25)),
            ("2026-03-01T12:00:00.5+02:00", Some(43_200.5)),
            ("31-Mar-2026 12:00:00", Some(43_200.0)),
            ("12.5", None),
            ("25:00:00", None),
            ("a:b", None),
        ] {
            assert_eq!(stamp_s(cell), wanted, "{cell}");
        }
    }

    #[test]
    fn a_clock_of_whole_seconds_is_counted() {
        let stamps: Vec<f64> = (0..47).map(|i| f64::from((i + 3) / 10)).collect();
        let (times, hz, step, counts) = rebuilt(&stamps).unwrap();
        assert!((hz - 10.0).abs() < 1e-12 && step == 1.0 && counts == [10, 10]);
        assert!((times[46] - 4.6).abs() < 1e-12);
        // Lost samples and a pause move no others.
        let paused = |s: f64| if s >= 3.0 { s + 5.0 } else { s };
        let lost: Vec<f64> = (0..47).filter(|i| *i != 12).map(|i| paused(stamps[i])).collect();
        let (times, hz, ..) = rebuilt(&lost).unwrap();
        assert!((hz - 10.0).abs() < 1e-12 && (times[45] - 9.6).abs() < 1e-9, "{hz} {}", times[45]);
        assert!(rebuilt(&[0.0, 0.1, 0.2, 0.2, 0.3]).is_none());
    }

    #[test]
    fn hours_minutes_and_seconds_may_stand_behind_each_other() {
        let of = |from: f64, step: f64| {
            let number = |s: f64| {
                let s = s % 86_400.0;
                1e4 * (s / 3600.0).floor() + 100.0 * (s / 60.0 % 60.0).floor() + s % 60.0
            };
            (0..300).map(|i| number(from + step * f64::from(i))).collect::<Vec<f64>>()
        };
        for from in [50_703.25, 86_390.0, 3.5] {
            let found = run_together(&of(from, 0.25)).unwrap();
            assert!((found[0] - from).abs() < 1e-6 && (found[20] - (from + 5.0)).abs() < 1e-6, "{from}");
        }
        // Seconds, and a time in which no minute ends.
        let seconds: Vec<f64> = (0..300).map(|i| 0.25 * f64::from(i)).collect();
        assert_eq!(run_together(&seconds), None);
        assert_eq!(run_together(&of(50_703.0, 0.1)), None);
    }

    #[test]
    fn midnight_is_passed_and_a_clock_that_goes_back_is_not() {
        let lines = [1, 2, 3];
        assert_eq!(forward(&[86_399.0, 0.0, 1.0], &lines, true).unwrap(), [0.0, 1.0, 2.0]);
        assert!(matches!(
            forward(&[2.0, 1.0, 3.0], &lines, false),
            Err(TraceError::TimeGoesBack { line: 2, .. })
        ));
    }
}
