//! Two cells on one pull: their clocks laid over each other, and how far their loads agree.

use super::pull::{Ending, Pull};
use super::recording::Channel;

/// Loads above this part of the peak are compared.
const COMPARED: f64 = 0.25;
/// Shifts of the second clock that are tried: so many steps of the coarser one to each side, each cut into so many parts.
const STEPS: i32 = 4;
const PARTS: i32 = 8;
/// Samples by which the shift is chosen.
const SEARCHED: usize = 4000;
/// Samples that must lie over each other.
const FEWEST: usize = 8;
/// Cells on one pull differ by less than this, and scatter by less: else they did not see the same pull.
const UNLIKE: f64 = 0.25;
const SCATTERED: f64 = 0.05;

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
    /// Whether one of them is a lower bound.
    pub at_least: bool,
}

impl Agreement {
    /// Mean of both peaks, kN, and half their difference.
    #[must_use]
    pub fn peak_kn(&self) -> (f64, f64) {
        let [a, b] = self.peaks_kn;
        (0.5 * (a + b), 0.5 * (a - b).abs())
    }

    /// Whether the loads go together as those of one pull do.
    fn is_one_pull(&self) -> bool {
        (self.ratio - 1.0).abs() < UNLIKE && self.scatter < SCATTERED
    }
}

/// A cell with its pull.
pub type Cell<'c> = (&'c Channel, &'c Pull);

fn zeroed((channel, pull): Cell<'_>) -> Vec<f64> {
    let zero = pull.zero_kn();
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

/// When the load passes half of a level on its way up, s.
fn mark((channel, pull): Cell<'_>, times: &[f64], kn: f64) -> Option<f64> {
    let zero = pull.zero_kn();
    let half = (0..=pull.peak.sample).find(|i| channel.kn[*i] - zero >= 0.5 * kn)?;
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
    compared(pairs, first.1, second.1, None).map(|found| found.0).filter(Agreement::is_one_pull)
}

/// Lays two files of one pull over each other, each with its own clock.
#[must_use]
pub fn aligned(first: Cell<'_>, second: Cell<'_>) -> Option<Agreement> {
    let (ta, tb) = (first.0.times_s.as_deref()?, second.0.times_s.as_deref()?);
    let (a, b) = (zeroed(first), zeroed(second));
    // Where to begin: half of each one's own peak, half of the lower peak, which both have seen, and the break.
    let lower = first.1.peak.kn.min(second.1.peak.kn);
    let marks = |level: [f64; 2]| Some(mark(first, ta, level[0])? - mark(second, tb, level[1])?);
    let broke = |(_, pull): Cell<'_>, times: &[f64]| match pull.ending {
        Ending::Broke { sample, .. } => Some(times[sample]),
        _ => None,
    };
    let breaks = broke(first, ta).zip(broke(second, tb)).map(|(a, b)| a - b);
    let near = [marks([first.1.peak.kn, second.1.peak.kn]), marks([lower; 2]), breaks];
    // Between the last sample before a break and the first behind it lies no load that anybody measured.
    let [(ta, a), (tb, b)] = [(ta, &a, first.1), (tb, &b, second.1)].map(|(t, kn, pull)| match pull.ending {
        Ending::Broke { sample, .. } => (&t[..=sample], &kn[..=sample]),
        _ => (t, &kn[..]),
    });
    let step = first.1.steps?.0.max(second.1.steps?.0);
    // To choose the shift, few enough of the samples.
    let every = (ta.len() / SEARCHED).max(1);
    let mut best: Option<(f64, f64)> = None;
    for near in near.into_iter().flatten() {
        for k in -STEPS * PARTS..=STEPS * PARTS {
            let shift = near + step * f64::from(k) / f64::from(PARTS);
            let pairs =
                ta.iter().zip(a).step_by(every).filter_map(|(t, a)| Some((*a, at(tb, b, t - shift)?)));
            if let Some((_, left)) = compared(pairs, first.1, second.1, Some(shift))
                && best.is_none_or(|(least, _)| left < least)
            {
                best = Some((left, shift));
            }
        }
    }
    let (_, shift) = best?;
    let pairs = ta.iter().zip(a).filter_map(|(t, a)| Some((*a, at(tb, b, t - shift)?)));
    compared(pairs, first.1, second.1, Some(shift)).map(|found| found.0).filter(Agreement::is_one_pull)
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
    let at_least = !(first.at_least.is_empty() && second.at_least.is_empty());
    Some((Agreement { shift_s, samples: ratios.len(), ratio, scatter, peaks_kn, at_least }, scatter))
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
        // Another pull is not laid over it.
        let other = cell(40.0, 2.1, 0.0);
        let pull = Pull::of(&other, &other.channels[0]);
        assert_eq!(aligned((&a.channels[0], &pulls[0]), (&other.channels[0], &pull)), None);
    }
}
