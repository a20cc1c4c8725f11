//! What a pull was by its trace: peak and how much of it may have been missed, how it rose, what happened on the way, how it ended.

use super::clock::steps;
use super::course::{ending, holds, rate, rises, slips};
use super::disturbance::disturbance;
use super::kinks::{Against, Kink, Rise};
use super::missed::missed;
use super::peak::{at_least, device};
use super::quiet::{NoZero, Quiet, noise_kn};
use super::recording::{Channel, Recording};

pub use super::course::{Ending, Hold, Slip};
pub use super::disturbance::Disturbance;
pub use super::missed::Missed;
pub use super::peak::{AtLeast, Peak};

/// A pull.
#[derive(Clone, Debug, PartialEq)]
pub struct Pull {
    /// What the cell shows without load.
    pub quiet: Result<Quiet, NoZero>,
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
    /// Where the peak is one to three samples far above those beside them, which may be a disturbance: what they are.
    pub disturbance: Option<Disturbance>,
    /// How often the load rose above half the peak and fell below a fifth of it.
    pub rises: usize,
    /// The lowest load less the zero, kN.
    pub least_kn: f64,
    /// Usual time between samples, s; longer gaps, and the longest, s.
    pub steps: Option<(f64, usize, f64)>,
}

impl Pull {
    /// What the cell shows without load, kN; zero where that is not known.
    #[must_use]
    pub fn zero_kn(&self) -> f64 {
        self.quiet.as_ref().map_or(0.0, |quiet| quiet.zero_kn)
    }

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
        let disturbance = disturbance(kn, zero, peak, noise);
        let rate = times.and_then(|t| rate(kn, t, zero, from, peak)).filter(|_| disturbance.is_none());
        let holds = times.map_or_else(Vec::new, |t| holds(kn, t, zero, (from, peak), noise, rate));
        let (x, against) = match (channel.way_mm.as_deref(), times) {
            (Some(way), _) => (Some(way), Some(Against::Way)),
            (None, Some(times)) => (Some(times), Some(Against::Time)),
            (None, None) => (None, None),
        };
        let out: Vec<[usize; 2]> = holds.iter().map(|h| h.samples).collect();
        let rise = match (x, against) {
            // A disturbance on the way is no way up.
            (Some(x), Some(against)) if disturbance.is_none() => {
                Rise::of(kn, zero, (x, against), [from, peak], &out)
            }
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
            missed: match () {
                () if !at_least.is_empty() => Missed::LowerBound,
                () if disturbance.is_some() => Missed::TooFew,
                () => missed(kn, times, zero, peak, noise),
            },
            at_least,
            device,
            disturbance,
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trace::Asked;
    use crate::trace::recording::{Found, read};
    use std::fmt::Write as _;

    fn of(rows: impl Iterator<Item = (f64, f64)>) -> Pull {
        let mut text = String::from("time_s,force_kN\n");
        for (t, f) in rows {
            writeln!(text, "{t:.6},{f:.4}").unwrap();
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
            // So few samples may be of a sharper top as well: the bound is that of straight lines where it is the larger.
            let (Missed::Pulse { kn, .. } | Missed::Slopes { kn, .. }) = pull.missed else {
                panic!("{:?}", pull.missed)
            };
            assert!((20.0 - pull.peak.kn) <= kn, "{width} s at {hz} Hz: {kn} of {lost}");
        }
    }

    #[test]
    fn a_round_top_of_many_samples_may_have_lost_little() {
        for hz in [100.0, 160.0] {
            let pull = of((-40..(0.5 * hz) as i32 + 40).map(|i| {
                let t = (f64::from(i) + 0.5) / hz;
                let load =
                    if (0.0..0.5).contains(&t) { 20.0 * (std::f64::consts::PI * t / 0.5).sin() } else { 0.0 };
                (f64::from(i + 40) / hz, load)
            }));
            // Of a half sine of half a second: 20 kN times 1 - cos(pi / (2 f T)).
            let loss = 20.0 * (1.0 - (std::f64::consts::FRAC_PI_2 / (0.5 * hz)).cos());
            let (Missed::Pulse { kn, .. } | Missed::Slopes { kn, .. }) = pull.missed else {
                panic!("{:?}", pull.missed)
            };
            assert!(20.0 - pull.peak.kn <= kn && kn < 5.0 * loss, "{hz} Hz: {kn} of {loss}");
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
    fn counts_at_their_end_make_the_peak_a_lower_bound() {
        let asked = Asked {
            counts_per_unit: Some(1500.0),
            unit: Some(crate::force_unit::ForceUnit::KN),
            ..Asked::default()
        };
        let mut text = String::from("time_s,raw\n");
        for i in 0..120 {
            let count = if (20..90).contains(&i) { (900 * (i - 19)).min(32_767) } else { 0 };
            writeln!(text, "{:.1},{count}", 0.1 * f64::from(i)).unwrap();
        }
        let Found::Recording(recording) = read(text.as_bytes(), &asked).unwrap() else { panic!() };
        let pull = Pull::of(&recording, &recording.channels[0]);
        assert!(matches!(pull.at_least[..], [AtLeast::Over { lines: 34, .. }]), "{:?}", pull.at_least);
        assert!((pull.peak.kn - 21.6).abs() < 1e-9, "{:?}", pull.peak);
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

    /// Pulls that rise to 20 kN within one second from nothing and come down again, by what they are called.
    fn drawn(shape: usize, t: f64) -> f64 {
        let (rises, falls) = ((0.0..=1.0).contains(&t), (1.0..2.0).contains(&t));
        20.0 * match shape {
            // A triangle, and one that breaks at its top.
            0 if rises || falls => 1.0 - (t - 1.0).abs(),
            1 if rises => t,
            // A half sine, and one that breaks at its top.
            2 if rises || falls => (0.5 * std::f64::consts::PI * t).sin(),
            3 if rises => (0.5 * std::f64::consts::PI * t).sin(),
            // Steeper and steeper until it breaks, or comes down as it rose.
            4 if rises => (3.0 * t).exp_m1() / 3.0_f64.exp_m1(),
            5 if rises || falls => (3.0 * (1.0 - (t - 1.0).abs())).exp_m1() / 3.0_f64.exp_m1(),
            // Less and less steep until it breaks, or dies away.
            6 if rises => (-3.0 * t).exp_m1() / (-3.0_f64).exp_m1(),
            7 if rises => t,
            7 if t > 1.0 => (3.0 * (1.0 - t)).exp(),
            // A half sine squared: a soft beginning, a round top.
            8 if rises || falls => (0.5 * std::f64::consts::PI * t).sin().powi(2),
            _ => 0.0,
        }
    }

    #[test]
    fn the_bound_holds_the_true_peak_of_drawn_pulls_at_any_phase() {
        let mut state = 0x9e37_79b9_7f4a_7c15_u64;
        let mut wrong = Vec::new();
        let (mut bounded, mut widest) = (0, 0.0_f64);
        for shape in 0..9 {
            for per_rise in [3, 4, 5, 6, 8, 10, 13, 17, 22, 28, 36, 50] {
                for _ in 0..12 {
                    state ^= state << 13;
                    state ^= state >> 7;
                    state ^= state << 17;
                    let phase = (state >> 11) as f64 / (1_u64 << 53) as f64;
                    let step = 1.0 / f64::from(per_rise);
                    let pull = of((-20..6 * per_rise).map(|i| {
                        let t = step * (f64::from(i) + phase);
                        (step * f64::from(i + 20), drawn(shape, t))
                    }));
                    let missed = match pull.missed {
                        Missed::Ramp { kn, .. } | Missed::Pulse { kn, .. } | Missed::Slopes { kn, .. } => kn,
                        _ => continue,
                    };
                    if pull.disturbance.is_some() {
                        continue;
                    }
                    bounded += 1;
                    widest = widest.max(if per_rise >= 10 { missed } else { 0.0 });
                    let lost = 20.0 - pull.peak.kn;
                    if lost > missed + 1e-3 {
                        wrong.push(format!(
                            "shape {shape}, {per_rise} a rise, {phase:.3}: {lost:.3} of {:?}",
                            pull.missed
                        ));
                    }
                }
            }
        }
        assert!(wrong.is_empty(), "{} of {bounded}, widest {widest}:\n{}", wrong.len(), wrong.join("\n"));
        assert!(bounded > 1100, "{bounded}");
    }
}
