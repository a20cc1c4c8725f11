//! The highest load of a pull, and why it may be a lower bound.

use super::absent::AbsentWhy;
use super::clock::steps;
use super::course::Ending;
use super::recording::{Channel, Recording};
use super::remarks::Fact;

/// A gap in the times is so many times the usual step, and where nearly all steps are the same, so many times.
const GAP: f64 = 2.5;
const EVEN_GAP: f64 = 1.5;
/// A load by the device that is higher by this part was missed by the file.
const DEVICE: f64 = 5e-3;
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
    /// Error codes stand in place of loads at the peak: the first of them on this line, from 1.
    Codes {
        /// Line.
        line: u32,
    },
    /// Samples were lost at the peak, by the numbers that the file gives them.
    Lost {
        /// How many.
        samples: usize,
    },
    /// The device states a higher load, kN.
    Device {
        /// That load, kN.
        kn: f64,
    },
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

/// Whether nearly all steps of a clock are the same.
fn is_even(times: &[f64], usual: f64) -> bool {
    let same = times.windows(2).filter(|w| (w[1] - w[0] - usual).abs() < 0.1 * usual).count();
    20 * same >= 19 * (times.len() - 1)
}

pub(super) fn at_least(
    recording: &Recording,
    channel: &Channel,
    (peak, ending): (usize, Ending),
    device: Option<(f64, usize)>,
) -> Vec<AtLeast> {
    let kn = &channel.kn;
    let mut why = Vec::new();
    let absent = channel.absent_at(peak);
    match absent.map(|a| (a.why, a)) {
        Some((AbsentWhy::Code, absent)) => why.push(AtLeast::Codes { line: absent.line }),
        Some((AbsentWhy::Lost, absent)) => why.push(AtLeast::Lost { samples: absent.samples }),
        None => {}
    }
    if let Some((kn, _)) = device.filter(|(device, _)| *device > (1.0 + DEVICE) * kn[peak]) {
        why.push(AtLeast::Device { kn });
    }
    if let Some(times) = &channel.times_s {
        let usual = steps(times).0;
        let most_usual = if is_even(times, usual) { EVEN_GAP } else { GAP };
        let after = times.get(peak + 1).map_or(0.0, |next| next - times[peak]);
        let before = if peak > 0 { times[peak] - times[peak - 1] } else { 0.0 };
        let seconds = after.max(before);
        if seconds > most_usual * usual && channel.over.is_empty() && absent.is_none() {
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
