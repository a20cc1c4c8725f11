//! What a pull was by its trace: peak and how much of it may have been missed, how it rose, what happened on the way, how it ended.

use super::clock::steps;
use super::kinks::{Against, Kink, Rise};
use super::quiet::{Quiet, median, noise_kn};
use super::recording::{Channel, Recording};
use super::remarks::Fact;
use std::collections::VecDeque;

/// A load falls through these parts of the peak when it breaks.
const HIGH: f64 = 0.5;
const GONE: f64 = 0.2;
/// It does so within so many samples, if those are not far apart, or within so much time, s.
const SUDDEN: usize = 3;
const APART_S: f64 = 0.5;
const SUDDEN_S: f64 = 0.2;
/// A single sample that is so many times its neighbours may be a disturbance.
const SPIKE: f64 = 1.25;
/// A fall is a slip where it is so many times faster than the load rises.
const FASTER: f64 = 1.5;
/// A gap in the times is so many times the usual step.
const GAP: f64 = 2.5;
/// A load by the device that is higher by this part was missed by the file.
const DEVICE: f64 = 5e-3;
/// A slip is a sudden fall of this part of the peak, or so many times the noise, that is made up for.
const SLIP: f64 = 0.01;
const SLIP_NOISE: f64 = 8.0;
/// A hold stays in a band of this part of the peak, or so many times the noise, for so long, s.
const HOLD: f64 = 0.01;
const HOLD_NOISE: f64 = 8.0;
const HOLD_S: f64 = 1.0;
const HOLD_SAMPLES: usize = 8;
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

/// A pull.
#[derive(Clone, Debug, PartialEq)]
pub struct Pull {
    /// What the cell shows without load; nothing where the file begins under load.
    pub quiet: Option<Quiet>,
    /// Scatter from sample to sample, kN.
    pub noise_kn: f64,
    /// The largest load.
    pub peak: Peak,
    /// Why it may have been more, whatever the clock.
    pub at_least: Vec<AtLeast>,
    /// How much more between samples.
    pub missed: Missed,
    /// The device's own largest load, kN, and its line.
    pub device: Option<(f64, usize)>,
    /// How it ended.
    pub ending: Ending,
    /// Slope of the rise between a fifth and four fifths of the peak, kN/s.
    pub rate_kn_s: Option<f64>,
    /// What kinks are sought against.
    pub against: Option<Against>,
    /// Where the rise becomes steeper low down.
    pub engagement: Option<Kink>,
    /// Where it becomes half as steep.
    pub knee: Option<Kink>,
    /// Sudden falls that were made up for.
    pub slips: Vec<Slip>,
    /// Stretches of even load.
    pub holds: Vec<Hold>,
    /// Work of the bench up to the end, J.
    pub energy_j: Option<f64>,
    /// Where the peak is a single sample far above its neighbours, the highest load beside it, kN less the zero.
    pub spike: Option<f64>,
    /// How often the load rose above half the peak and fell below a fifth of it.
    pub rises: usize,
    /// The lowest load less the zero, kN.
    pub least_kn: f64,
    /// Usual time between samples, s; longer gaps, and the longest, s.
    pub steps: Option<(f64, usize, f64)>,
}

impl Pull {
    /// What a cell of a recording says.
    #[must_use]
    pub fn of(recording: &Recording, channel: &Channel) -> Self {
        let kn = &channel.kn;
        let noise = noise_kn(kn);
        let peak = (0..kn.len()).max_by(|a, b| kn[*a].total_cmp(&kn[*b]).then(b.cmp(a))).unwrap_or(0);
        let quiet = Quiet::of(kn, peak, noise);
        let zero = quiet.as_ref().map_or(0.0, |q| q.zero_kn);
        let times = channel.times_s.as_deref();
        let steps = times.map(steps);
        let device = device(recording, channel);
        let ending = ending(channel, zero, peak);
        let at_least = at_least(recording, channel, (peak, ending), device);
        let end = match ending {
            Ending::Broke { sample, .. } => sample,
            _ => peak,
        };
        let from = quiet.as_ref().map_or(0, |q| q.samples[1] - 1).min(peak);
        let rate = times.and_then(|t| rate(kn, t, zero, from, peak));
        let holds = times.map_or_else(Vec::new, |t| holds(kn, t, zero, (from, peak), noise, rate));
        let (x, against) = match (channel.way_mm.as_deref(), times) {
            (Some(way), _) => (Some(way), Some(Against::Way)),
            (None, Some(times)) => (Some(times), Some(Against::Time)),
            (None, None) => (None, None),
        };
        let out: Vec<[usize; 2]> = holds.iter().map(|h| h.samples).collect();
        let rise = match (x, against) {
            (Some(x), Some(against)) => Rise::of(kn, zero, (x, against), [from, peak], &out),
            _ => None,
        };
        Self {
            noise_kn: noise,
            peak: Peak {
                sample: peak,
                line: channel.lines[peak],
                time_s: times.map(|t| t[peak]),
                read_kn: kn[peak],
                kn: kn[peak] - zero,
            },
            missed: if at_least.is_empty() { missed(kn, times, zero, peak) } else { Missed::LowerBound },
            at_least,
            device,
            spike: spike(kn, zero, peak),
            rises: rises(kn, zero, peak),
            least_kn: kn.iter().fold(f64::INFINITY, |m, v| m.min(*v)) - zero,
            rate_kn_s: rate,
            against,
            engagement: rise.as_ref().and_then(Rise::engagement),
            knee: rise.as_ref().and_then(Rise::knee),
            slips: slips(kn, times, zero, (from, peak), noise),
            holds,
            energy_j: channel.way_mm.as_ref().map(|w| {
                (from..end).map(|i| 0.5 * (kn[i] + kn[i + 1] - 2.0 * zero) * (w[i + 1] - w[i])).sum()
            }),
            steps,
            ending,
            quiet,
        }
    }
}

fn device(recording: &Recording, channel: &Channel) -> Option<(f64, usize)> {
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

fn ending(channel: &Channel, zero: f64, peak: usize) -> Ending {
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

/// The highest load but for a peak of one sample that stands alone.
fn spike(kn: &[f64], zero: f64, peak: usize) -> Option<f64> {
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

/// How often the load rose above half of its peak and fell below a fifth of it.
fn rises(kn: &[f64], zero: f64, peak: usize) -> usize {
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

fn rate(kn: &[f64], times: &[f64], zero: f64, from: usize, peak: usize) -> Option<f64> {
    let most = kn[peak] - zero;
    let low = (from..=peak).find(|i| kn[*i] - zero >= 0.2 * most)?;
    let high = (from..=peak).find(|i| kn[*i] - zero >= 0.8 * most)?;
    let span = times[high] - times[low];
    (span > 0.0).then(|| (kn[high] - kn[low]) / span)
}

/// How many samples a value stands for, as a rule, on the way up: a display that is slower than its logger repeats them.
fn repeats(kn: &[f64], zero: f64, peak: usize) -> usize {
    let most = kn[peak] - zero;
    let from = (0..peak).rev().find(|i| kn[*i] - zero < 0.2 * most).map_or(0, |i| i + 1);
    let mut runs: Vec<usize> = Vec::new();
    let mut run = 1;
    for i in from + 1..=peak {
        if kn[i].to_bits() == kn[i - 1].to_bits() {
            run += 1;
        } else {
            runs.push(run);
            run = 1;
        }
    }
    runs.sort_unstable();
    runs.get(runs.len() / 2).copied().unwrap_or(1)
}

/// How fast the load climbs where it does, kN/s: three quarters of its climbing is slower.
fn climb(kn: &[f64], times: &[f64], (from, peak): (usize, usize)) -> f64 {
    let steps = (from..peak.saturating_sub(SUDDEN)).filter(|i| times[i + SUDDEN] > times[*i]);
    let slope = |i: usize| (kn[i + SUDDEN] - kn[i]) / (times[i + SUDDEN] - times[i]);
    let mut up: Vec<f64> = steps.map(slope).filter(|s| *s > 0.0).collect();
    let place = 3 * up.len() / 4;
    if up.is_empty() { 0.0 } else { *up.select_nth_unstable_by(place, f64::total_cmp).1 }
}

fn missed(kn: &[f64], times: Option<&[f64]>, zero: f64, peak: usize) -> Missed {
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
    let breaks = fall > 1.5 * (kn[peak] - kn[at(2)]) + SLIP_NOISE * noise_kn(kn);
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

fn at_least(
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

fn slips(
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

fn holds(
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trace::Asked;
    use crate::trace::recording::{Found, read};
    use std::fmt::Write as _;

    fn of(rows: impl Iterator<Item = (f64, f64)>) -> Pull {
        let mut text = String::from("time_s,force_kN\n");
        for (t, f) in rows {
            writeln!(text, "{t:.4},{f:.4}").unwrap();
        }
        let Found::Recording(recording) = read(text.as_bytes(), &Asked::default()).unwrap() else { panic!() };
        Pull::of(&recording, &recording.channels[0])
    }

    #[test]
    fn the_peak_of_a_pulse_may_lie_between_samples() {
        // Half sines: 200 ms at 10 Hz lose up to 29 %, at 40 Hz 1.9 %; 50 ms at 100 Hz 4.9 % (arithmetic: 1 - cos(pi / (2 f T))).
        for (width, hz, loss) in [(0.2_f64, 40.0_f64, 0.0192), (0.05, 100.0, 0.0489), (0.02, 640.0, 0.0075)] {
            // The two highest samples lie even about the top.
            let phase = 0.5 / hz - width / 2.0 + (0.5 * width * hz).floor() / hz;
            let pull = of((-40..60).map(|i| {
                let t = f64::from(i) / hz - phase;
                let load = if (0.0..width).contains(&t) {
                    20.0 * (std::f64::consts::PI * t / width).sin()
                } else {
                    0.0
                };
                (f64::from(i + 40) / hz, load)
            }));
            let lost = 1.0 - pull.peak.kn / 20.0;
            assert!(lost <= loss + 1e-3, "{width} s at {hz} Hz: {lost}");
            let Missed::Pulse { kn, .. } = pull.missed else { panic!("{:?}", pull.missed) };
            assert!(
                (20.0 - pull.peak.kn) <= 1.15 * kn && kn <= 20.0 * loss * 1.5,
                "{width} s at {hz} Hz: {kn} of {lost}"
            );
        }
    }

    #[test]
    fn a_slow_pull_loses_its_slope_times_the_gap() {
        let pull = of((0..400).map(|i| {
            (0.1 * f64::from(i), if !(50..=300).contains(&i) { 0.0 } else { 0.3 * f64::from(i - 49) })
        }));
        let Missed::Ramp { kn, slope_kn_s, .. } = pull.missed else { panic!("{:?}", pull.missed) };
        // 3 kN/s at 10 Hz: 0.3 kN.
        assert!((slope_kn_s - 3.0).abs() < 1e-6 && (kn - 0.3).abs() < 1e-6);
        // Also of a short one that breaks, and of one behind a slip.
        let short = of((0..90)
            .map(|i| (0.1 * f64::from(i), if !(50..=70).contains(&i) { 0.0 } else { f64::from(i - 49) })));
        assert!(
            matches!(short.missed, Missed::Ramp { kn, .. } if (kn - 1.0).abs() < 1e-6),
            "{:?}",
            short.missed
        );
        let slipped = of((0..400).map(|i| {
            let slip = if i >= 297 { 2.0 } else { 0.0 };
            (0.1 * f64::from(i), if !(50..=300).contains(&i) { 0.0 } else { 0.3 * f64::from(i - 49) - slip })
        }));
        assert!(matches!(slipped.missed, Missed::Ramp { kn, .. } if kn > 0.29), "{:?}", slipped.missed);
        // A display at 1 Hz that is logged at 10 Hz: up to a second's rise is missed.
        let slow = of((0..400).map(|i| {
            (
                0.1 * f64::from(i),
                if !(50..=300).contains(&i) { 0.0 } else { 0.3 * f64::from(10 * (i / 10) - 49).max(0.0) },
            )
        }));
        assert!(matches!(slow.missed, Missed::Ramp { kn, .. } if kn > 2.9), "{:?}", slow.missed);
        assert!(matches!(pull.ending, Ending::Broke { .. }));
        assert!((pull.rate_kn_s.unwrap() - 3.0).abs() < 0.01);
    }

    #[test]
    fn slips_and_holds_are_told_from_the_break() {
        let load = |t: f64| match t {
            t if t < 2.0 => 0.0,
            t if t < 6.0 => 2.0 * (t - 2.0),
            t if t < 11.0 => 8.0 - 0.01 * (t - 6.0),
            t if t < 14.0 => 7.95 + 2.0 * (t - 11.0),
            t if t < 20.0 => 13.0 + 2.0 * (t - 14.0),
            _ => 0.05,
        };
        let pull = of((0..1150).map(|i| (0.02 * f64::from(i), load(0.02 * f64::from(i)))));
        assert_eq!(pull.slips.len(), 1, "{:?}", pull.slips);
        assert!((pull.slips[0].from_kn - 13.91).abs() < 0.01 && (pull.slips[0].to_kn - 13.0).abs() < 0.01);
        assert_eq!(pull.holds.len(), 1, "{:?}", pull.holds);
        assert!((pull.holds[0].seconds - 5.0).abs() < 0.15 && (pull.holds[0].kn - 7.97).abs() < 0.03);
        assert!(matches!(pull.ending, Ending::Broke { from_kn, .. } if from_kn > 24.9));
        assert_eq!(pull.engagement, None);
    }

    #[test]
    fn a_load_that_is_let_off_did_not_break() {
        let pull = of((0..620).map(|i| {
            let t = 0.02 * f64::from(i);
            (t, if t < 1.0 { 0.0 } else { (3.0 * (t - 1.0)).min(30.0 - 3.0 * (t - 1.0)).max(0.0) })
        }));
        assert_eq!(pull.ending, Ending::LetOff);
        let cut =
            of((0..200).map(|i| (0.02 * f64::from(i), if i < 50 { 0.0 } else { 0.1 * f64::from(i - 49) })));
        assert!(matches!(cut.ending, Ending::UnderLoad { .. }));
        assert_eq!(cut.at_least, [AtLeast::EndsHigh]);
    }
}
