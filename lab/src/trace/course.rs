//! What happened on the way of a pull: slips, holds, rises, and how it ended.

use super::quiet::median;
use super::recording::Channel;
use std::collections::VecDeque;

/// A load falls through these parts of the peak when it breaks.
const HIGH: f64 = 0.5;
const GONE: f64 = 0.2;
/// It does so within so many samples, if those are not far apart, or within so much time, s.
const SUDDEN: usize = 3;
const APART_S: f64 = 0.5;
const SUDDEN_S: f64 = 0.2;
/// A fall is a slip where it is so many times faster than the load rises.
const FASTER: f64 = 1.5;
/// A slip is a sudden fall of this part of the peak, or so many times the noise, that is made up for.
const SLIP: f64 = 0.01;
const SLIP_NOISE: f64 = 8.0;
/// A hold stays in a band of this part of the peak, or so many times the noise, for so long, s.
const HOLD: f64 = 0.01;
const HOLD_NOISE: f64 = 8.0;
const HOLD_S: f64 = 1.0;
const HOLD_SAMPLES: usize = 8;

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ending {
    /// A sudden fall: last sample before it, loads before and after it, kN, time it took, s.
    Broke {
        /// Last sample before the fall.
        sample: usize,
        /// Load there less the zero, kN.
        from_kn: f64,
        /// Load after it less the zero, kN.
        to_kn: f64,
        /// Time between, s.
        within_s: Option<f64>,
    },
    /// The load was let off.
    LetOff,
    /// The file ends under load.
    UnderLoad {
        /// Load at the end less the zero, kN.
        kn: f64,
    },
}

/// A sudden fall that is made up for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slip {
    /// Last sample before it.
    pub sample: usize,
    /// Load before it less the zero, kN.
    pub from_kn: f64,
    /// Load after it less the zero, kN.
    pub to_kn: f64,
}

/// A stretch of even load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    /// Samples: from, and up to but not with.
    pub samples: [usize; 2],
    /// How long, s.
    pub seconds: f64,
    /// Mean load less the zero, kN.
    pub kn: f64,
    /// By how much the load fell from beginning to end, kN.
    pub fell_kn: f64,
}

pub(super) fn ending(channel: &Channel, zero: f64, peak: usize) -> Ending {
    let (kn, times, lines) = (&channel.kn, channel.times_s.as_deref(), &channel.lines);
    let most = kn[peak] - zero;
    let Some(gone) = (peak..kn.len()).find(|i| kn[*i] - zero <= GONE * most) else {
        let last = kn[kn.len() - 1] - zero;
        return Ending::UnderLoad { kn: last };
    };
    let sample = (peak..gone).rev().find(|i| kn[*i] - zero >= HIGH * most).unwrap_or(peak);
    let within_s = times.map(|t| t[gone] - t[sample]);
    // Lines that are missing between count as samples.
    let few = (lines[gone] - lines[sample]) as usize <= SUDDEN && within_s.is_none_or(|s| s <= APART_S);
    if few || within_s.is_some_and(|s| s <= SUDDEN_S) {
        Ending::Broke { sample, from_kn: kn[sample] - zero, to_kn: kn[gone] - zero, within_s }
    } else {
        Ending::LetOff
    }
}

/// How often the load rose above half of its peak and fell below a fifth of it.
pub(super) fn rises(kn: &[f64], zero: f64, peak: usize) -> usize {
    let most = kn[peak] - zero;
    let (mut up, mut count) = (false, 0);
    for v in kn.iter().map(|v| v - zero) {
        if !up && v >= HIGH * most {
            (up, count) = (true, count + 1);
        } else if up && v <= GONE * most {
            up = false;
        }
    }
    count
}

pub(super) fn rate(kn: &[f64], times: &[f64], zero: f64, from: usize, peak: usize) -> Option<f64> {
    let most = kn[peak] - zero;
    let low = (from..=peak).find(|i| kn[*i] - zero >= 0.2 * most)?;
    let high = (from..=peak).find(|i| kn[*i] - zero >= 0.8 * most)?;
    let span = times[high] - times[low];
    (span > 0.0).then(|| (kn[high] - kn[low]) / span)
}

/// How fast the load climbs where it does, kN/s: three quarters of its climbing is slower.
pub(super) fn climb(kn: &[f64], times: &[f64], (from, peak): (usize, usize)) -> f64 {
    let steps = (from..peak.saturating_sub(SUDDEN)).filter(|i| times[i + SUDDEN] > times[*i]);
    let slope = |i: usize| (kn[i + SUDDEN] - kn[i]) / (times[i + SUDDEN] - times[i]);
    let mut up: Vec<f64> = steps.map(slope).filter(|s| *s > 0.0).collect();
    let place = 3 * up.len() / 4;
    if up.is_empty() { 0.0 } else { *up.select_nth_unstable_by(place, f64::total_cmp).1 }
}

pub(super) fn slips(
    kn: &[f64],
    times: Option<&[f64]>,
    zero: f64,
    (from, peak): (usize, usize),
    noise: f64,
) -> Vec<Slip> {
    let climb = times.map(|t| climb(kn, t, (from, peak)));
    let most = kn[peak] - zero;
    let least = (SLIP * most).max(SLIP_NOISE * noise);
    let mut slips: Vec<Slip> = Vec::new();
    // The lowest of the samples that follow one suddenly: a window that goes along with it.
    let mut lows: VecDeque<usize> = VecDeque::new();
    let (mut i, mut next) = (from, from);
    while i < peak {
        let sudden = |j: usize| j - i <= SUDDEN || times.is_some_and(|t| t[j] - t[i] <= 0.25 * SUDDEN_S);
        while next <= peak && sudden(next) {
            while lows.back().is_some_and(|j| kn[*j] >= kn[next]) {
                lows.pop_back();
            }
            lows.push_back(next);
            next += 1;
        }
        while lows.front().is_some_and(|j| *j < i) {
            lows.pop_front();
        }
        let low = lows.front().copied().unwrap_or(i);
        if kn[i] - kn[low] < least {
            i += 1;
            continue;
        }
        // The fall begins at its highest sample; a load that is let down as it was pulled up does not slip.
        let top = (i..=low).max_by(|a, b| kn[*a].total_cmp(&kn[*b])).unwrap_or(i);
        let even = match (times, climb) {
            (Some(t), Some(climb)) => FASTER * climb * (t[low] - t[top]),
            _ => 0.0,
        };
        if kn[top] - kn[low] > even && kn[top] - zero > 0.05 * most {
            slips.push(Slip { sample: top, from_kn: kn[top] - zero, to_kn: kn[low] - zero });
        }
        i = low;
    }
    slips
}

pub(super) fn holds(
    kn: &[f64],
    times: &[f64],
    zero: f64,
    (from, peak): (usize, usize),
    noise: f64,
    rate: Option<f64>,
) -> Vec<Hold> {
    let most = kn[peak] - zero;
    let band = (HOLD * most).max(HOLD_NOISE * noise);
    // A load may be held at its highest as well.
    let last = (peak..kn.len()).find(|i| kn[*i] - zero < HIGH * most).unwrap_or(kn.len()) - 1;
    // A slow rise stays in the band for a while too.
    let long = HOLD_S.max(rate.map_or(0.0, |r| 3.0 * band / r.max(1e-12)));
    // The longest stretches that stay in the band: a window whose end goes on and whose beginning follows.
    let mut all: Vec<[usize; 2]> = Vec::new();
    let (mut lows, mut highs) = (VecDeque::new(), VecDeque::new());
    let mut start = from;
    for i in from..=last {
        while lows.back().is_some_and(|j: &usize| kn[*j] >= kn[i]) {
            lows.pop_back();
        }
        while highs.back().is_some_and(|j: &usize| kn[*j] <= kn[i]) {
            highs.pop_back();
        }
        lows.push_back(i);
        highs.push_back(i);
        let mut ended = i == last;
        while kn[highs[0]] - kn[lows[0]] > band {
            if !ended {
                ended = true;
                all.push([start, i]);
            }
            start += 1;
            if lows[0] < start {
                lows.pop_front();
            }
            if highs[0] < start {
                highs.pop_front();
            }
        }
        if i == last {
            all.push([start, last + 1]);
        }
    }
    all.retain(|[a, b]| *b > a + HOLD_SAMPLES && times[b - 1] - times[*a] >= long);
    all.sort_by(|x, y| (times[y[1] - 1] - times[y[0]]).total_cmp(&(times[x[1] - 1] - times[x[0]])));
    let mut kept: Vec<[usize; 2]> = Vec::new();
    for one in all {
        if kept.iter().all(|k| one[1] <= k[0] || k[1] <= one[0]) {
            kept.push(one);
        }
    }
    kept.sort_unstable();
    // What led up to it and away from it is none of it.
    let near = (0.2 * band).max(3.0 * noise);
    let even = |[mut a, mut b]: [usize; 2]| {
        let level = median(&kn[a..b]);
        while a + 2 < b && (kn[a] - level).abs() > near {
            a += 1;
        }
        while a + 2 < b && (kn[b - 1] - level).abs() > near {
            b -= 1;
        }
        [a, b]
    };
    let told = kept.into_iter().map(even).map(|[a, b]| Hold {
        samples: [a, b],
        seconds: times[b - 1] - times[a],
        kn: kn[a..b].iter().sum::<f64>() / (b - a) as f64 - zero,
        fell_kn: kn[a] - kn[b - 1],
    });
    told.filter(|h| h.kn > 0.05 * most && h.seconds >= long).collect()
}
