//! How much higher a load may have been between two samples than the highest that was sampled.

use super::clock::steps;

/// A fall of so many times the scatter is one.
const SCATTER: f64 = 8.0;
/// A peak narrower than so many samples at half its height is judged as a pulse.
const PULSE: f64 = 60.0;
/// A slope that grows from sample to sample is taken to grow on by so many times at most.
const GROWS: f64 = 4.0;

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
    /// A peak that comes and goes, whose top lies where straight lines on from the samples before and behind it meet, kN.
    Slopes {
        /// At most, kN.
        kn: f64,
        /// Slopes of those lines before and behind it, kN/s.
        slopes_kn_s: [f64; 2],
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

/// A load sampled about its peak.
struct About<'k> {
    kn: &'k [f64],
    times: &'k [f64],
    peak: usize,
    /// Samples that a value stands for.
    repeats: usize,
    /// A step of less is scatter, kN.
    least: f64,
}

impl About<'_> {
    /// Time and load so many values before (below 0) or behind the peak.
    fn at(&self, place: isize) -> Option<(f64, f64)> {
        let i = self.peak.checked_add_signed(place * self.repeats.cast_signed())?;
        Some((*self.times.get(i)?, *self.kn.get(i)?))
    }

    /// How fast the load climbs toward the peak from one value to the next toward it, kN/s: `from` lies farther from it.
    fn toward(&self, from: isize, to: isize) -> Option<f64> {
        let ((t_from, from), (t_to, to)) = (self.at(from)?, self.at(to)?);
        let time = (t_to - t_from).abs();
        (time > 0.0).then(|| (to - from) / time)
    }

    /// How much faster that is than one step farther away, where it is more than scatter: a load that climbs faster and faster goes on so.
    fn grows(&self, from: isize, to: isize) -> f64 {
        let farther = from + (from - to);
        let (Some(near), Some(far)) = (self.toward(from, to), self.toward(farther, from)) else { return 1.0 };
        let step = |a: isize, b: isize| Some((self.at(a)?.1 - self.at(b)?.1).abs());
        let told = [step(from, to), step(farther, from)].iter().all(|s| s.is_some_and(|s| s > self.least));
        if told && far > 0.0 { (near / far).clamp(1.0, GROWS) } else { 1.0 }
    }

    /// The most that the load may have been above the peak between it and the next value on one side of it (1 behind it, -1 before it), with
    /// the slopes on the peak's own side and on the other: where straight lines on from the values on either side meet.
    fn beside(&self, side: isize) -> Option<(f64, [f64; 2])> {
        let gap = (self.at(side)?.0 - self.at(0)?.0).abs();
        let own = self.toward(-side, 0)? * self.grows(-side, 0);
        let far = self.toward(2 * side, side)?;
        let other = far * self.grows(2 * side, side);
        let across = self.toward(side, 0)?;
        let most = if across > other || far <= 0.0 {
            // It fell at once, or rose so: the line on the peak's own side goes on all the way.
            own.max(0.0) * gap
        } else {
            let along = (self.at(side)?.1 - self.at(0)?.1 + other * gap) / (own.max(0.0) + other);
            own.max(0.0) * along.clamp(0.0, gap)
        };
        Some((most, [own, other]))
    }
}

/// How much higher the load may have been between the samples than the highest of them.
pub(super) fn missed(kn: &[f64], times: Option<&[f64]>, zero: f64, peak: usize, noise_kn: f64) -> Missed {
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
    let noise = SCATTER * noise_kn;
    let fall = kn[peak] - kn.get(peak + repeats).copied().unwrap_or(kn[peak]);
    let later = kn[peak] - kn.get(peak + 2 * repeats).copied().unwrap_or(kn[peak]);
    let breaks = fall > 1.5 * (kn[peak] - kn[at(2)]) + noise || later > 2.0 * (kn[peak] - kn[at(3)]) + noise;
    let about = About { kn, times, peak, repeats, least: noise };
    if let (Some(up), Some(down), false) = (up, down, breaks) {
        let width_s = crossing(down - 1, down) - crossing(up + 1, up);
        if width_s < 2.0 * gap_s {
            return Missed::TooFew;
        }
        if width_s < PULSE * gap_s {
            // Of a half sine two thirds are above half its height; at worst two samples lie even about its top.
            let turn = std::f64::consts::FRAC_PI_2 * gap_s / (1.5 * width_s);
            let pulse = most * (turn.cos().recip() - 1.0);
            // A top that is no half sine may be sharper: the more of both.
            let (Some(before), Some(behind)) = (about.beside(-1), about.beside(1)) else {
                return Missed::TooFew;
            };
            let (kn, slopes) =
                if behind.0 > before.0 { behind } else { (before.0, [before.1[1], before.1[0]]) };
            return if kn > pulse {
                Missed::Slopes { kn, slopes_kn_s: slopes, gap_s }
            } else {
                Missed::Pulse { kn: pulse, width_s, gap_s }
            };
        }
    }
    if peak < 2 * repeats || up.is_some_and(|up| peak - up < 2 * repeats) {
        return Missed::TooFew;
    }
    // The steepest of the last few steps and of more of them: a slip among them makes no slope small.
    let slope = |from: usize| {
        if times[peak] > times[from] { (kn[peak] - kn[from]) / (times[peak] - times[from]) } else { 0.0 }
    };
    let last = if kn[peak] - kn[at(1)] > noise { slope(at(1)) * about.grows(-1, 0) } else { 0.0 };
    let slope_kn_s = slope(at(8)).max(slope(at(3))).max(slope(at(2))).max(last).max(0.0);
    Missed::Ramp { kn: slope_kn_s * gap_s, slope_kn_s, gap_s }
}
