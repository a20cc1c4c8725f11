//! What a cell shows without load: its zero, its noise, a tare on the way, and what it shows afterwards.

/// What a cell shows without load is less than this part of the peak.
const UNLOADED: f64 = 0.05;
/// A stretch is quiet while it stays in a band of this part of the peak, or of so many times the noise.
const BAND: f64 = 4e-3;
const BAND_NOISE: f64 = 6.0;
/// Samples of a quiet stretch at least.
const FEWEST: usize = 6;

/// A cell without load.
#[derive(Clone, Debug, PartialEq)]
pub struct Quiet {
    /// What it shows before the pull, kN.
    pub zero_kn: f64,
    /// Samples that say so: from, and up to but not with.
    pub samples: [usize; 2],
    /// What it shows after the pull less that, kN.
    pub drift_kn: Option<f64>,
    /// Jumps before the pull, as by a tare: the first sample behind it, and by how much, kN.
    pub tares: Vec<(usize, f64)>,
}

/// The standard deviation of what samples scatter by from one to the next, kN: of the quieter half of them.
#[must_use]
pub fn noise_kn(kn: &[f64]) -> f64 {
    let mut steps: Vec<f64> = kn.windows(3).map(|w| (w[1] - 0.5 * (w[0] + w[2])).abs()).collect();
    if steps.is_empty() {
        return 0.0;
    }
    let middle = steps.len() / 2;
    // The middle of a normal scatter's size is 0.6745 of its deviation; a sample less the mean of two has 1.5 times the square.
    *steps.select_nth_unstable_by(middle, f64::total_cmp).1 / 0.6745 / 1.5_f64.sqrt()
}

pub(super) fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    let middle = sorted.len() / 2;
    if sorted.is_empty() { 0.0 } else { *sorted.select_nth_unstable_by(middle, f64::total_cmp).1 }
}

impl Quiet {
    /// What loads show before and after a peak at a sample, scattering by `noise_kn`; nothing where they begin under load.
    #[must_use]
    pub fn of(kn: &[f64], peak: usize, noise_kn: f64) -> Option<Self> {
        let most = kn[peak];
        let band = (BAND * most.abs()).max(BAND_NOISE * noise_kn);
        let flat = |from: usize| {
            let part = kn.get(from..from + FEWEST).filter(|_| from + FEWEST <= peak)?;
            let (low, high) = range(part);
            (high - low <= band).then(|| median(part))
        };
        // From the beginning on: what lies later may be the slow beginning of the rise.
        let mut level = flat(0)?;
        let (mut from, mut to, mut tares) = (0, FEWEST, Vec::new());
        while to < peak {
            // One sample that lies far off ends nothing.
            if (to..(to + 3).min(peak)).any(|i| (kn[i] - level).abs() <= band) {
                to += 1;
                continue;
            }
            // A tare sets a cell to nothing at once; a step of a slow display on its way up does not.
            let Some(new) = flat(to).filter(|new| new.abs() < 0.3 * level.abs()) else { break };
            tares.push((to, new - level));
            (from, level) = (to, new);
            to += FEWEST;
        }
        // A slow rise stays in the band for a while: the stretch ends before it climbs by more than scatter does.
        while to - from > 2 * FEWEST {
            let third = (to - from) / 3;
            let climbs = mean(&kn[to - third..to]) - mean(&kn[from..from + third]);
            if climbs.abs() <= (3.0 * noise_kn * (2.0 / third as f64).sqrt()).max(1e-3 * most.abs()) {
                break;
            }
            to -= ((to - from) / 8).max(1);
        }
        let zero_kn = median(&kn[from..to]);
        // A cell that shows so much is under load.
        if zero_kn.abs() > UNLOADED * most.abs() {
            return None;
        }
        Some(Self {
            zero_kn,
            samples: [from, to],
            drift_kn: after(kn, peak, band).map(|v| v - zero_kn),
            tares,
        })
    }
}

/// What is shown at the end, where that is no load.
fn after(kn: &[f64], peak: usize, band: f64) -> Option<f64> {
    let tail = &kn[peak..];
    let wide = (tail.len() / 10).clamp(FEWEST, 200);
    let last = tail.len().checked_sub(wide).filter(|from| *from > 0)?;
    let (low, high) = range(&tail[last..]);
    (high - low <= band && high < 2.0 * UNLOADED * kn[peak]).then(|| median(&tail[last..]))
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn range(values: &[f64]) -> (f64, f64) {
    values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(*v), high.max(*v)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Quiet, a tare, quiet, a ramp, nothing.
    fn pull(tare: f64) -> Vec<f64> {
        let noise = |i: usize| 0.004 * ((7 * i % 5) as f64 - 2.0);
        (0..400)
            .map(|i| {
                let load = match i {
                    0..60 => 0.35,
                    60..120 => 0.35 - tare,
                    120..320 => 0.35 - tare + 0.1 * (i - 119) as f64,
                    _ => 0.4 - tare,
                };
                load + noise(i)
            })
            .collect()
    }

    #[test]
    fn zero_and_tare_and_drift_are_found() {
        let kn = pull(0.35);
        let quiet = Quiet::of(&kn, 319, noise_kn(&kn)).unwrap();
        assert!(quiet.zero_kn.abs() < 0.01, "{quiet:?}");
        assert!((quiet.drift_kn.unwrap() - 0.05).abs() < 0.01, "{quiet:?}");
        assert_eq!(quiet.tares.len(), 1);
        assert!((quiet.tares[0].1 + 0.35).abs() < 0.01 && quiet.tares[0].0 == 60, "{quiet:?}");
        let plain = pull(0.0);
        let quiet = Quiet::of(&plain, 319, noise_kn(&plain)).unwrap();
        assert!((quiet.zero_kn - 0.35).abs() < 0.01 && quiet.tares.is_empty() && quiet.samples[0] == 0);
    }

    #[test]
    fn a_file_that_begins_under_load_has_no_zero() {
        let kn: Vec<f64> = (0..100).map(|i| 5.0 + 0.1 * f64::from(i)).collect();
        assert_eq!(Quiet::of(&kn, 99, noise_kn(&kn)), None);
    }
}
