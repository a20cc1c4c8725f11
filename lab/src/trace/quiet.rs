//! What a cell shows without load: its zero, its noise, a tare on the way, and what it shows afterwards.

/// What a cell shows without load is less than this part of the peak.
const UNLOADED: f64 = 0.05;
/// A stretch is quiet while it stays in a band of this part of the peak, or of so many times the noise.
const BAND: f64 = 4e-3;
const BAND_NOISE: f64 = 6.0;
/// Samples of a quiet stretch at least.
const FEWEST: usize = 6;

/// The cell shows the same after the pull as before it where both differ by less than this part of the pull, or by the band.
const SAME: f64 = 0.01;
/// A stretch creeps where it climbs by so many times what its scatter may make of it, and by this part of the peak, and so fast beside
/// what follows it.
const CREEPS_NOISE: f64 = 4.0;
const CREEPS: f64 = 3e-4;
const AS_FAST: f64 = 0.3;
/// Its first half climbs as fast as the whole by this part at least.
const EVENLY: f64 = 0.4;

/// Why it is not known what a cell shows without load. Nothing is taken off then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoZero {
    /// The file begins under a load that changes.
    UnderLoad,
    /// The load rises or changes from the first samples on.
    Rises,
    /// An even load of more than a part of the peak stands before the pull, kN, and not after it.
    Load(f64),
}

/// A cell without load.
#[derive(Clone, Debug, PartialEq)]
pub struct Quiet {
    /// What it shows before the pull, kN.
    pub zero_kn: f64,
    /// Samples that say so: from, and up to but not with.
    pub samples: [usize; 2],
    /// What it shows after the pull less that, kN.
    pub drift_kn: Option<f64>,
    /// Whether it is so much that it would be taken for a load, but for the same after the pull.
    pub is_large: bool,
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
    /// What loads show before and after a peak at a sample, scattering by `noise_kn`.
    ///
    /// # Errors
    /// They begin under load, or rise from the first samples on.
    pub fn of(kn: &[f64], peak: usize, noise_kn: f64) -> Result<Self, NoZero> {
        let most = kn[peak];
        let band = (BAND * most.abs()).max(BAND_NOISE * noise_kn);
        let flat = |from: usize| {
            let part = kn.get(from..from + FEWEST).filter(|_| from + FEWEST <= peak)?;
            let (low, high) = range(part);
            (high - low <= band).then(|| median(part))
        };
        // From the beginning on: what lies later may be the slow beginning of the rise.
        let changes = || {
            let first = kn.iter().take(FEWEST).fold(f64::INFINITY, |m, v| m.min(v.abs()));
            if first > UNLOADED * most.abs() { NoZero::UnderLoad } else { NoZero::Rises }
        };
        let mut level = flat(0).ok_or_else(changes)?;
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
        let whole = to;
        while to - from > 2 * FEWEST {
            let third = (to - from) / 3;
            let climbs = mean(&kn[to - third..to]) - mean(&kn[from..from + third]);
            if climbs.abs() <= (3.0 * noise_kn * (2.0 / third as f64).sqrt()).max(1e-3 * most.abs()) {
                break;
            }
            to -= ((to - from) / 8).max(1);
        }
        if creeps(kn, [from, to, whole], noise_kn, most.abs()) {
            return Err(changes());
        }
        let zero_kn = median(&kn[from..to]);
        let quiet = |is_large: bool, drift_kn: Option<f64>| Self {
            zero_kn,
            samples: [from, to],
            drift_kn,
            is_large,
            tares: tares.clone(),
        };
        let after = after(kn, peak, band);
        if zero_kn.abs() <= UNLOADED * most.abs() {
            let unloaded = after.filter(|_| after_is_low(kn, peak));
            return Ok(quiet(false, unloaded.map(|v| v - zero_kn)));
        }
        // A cell that shows so much is under load, unless it comes back to just that.
        match after.map(|v| v - zero_kn).filter(|d| d.abs() <= band.max(SAME * (most - zero_kn).abs())) {
            Some(drift) => Ok(quiet(true, Some(drift))),
            None => Err(NoZero::Load(zero_kn)),
        }
    }
}

/// Whether a stretch climbs steadily from its first sample on, in its first half as well, and on into what follows it up to `whole`: then
/// no part of it is without load.
fn creeps(kn: &[f64], [from, to, whole]: [usize; 3], noise_kn: f64, most: f64) -> bool {
    let n = (to - from) as f64;
    let climb = slope(&kn[from..to]) * (n - 1.0);
    let half = from + ((to - from) / 2).max(FEWEST);
    // What follows: the rest of the stretch, or as many samples again.
    let end = whole.max(to + FEWEST).min(kn.len() - 1);
    let onward = (kn[end] - kn[to - 1]) / (end + 1 - to) as f64;
    climb > (CREEPS_NOISE * noise_kn * (12.0 / n).sqrt()).max(CREEPS * most)
        && mean(&kn[from..to]).abs() > CREEPS * most
        && slope(&kn[from..half]) * (n - 1.0) > EVENLY * climb
        && climb > AS_FAST * onward * (n - 1.0)
}

/// The slope of the straight line through values by least squares, from one to the next.
fn slope(values: &[f64]) -> f64 {
    let (middle, mean) = (0.5 * (values.len() as f64 - 1.0), mean(values));
    let (mut along, mut square) = (0.0, 0.0);
    for (i, v) in values.iter().enumerate() {
        let x = i as f64 - middle;
        along += x * (v - mean);
        square += x * x;
    }
    along / square
}

/// What is shown at the end, where that is even.
fn after(kn: &[f64], peak: usize, band: f64) -> Option<f64> {
    let last = ending(kn, peak)?;
    let (low, high) = range(last);
    (high - low <= band).then(|| median(last))
}

/// Whether what is shown at the end is little.
fn after_is_low(kn: &[f64], peak: usize) -> bool {
    ending(kn, peak).is_some_and(|last| range(last).1 < 2.0 * UNLOADED * kn[peak])
}

/// The last samples behind a peak.
fn ending(kn: &[f64], peak: usize) -> Option<&[f64]> {
    let tail = &kn[peak..];
    let wide = (tail.len() / 10).clamp(FEWEST, 200);
    let last = tail.len().checked_sub(wide).filter(|from| *from > 0)?;
    Some(&tail[last..])
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
        assert_eq!(Quiet::of(&kn, 99, noise_kn(&kn)), Err(NoZero::UnderLoad));
    }

    #[test]
    fn a_load_that_rises_from_the_first_sample_on_is_no_zero() {
        let of = |still: usize, slope: f64, first: f64| {
            let kn: Vec<f64> = (0..900_usize)
                .map(|i| {
                    let noise = 0.002 * ((7 * i % 5) as f64 - 2.0);
                    let creep = slope * i.saturating_sub(still) as f64;
                    let rise = 0.1 * i.saturating_sub(600) as f64;
                    if i < 850 { first + creep + rise + noise } else { noise }
                })
                .collect();
            Quiet::of(&kn, 849, noise_kn(&kn))
        };
        for slope in [0.0005, 0.001, 0.003, 0.01, 0.03] {
            assert_eq!(of(0, slope, 0.2), Err(NoZero::Rises), "{slope}");
            // What was still before it creeps is a zero.
            for still in [150, 300] {
                let quiet = of(still, slope, 0.2).unwrap();
                assert!((quiet.zero_kn - 0.2).abs() < 0.02, "{slope} {still}: {quiet:?}");
            }
        }
        assert!((of(600, 0.0, 0.2).unwrap().zero_kn - 0.2).abs() < 0.003);
    }

    #[test]
    fn an_even_load_before_the_pull_is_a_zero_where_it_stands_after_it_too() {
        let of = |before: f64, after: f64| {
            let kn: Vec<f64> = (0..400)
                .map(|i| match i {
                    0..100 => before,
                    100..300 => before + 0.1 * f64::from(i - 99),
                    _ => after,
                })
                .collect();
            Quiet::of(&kn, 299, noise_kn(&kn))
        };
        for zero in [3.0, -3.0] {
            let quiet = of(zero, zero + 0.05).unwrap();
            assert!(quiet.is_large && (quiet.zero_kn - zero).abs() < 1e-9, "{quiet:?}");
            assert_eq!(of(zero, 0.0), Err(NoZero::Load(zero)));
        }
        assert!(!of(0.5, 0.5).unwrap().is_large);
    }
}
