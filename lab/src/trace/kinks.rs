//! Where the rise of a load changes its slope: once low down, where a gate takes up its part, and once high up, where metal yields.

/// What the rise is drawn against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// The way of the bench.
    Way,
    /// Time: as good as the bench's speed is even.
    Time,
}

/// A change of slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kink {
    /// Load there, kN.
    pub kn: f64,
    /// The sample nearest to it.
    pub sample: usize,
    /// Slope behind it over slope before it.
    pub slopes: f64,
}

/// A rise: what it is drawn against, and loads less the zero, with their samples.
#[derive(Clone, Debug)]
pub struct Rise {
    /// What it is drawn against.
    pub against: Against,
    x: Vec<f64>,
    kn: Vec<f64>,
    samples: Vec<usize>,
}

/// Pieces that a rise is cut into.
const PIECES: usize = 60;
/// A gate takes up its part below this part of the peak.
const LOW: f64 = 0.35;
/// The slope behind it is steeper by this at least.
const STEEPER: f64 = 1.25;
/// Two lines must fit better than one by this ratio of variances: far beyond what scatter does.
const BETTER: f64 = 12.0;
/// A knee is where the slope has come down to this part of the steepest.
const HALF: f64 = 0.5;
/// A knee lies below this part of the peak: beyond it is the peak itself.
const BELOW_PEAK: f64 = 0.97;
/// What is above this part of the peak may be the steepest.
const STEEP_FROM: f64 = 0.1;

impl Rise {
    /// The rise from one sample to the peak, with the stretches of `left_out` (holds: from, and up to but not with) taken out of it.
    /// Nothing where it has too few samples.
    #[must_use]
    pub fn of(
        kn: &[f64],
        zero_kn: f64,
        (x, against): (&[f64], Against),
        [from, peak]: [usize; 2],
        left_out: &[[usize; 2]],
    ) -> Option<Self> {
        let (mut xs, mut loads, mut samples) = (Vec::new(), Vec::new(), Vec::new());
        let mut taken_out = 0.0;
        for i in from..=peak {
            if let Some(hold) = left_out.iter().find(|h| (h[0] + 1..h[1]).contains(&i)) {
                if i == hold[0] + 1 && against == Against::Time {
                    taken_out += x[hold[1] - 1] - x[hold[0]];
                }
                continue;
            }
            xs.push(x[i] - taken_out);
            loads.push(kn[i] - zero_kn);
            samples.push(i);
        }
        let span = xs.last()? - xs.first()?;
        (xs.len() >= 12 && span > 0.0).then_some(Self { against, x: xs, kn: loads, samples })
    }

    /// The mean load of even pieces between two loads: place and load of each.
    fn pieces(&self, from: usize, to: usize, many: usize) -> Vec<[f64; 2]> {
        let (low, high) = (self.x[from], self.x[to]);
        let width = (high - low) / many as f64;
        let mut sums = vec![[0.0, 0.0, 0.0]; many];
        for i in from..=to {
            let piece = (((self.x[i] - low) / width).max(0.0) as usize).min(many - 1);
            let sum = &mut sums[piece];
            sum[0] += self.x[i];
            sum[1] += self.kn[i];
            sum[2] += 1.0;
        }
        sums.into_iter().filter(|s| s[2] > 0.0).map(|s| [s[0] / s[2], s[1] / s[2]]).collect()
    }

    fn first_above(&self, kn: f64) -> Option<usize> {
        self.kn.iter().position(|v| *v >= kn)
    }

    fn kink(&self, x: f64, kn: f64, slopes: f64) -> Kink {
        let nearest =
            (0..self.x.len()).min_by(|a, b| (self.x[*a] - x).abs().total_cmp(&(self.x[*b] - x).abs()));
        Kink { kn, sample: self.samples[nearest.unwrap_or(0)], slopes }
    }

    /// Where the rise becomes steeper low down, if it does so beyond its scatter.
    #[must_use]
    pub fn engagement(&self) -> Option<Kink> {
        let peak = *self.kn.last()?;
        let (from, to) = (self.first_above(0.01 * peak)?, self.first_above(LOW * peak)?);
        if to < from + 16 {
            return None;
        }
        let pieces = self.pieces(from, to, (to - from).min(PIECES));
        let whole = line(&pieces)?;
        let mut best: Option<(usize, [f64; 2], [f64; 2], f64)> = None;
        for split in 4..pieces.len().saturating_sub(4) {
            let (Some(first), Some(second)) = (line(&pieces[..split]), line(&pieces[split..])) else {
                continue;
            };
            let left = first[2] + second[2];
            if best.is_none_or(|b| left < b.3) {
                best = Some((split, [first[0], first[1]], [second[0], second[1]], left));
            }
        }
        let (_, first, second, left) = best?;
        let free = pieces.len() as f64 - 4.0;
        let least = 1e-12 * peak * peak;
        let better = (whole[2] - left) / 2.0 / ((left / free).max(least));
        if first[1] <= 0.0 || second[1] < STEEPER * first[1] || better < BETTER {
            return None;
        }
        // Where the two lines meet.
        let x = (first[0] - second[0]) / (second[1] - first[1]);
        let kn = first[0] + first[1] * x;
        (kn > 0.0 && kn < LOW * peak && x > pieces[0][0]).then(|| self.kink(x, kn, second[1] / first[1]))
    }

    /// Where the rise has become half as steep as it was, for good.
    #[must_use]
    pub fn knee(&self) -> Option<Kink> {
        let peak = *self.kn.last()?;
        let last = self.x.len() - 1;
        let pieces = self.pieces(0, last, (last / 2).min(PIECES));
        if pieces.len() < 9 {
            return None;
        }
        let slopes: Vec<f64> =
            (2..pieces.len() - 2).filter_map(|i| Some(line(&pieces[i - 2..=i + 2])?[1])).collect();
        if slopes.len() != pieces.len() - 4 {
            return None;
        }
        let load = |i: usize| pieces[i + 2][1];
        let steepest =
            (0..slopes.len()).filter(|i| load(*i) > STEEP_FROM * peak).map(|i| slopes[i]).fold(0.0, f64::max);
        let last_steep = (0..slopes.len()).rev().find(|i| slopes[*i] > HALF * steepest)?;
        let flat = last_steep + 1;
        if flat + 1 >= slopes.len() || load(flat) > BELOW_PEAK * peak || load(flat) < STEEP_FROM * peak {
            return None;
        }
        let part = (slopes[last_steep] - HALF * steepest) / (slopes[last_steep] - slopes[flat]).max(1e-300);
        let at = |axis: usize| {
            let (a, b) = (pieces[last_steep + 2][axis], pieces[flat + 2][axis]);
            a + part * (b - a)
        };
        Some(self.kink(at(0), at(1), HALF))
    }
}

/// The straight line through points: its value at zero, its slope, and the sum of squares that it leaves.
fn line(points: &[[f64; 2]]) -> Option<[f64; 3]> {
    let many = points.len() as f64;
    let [mx, my] = [0, 1].map(|k| points.iter().map(|p| p[k]).sum::<f64>() / many);
    let sxx: f64 = points.iter().map(|p| (p[0] - mx).powi(2)).sum();
    let sxy: f64 = points.iter().map(|p| (p[0] - mx) * (p[1] - my)).sum();
    if sxx <= 0.0 {
        return None;
    }
    let slope = sxy / sxx;
    let left = points.iter().map(|p| (p[1] - my - slope * (p[0] - mx)).powi(2)).sum();
    Some([my - slope * mx, slope, left])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Loads with slope 1 up to `take_up`, then 2.5 up to `yields`, then 0.6.
    fn rise(take_up: f64, yields: f64, noise: f64) -> (Vec<f64>, Vec<f64>) {
        let x: Vec<f64> = (0..600).map(|i| 0.02 * f64::from(i)).collect();
        let (at, then) = (take_up, take_up + (yields - take_up) / 2.5);
        let kn = x
            .iter()
            .enumerate()
            .map(|(i, x)| {
                let load = x.min(at) + 2.5 * (x - at).clamp(0.0, then - at) + 0.6 * (x - then).max(0.0);
                load + noise * ((13 * i % 7) as f64 / 3.0 - 1.0)
            })
            .collect();
        (x, kn)
    }

    #[test]
    fn both_kinks_are_where_the_slope_changes() {
        let (x, kn) = rise(1.5, 15.0, 0.02);
        let rise = Rise::of(&kn, 0.0, (&x, Against::Way), [0, 599], &[]).unwrap();
        let engaged = rise.engagement().unwrap();
        assert!((engaged.kn - 1.5).abs() < 0.1 && (engaged.slopes - 2.5).abs() < 0.2, "{engaged:?}");
        let knee = rise.knee().unwrap();
        assert!((knee.kn - 15.0).abs() < 0.4, "{knee:?}");
    }

    #[test]
    fn a_straight_rise_has_none() {
        let x: Vec<f64> = (0..300).map(f64::from).collect();
        let kn: Vec<f64> =
            x.iter().enumerate().map(|(i, x)| 0.08 * x + 0.03 * ((13 * i % 7) as f64 / 3.0 - 1.0)).collect();
        let rise = Rise::of(&kn, 0.0, (&x, Against::Time), [0, 299], &[]).unwrap();
        assert_eq!((rise.engagement(), rise.knee()), (None, None));
    }
}
