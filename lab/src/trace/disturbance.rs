//! Samples far above those beside them that fall back to where the load was: disturbances of a cell, perhaps.

use super::missed::repeats;

/// So many times the values beside it may be a disturbance.
const FAR: f64 = 1.25;
/// What lies before it was steady, and what lies behind it is the same, by this part of the jump.
const STEADY: f64 = 0.25;
/// Less far above is one as well where it is more than this part of the load and so many times the scatter, and the load goes on from where
/// it was.
const LITTLE: f64 = 0.02;
const SCATTER: f64 = 20.0;
/// It has so many samples at most.
const LONGEST: usize = 3;
/// More of them are not counted.
const MOST: usize = 100;

/// A highest load that may be a disturbance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disturbance {
    /// Samples of it.
    pub samples: usize,
    /// How often such stand in the file.
    pub times: usize,
    /// The highest of all other loads less the zero, kN.
    pub others_kn: f64,
}

/// The samples of a disturbance about a sample: from, and up to but not with.
fn about(kn: &[f64], zero: f64, peak: usize, noise_kn: f64) -> Option<[usize; 2]> {
    let most = kn[peak] - zero;
    let least = (LITTLE * most).max(SCATTER * noise_kn);
    for samples in 1..=LONGEST {
        for from in (peak + 1).saturating_sub(samples)..=peak {
            let to = from + samples;
            if to > kn.len() {
                continue;
            }
            let before = from.checked_sub(1).map(|i| kn[i] - zero);
            let second = from.checked_sub(2).map(|i| kn[i] - zero).or(before);
            let after = kn.get(to).map(|v| v - zero);
            let (Some(before), Some(second), Some(after)) =
                (before.or(after), second.or(after), after.or(before))
            else {
                continue;
            };
            let jump = most - before;
            let lowest = kn[from..to].iter().fold(f64::INFINITY, |m, v| m.min(v - zero));
            let beside = before.max(after).max(second);
            // A load that breaks falls from where it had come to, a pulse comes and goes by several samples. Of more samples than one all
            // stand out, and the load is where it was: else it was one.
            let stands_out = most > FAR * beside && (before - second).abs() < STEADY * jump;
            let returns = samples == 1 || lowest > FAR * beside && (after - before).abs() < STEADY * jump;
            // A little above those beside it, but far beyond their scatter, and the load goes on from where it was.
            let little = lowest - beside > least
                && (after - before).abs() < STEADY * jump
                && (before - second).abs() < STEADY * jump;
            if stands_out && returns || little {
                return Some([from, to]);
            }
        }
    }
    None
}

/// What the highest load is a part of, where it may be a disturbance; samples scatter by `noise_kn`.
pub(super) fn disturbance(kn: &[f64], zero: f64, peak: usize, noise_kn: f64) -> Option<Disturbance> {
    // A display that is slower than its logger shows a disturbance as often as its other values.
    let mut left: Vec<f64> = kn.to_vec();
    if repeats(kn, zero, peak) > 1 {
        left.dedup_by(|a, b| a.to_bits() == b.to_bits());
    }
    let highest = |kn: &[f64]| (0..kn.len()).max_by(|a, b| kn[*a].total_cmp(&kn[*b]).then(b.cmp(a)));
    let mut found: Option<Disturbance> = None;
    for times in 1..=MOST {
        let top = highest(&left)?;
        let Some([from, to]) = about(&left, zero, top, noise_kn) else { break };
        let samples = found.map_or(to - from, |f| f.samples);
        left.drain(from..to);
        let others_kn = left[highest(&left)?] - zero;
        found = Some(Disturbance { samples, times, others_kn });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::quiet::noise_kn;
    use super::*;

    fn of(kn: &[f64]) -> Option<Disturbance> {
        let peak = (0..kn.len()).max_by(|a, b| kn[*a].total_cmp(&kn[*b])).unwrap();
        disturbance(kn, 0.0, peak, noise_kn(kn))
    }

    /// A pull to 20 kN with something in it.
    fn with(at: usize, what: &[f64]) -> Vec<f64> {
        let mut kn: Vec<f64> =
            (0..260).map(|i| if (40..240).contains(&i) { 0.1 * f64::from(i - 39) } else { 0.0 }).collect();
        kn[at..at + what.len()].copy_from_slice(what);
        kn
    }

    #[test]
    fn up_to_three_samples_far_above_those_beside_them_are_told() {
        for (what, samples) in [
            (&[31.0][..], 1),
            (&[30.0, 31.0][..], 2),
            (&[29.0, 30.0, 31.0][..], 3),
            (&[30.0, 31.0, 28.0][..], 3),
        ] {
            for at in [100, 180, 249] {
                let found = of(&with(at, what)).unwrap_or_else(|| panic!("{what:?} at {at}"));
                assert_eq!((found.samples, found.times), (samples, 1), "{what:?} at {at}");
                assert!((found.others_kn - 20.0).abs() < 1e-9, "{found:?}");
            }
        }
        // A tenth above a load that goes on.
        assert_eq!(of(&with(230, &[22.0])).map(|f| f.samples), Some(1));
        assert_eq!(of(&with(230, &[21.8, 22.0, 21.9])).map(|f| f.samples), Some(3));
        let mut twice = with(100, &[31.0]);
        twice[200] = 32.0;
        assert_eq!(of(&twice).map(|f| f.times), Some(2));
        // At either end of the file.
        assert!(of(&with(0, &[31.0])).is_some() && of(&with(259, &[31.0])).is_some());
    }

    #[test]
    fn pulls_are_no_disturbances() {
        assert_eq!(of(&with(0, &[])), None);
        // A last rise before the break, and four samples and more.
        assert_eq!(of(&with(238, &[24.0, 28.0])), None);
        assert_eq!(of(&with(100, &[31.0, 31.5, 31.2, 31.3])), None);
        // Triangles and half sines of three samples a rise.
        assert_eq!(of(&[0.0, 0.0, 0.0, 7.0, 14.0, 20.0, 13.0, 6.0, 0.0, 0.0]), None);
        assert_eq!(of(&[0.0, 0.0, 0.0, 10.0, 17.3, 20.0, 17.3, 10.0, 0.0, 0.0]), None);
    }
}
