//! The highest load of a pull, and how much of it may have been missed.

use super::clock::steps;
use super::course::Ending;
use super::quiet::noise_kn;
use super::recording::{Channel, Recording};
use super::remarks::Fact;

/// A single sample that is so many times its neighbours may be a disturbance.
const SPIKE: f64 = 1.25;
/// A gap in the times is so many times the usual step.
const GAP: f64 = 2.5;
/// A load by the device that is higher by this part was missed by the file.
const DEVICE: f64 = 5e-3;
/// A fall of so many times the scatter is one.
const SCATTER: f64 = 8.0;
/// A peak narrower than so many samples at half its height is judged as a pulse.
const PULSE: f64 = 60.0;
/// As many equal samples at the top may be a cell at its end.
const FLAT: usize = 4;
/// A cell is at its end from this part of its range on.
const AT_RANGE: f64 = 0.98;

/// The largest load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// Its sample, and its line, from 1.
    pub sample: usize,
    /// Line, counted from 1.
    pub line: u32,
    /// Its time, s.
    pub time_s: Option<f64>,
    /// As it was read, kN.
    pub read_kn: f64,
    /// Less the zero, kN.
    pub kn: f64,
}

/// Why the load was at least that, and may have been more.
#[derive(Clone, Debug, PartialEq)]
pub enum AtLeast {
    /// The cell had more than it can measure, on so many lines; the first of them.
    Over {
        /// Lines.
        lines: usize,
        /// First, from 1.
        first: u32,
    },
    /// So many equal samples at the top, while others change from one to the next.
    Flat {
        /// Samples.
        samples: usize,
    },
    /// The peak is at the end of the range that the file states, kN.
    AtRange {
        /// The range, kN.
        range_kn: f64,
    },
    /// The file ends on its highest load.
    EndsHigh,
    /// Lines or times are missing beside the peak, s.
    Gap {
        /// Between the samples beside it, s.
        seconds: f64,
    },
    /// The device states a higher load, kN.
    Device {
        /// That load, kN.
        kn: f64,
    },
}

/// How much higher the load may have been between two samples.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Missed {
    /// A rise that goes on until the next sample, kN: its slope times the time to it.
    Ramp {
        /// At most, kN.
        kn: f64,
        /// Slope, kN/s.
        slope_kn_s: f64,
        /// Time to the next sample, s.
        gap_s: f64,
    },
    /// A half sine as wide as the peak, whose top lies between two samples, kN.
    Pulse {
        /// At most, kN.
        kn: f64,
        /// Its width at half height, s.
        width_s: f64,
        /// Time between samples, s.
        gap_s: f64,
    },
    /// The peak has too few samples for any bound.
    TooFew,
    /// The peak is a lower bound by itself.
    LowerBound,
    /// No clock.
    NoClock,
}

pub(super) fn device(recording: &Recording, channel: &Channel) -> Option<(f64, usize)> {
    recording.remarks.iter().find_map(|r| match r.fact {
        Fact::Highest(value, unit) => {
            let value = match (unit, channel.counts) {
                (None, Some((many, zero))) => (value - zero) / many,
                _ => value,
            };
            Some((value.abs() * unit.unwrap_or(channel.unit).kn(), r.line))
        }
        _ => None,
    })
}

/// The highest load but for a peak of one sample that stands alone.
pub(super) fn spike(kn: &[f64], zero: f64, peak: usize) -> Option<f64> {
    let beside = |i: Option<usize>| i.and_then(|i| kn.get(i)).map(|v| v - zero);
    let (before, after) = (beside(peak.checked_sub(1))?, beside(Some(peak + 1))?);
    let most = kn[peak] - zero;
    // A load that breaks falls from where it had come to, a pulse comes and goes by several samples.
    let second = beside(peak.checked_sub(2))?;
    let alone =
        most > SPIKE * before.max(after).max(second) && (before - second).abs() < 0.25 * (most - before);
    let others =
        || kn.iter().enumerate().filter(|(i, _)| *i != peak).map(|(_, v)| v - zero).fold(0.0, f64::max);
    alone.then(others)
}

/// How many samples a value stands for, as a rule, on the way up: a display that is slower than its logger repeats them.
pub(super) fn repeats(kn: &[f64], zero: f64, peak: usize) -> usize {
    let most = kn[peak] - zero;
    let from = (0..peak).rev().find(|i| kn[*i] - zero < 0.02 * most).map_or(0, |i| i + 1);
    let mut runs: Vec<usize> = Vec::new();
    let mut run = 1;
    // The peak's own run with them, which goes on behind it.
    for i in from + 1..kn.len() {
        if i > peak && kn[i].to_bits() != kn[peak].to_bits() {
            break;
        }
        if kn[i].to_bits() == kn[i - 1].to_bits() {
            run += 1;
        } else {
            runs.push(run);
            run = 1;
        }
    }
    runs.push(run);
    runs.sort_unstable();
    runs[(runs.len() - 1) / 2]
}

pub(super) fn missed(kn: &[f64], times: Option<&[f64]>, zero: f64, peak: usize) -> Missed {
    let Some(times) = times else { return Missed::NoClock };
    let most = kn[peak] - zero;
    let (usual, ..) = steps(times);
    let repeats = repeats(kn, zero, peak);
    let gap_s = match times.get(peak + 1) {
        Some(next) => next - times[peak],
        None => usual,
    };
    let gap_s =
        gap_s.max(if peak > 0 { times[peak] - times[peak - 1] } else { 0.0 }).max(repeats as f64 * usual);
    // Width at half height, between samples by straight lines.
    let crossing = |a: usize, b: usize| {
        let part = (kn[a] - zero - 0.5 * most) / (kn[a] - kn[b]);
        times[a] + part * (times[b] - times[a])
    };
    let up = (0..peak).rev().find(|i| kn[*i] - zero < 0.5 * most);
    let down = (peak..kn.len()).find(|i| kn[*i] - zero < 0.5 * most);
    let at = |back: usize| peak.saturating_sub(back * repeats);
    // A rounded top falls as it rose; what breaks falls at once.
    let fall = kn[peak] - kn.get(peak + repeats).copied().unwrap_or(kn[peak]);
    let noise = SCATTER * noise_kn(kn);
    let later = kn[peak] - kn.get(peak + 2 * repeats).copied().unwrap_or(kn[peak]);
    let breaks = fall > 1.5 * (kn[peak] - kn[at(2)]) + noise || later > 2.0 * (kn[peak] - kn[at(3)]) + noise;
    if let (Some(up), Some(down), false) = (up, down, breaks) {
        let width_s = crossing(down - 1, down) - crossing(up + 1, up);
        if width_s < 2.0 * gap_s {
            return Missed::TooFew;
        }
        if width_s < PULSE * gap_s {
            // Of a half sine two thirds are above half its height; at worst two samples lie even about its top.
            let turn = std::f64::consts::FRAC_PI_2 * gap_s / (1.5 * width_s);
            return Missed::Pulse { kn: most * (turn.cos().recip() - 1.0), width_s, gap_s };
        }
    }
    if peak < 2 * repeats || up.is_some_and(|up| peak - up < 2 * repeats) {
        return Missed::TooFew;
    }
    // The steeper of the last few steps and of more of them: a slip among them makes no slope small.
    let slope = |from: usize| {
        if times[peak] > times[from] { (kn[peak] - kn[from]) / (times[peak] - times[from]) } else { 0.0 }
    };
    let slope_kn_s = slope(at(8)).max(slope(at(3))).max(slope(at(2))).max(0.0);
    Missed::Ramp { kn: slope_kn_s * gap_s, slope_kn_s, gap_s }
}

pub(super) fn at_least(
    recording: &Recording,
    channel: &Channel,
    (peak, ending): (usize, Ending),
    device: Option<(f64, usize)>,
) -> Vec<AtLeast> {
    let kn = &channel.kn;
    let mut why = Vec::new();
    if let Some((kn, _)) = device.filter(|(device, _)| *device > (1.0 + DEVICE) * kn[peak]) {
        why.push(AtLeast::Device { kn });
    }
    if let Some(times) = &channel.times_s {
        let usual = steps(times).0;
        let after = times.get(peak + 1).map_or(0.0, |next| next - times[peak]);
        let before = if peak > 0 { times[peak] - times[peak - 1] } else { 0.0 };
        let seconds = after.max(before);
        if seconds > GAP * usual && channel.over.is_empty() {
            why.push(AtLeast::Gap { seconds });
        }
    }
    if let Some(first) = channel.over.first() {
        why.push(AtLeast::Over { lines: channel.over.len(), first: *first });
    }
    let run = (peak..kn.len()).take_while(|i| kn[*i].to_bits() == kn[peak].to_bits()).count();
    // How often others repeat on the way up.
    let half = (0..peak).find(|i| kn[*i] > 0.5 * kn[peak]).unwrap_or(0);
    let repeats = (half..peak.saturating_sub(1)).filter(|i| kn[*i].to_bits() == kn[i + 1].to_bits()).count();
    let way = peak.saturating_sub(half).max(1);
    if run >= FLAT && 4 * repeats < way {
        why.push(AtLeast::Flat { samples: run });
    }
    let range = recording.remarks.iter().find_map(|r| match r.fact {
        Fact::Range(range, unit) => Some(range * unit.unwrap_or(channel.unit).kn()),
        _ => None,
    });
    if let Some(range_kn) = range.filter(|r| kn[peak] >= AT_RANGE * r) {
        why.push(AtLeast::AtRange { range_kn });
    }
    if matches!(ending, Ending::UnderLoad { .. }) && peak + 1 == kn.len() {
        why.push(AtLeast::EndsHigh);
    }
    why
}
