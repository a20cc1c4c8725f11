//! Two cells on one pull: their clocks laid over each other, and how far their loads agree.

use super::pull::{Ending, Pull};
use super::recording::Channel;

/// Loads above this part of the peak are compared.
const COMPARED: f64 = 0.25;
/// Shifts of the second clock that are tried: so many steps of the coarser one to each side, each cut into so many parts.
const STEPS: i32 = 4;
const PARTS: i32 = 8;
/// Samples that must lie over each other.
const FEWEST: usize = 8;

/// How far two cells agree.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// What is added to the second clock, s; nothing where both have one.
    pub shift_s: Option<f64>,
    /// Samples that were compared.
    pub samples: usize,
    /// Mean of second over first above a quarter of the peak.
    pub ratio: f64,
    /// Standard deviation of that ratio.
    pub scatter: f64,
    /// Peaks less their zeros, kN.
    pub peaks_kn: [f64; 2],
}

impl Agreement {
    /// Mean of both peaks, kN, and half their difference.
    #[must_use]
    pub fn peak_kn(&self) -> (f64, f64) {
        let [a, b] = self.peaks_kn;
        (0.5 * (a + b), 0.5 * (a - b).abs())
    }
}

/// A cell with its pull.
pub type Cell<'c> = (&'c Channel, &'c Pull);

fn zeroed((channel, pull): Cell<'_>) -> Vec<f64> {
    let zero = pull.quiet.as_ref().map_or(0.0, |q| q.zero_kn);
    channel.kn.iter().map(|v| v - zero).collect()
}

/// A cell's load at a time, between its samples; nothing outside.
fn at(times: &[f64], kn: &[f64], t: f64) -> Option<f64> {
    let behind = times.partition_point(|x| *x < t);
    if behind == 0 || behind == times.len() {
        return None;
    }
    let (a, b) = (behind - 1, behind);
    let part = (t - times[a]) / (times[b] - times[a]);
    Some(kn[a] + part * (kn[b] - kn[a]))
}

/// The time by which two traces are first laid over each other: the break, or where the load passes half its peak.
fn mark((channel, pull): Cell<'_>, times: &[f64]) -> Option<f64> {
    if let Ending::Broke { sample, .. } = pull.ending {
        return Some(times[sample]);
    }
    let zero = pull.quiet.as_ref().map_or(0.0, |q| q.zero_kn);
    let half = (0..=pull.peak.sample).find(|i| channel.kn[*i] - zero >= 0.5 * pull.peak.kn)?;
    Some(times[half])
}

/// Lays two cells of one file, whose samples stand beside each other, over each other.
#[must_use]
pub fn beside(first: Cell<'_>, second: Cell<'_>) -> Option<Agreement> {
    let (a, b) = (zeroed(first), zeroed(second));
    let lines = &second.0.lines;
    let pairs = first.0.lines.iter().enumerate().filter_map(|(i, line)| {
        let j = lines.binary_search(line).ok()?;
        Some((a[i], b[j]))
    });
    compared(pairs, first.1, second.1, None).map(|found| found.0)
}

/// Lays two files of one pull over each other, each with its own clock.
#[must_use]
pub fn aligned(first: Cell<'_>, second: Cell<'_>) -> Option<Agreement> {
    let (ta, tb) = (first.0.times_s.as_deref()?, second.0.times_s.as_deref()?);
    let (a, b) = (zeroed(first), zeroed(second));
    let near = mark(first, ta)? - mark(second, tb)?;
    // Between the last sample before a break and the first behind it lies no load that anybody measured.
    let [(ta, a), (tb, b)] = [(ta, &a, first.1), (tb, &b, second.1)].map(|(t, kn, pull)| match pull.ending {
        Ending::Broke { sample, .. } => (&t[..=sample], &kn[..=sample]),
        _ => (t, &kn[..]),
    });
    let step = first.1.steps?.0.max(second.1.steps?.0);
    let mut best: Option<(f64, Agreement)> = None;
    for k in -STEPS * PARTS..=STEPS * PARTS {
        let shift = near + step * f64::from(k) / f64::from(PARTS);
        let pairs = ta.iter().zip(a).filter_map(|(t, a)| Some((*a, at(tb, b, t - shift)?)));
        if let Some((found, left)) = compared(pairs, first.1, second.1, Some(shift))
            && best.is_none_or(|(least, _)| left < least)
        {
            best = Some((left, found));
        }
    }
    best.map(|(_, found)| found)
}

/// The agreement of pairs of loads, and what is left between them, as a part of the load.
fn compared(
    pairs: impl Iterator<Item = (f64, f64)>,
    first: &Pull,
    second: &Pull,
    shift_s: Option<f64>,
) -> Option<(Agreement, f64)> {
    let least = COMPARED * first.peak.kn.max(second.peak.kn);
    let ratios: Vec<f64> = pairs.filter(|(a, b)| *a > least && *b > least).map(|(a, b)| b / a).collect();
    if ratios.len() < FEWEST {
        return None;
    }
    let many = ratios.len() as f64;
    let ratio = ratios.iter().sum::<f64>() / many;
    let scatter = (ratios.iter().map(|r| (r - ratio).powi(2)).sum::<f64>() / (many - 1.0)).sqrt();
    let peaks_kn = [first.peak.kn, second.peak.kn];
    Some((Agreement { shift_s, samples: ratios.len(), ratio, scatter, peaks_kn }, scatter))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trace::Asked;
    use crate::trace::recording::{Found, Recording, read};
    use std::fmt::Write as _;

    /// A pull at a rate, whose cell shows `gain` of it and whose clock starts `late`.
    fn cell(hz: f64, gain: f64, late: f64) -> Recording {
        let mut text = String::from("time_s,force_kN\n");
        for i in 0..(14.0 * hz) as u32 {
            let t = f64::from(i) / hz;
            let load = match t + late {
                s if s < 2.0 => 0.0,
                s if s < 12.0 => 2.0 * (s - 2.0) + 0.2 * (3.0 * s).sin(),
                _ => 0.0,
            };
            writeln!(text, "{t:.4},{:.4}", gain * load).unwrap();
        }
        match read(text.as_bytes(), &Asked::default()).unwrap() {
            Found::Recording(recording) => *recording,
            Found::Peaks(_) => panic!(),
        }
    }

    #[test]
    fn clocks_are_laid_over_each_other() {
        let (a, b) = (cell(100.0, 1.0, 0.0), cell(40.0, 1.04, 0.73));
        let pulls = [&a, &b].map(|r| Pull::of(r, &r.channels[0]));
        let found = aligned((&a.channels[0], &pulls[0]), (&b.channels[0], &pulls[1])).unwrap();
        assert!((found.shift_s.unwrap() - 0.73).abs() < 0.01, "{found:?}");
        assert!((found.ratio - 1.04).abs() < 2e-3 && found.scatter < 5e-3, "{found:?}");
        let (mean, half) = found.peak_kn();
        assert!(mean > 20.0 && mean < 20.6 && (half - 0.4).abs() < 0.06, "{mean} {half}");
    }
}
