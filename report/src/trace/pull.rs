//! A pull by its trace, in a sentence.

use crate::numbers::{decimals, digits, kilonewtons};
use lab::trace::pull::{AtLeast, Ending, Missed, Pull};

/// What the pull was.
#[must_use]
pub fn headline(pull: &Pull) -> String {
    let least = if pull.at_least.is_empty() { "" } else { "at least " };
    let alone = if pull.spike.is_some() { " in a single sample" } else { "" };
    let when = pull.peak.time_s.map_or_else(String::new, |t| format!(" after {} s", decimals(t, 2)));
    let end = match pull.ending {
        Ending::Broke { from_kn, to_kn, within_s, .. } => {
            let within = within_s.map_or_else(String::new, |s| format!(" within {} s", digits(s)));
            let from = if from_kn > 0.99 * pull.peak.kn {
                String::new()
            } else {
                format!(" from {}", kilonewtons(from_kn))
            };
            let to = if to_kn < 0.02 * pull.peak.kn { "nothing".to_owned() } else { kilonewtons(to_kn) };
            format!("it fell{from} to {to}{within}")
        }
        Ending::LetOff => "it was let off without a sudden fall".to_owned(),
        Ending::UnderLoad { kn } => format!("the file ends under {}", kilonewtons(kn)),
    };
    format!("The load reached {least}{}{alone}{when}; {end}.", kilonewtons(pull.peak.kn))
}

/// Why the load may have been more, a sentence for each reason.
#[must_use]
pub fn at_least(pull: &Pull) -> Vec<String> {
    let told = |why: &AtLeast| match why {
        AtLeast::Over { lines, first } => format!(
            "The cell had more than it can measure on {lines} {}, first on line {first}: the peak is a lower bound.",
            if *lines == 1 { "line" } else { "lines" }
        ),
        AtLeast::Flat { samples } => format!(
            "{samples} samples at the top are equal while those before them change: the cell may have been at its end, and the peak is a lower bound."
        ),
        AtLeast::AtRange { range_kn } => format!(
            "The peak is at the end of the cell's range of {}: it is a lower bound.",
            kilonewtons(*range_kn)
        ),
        AtLeast::Gap { seconds } => {
            format!("Samples are missing beside the peak, for {} s: it is a lower bound.", digits(*seconds))
        }
        AtLeast::Device { kn } => format!(
            "The device states a higher load than the file holds, {}: the peak is a lower bound.",
            kilonewtons(*kn)
        ),
        AtLeast::EndsHigh => "The file ends on its highest load: the peak is a lower bound.".to_owned(),
    };
    pull.at_least.iter().map(told).collect()
}

/// What the peak may have lost between samples.
#[must_use]
pub fn missed(pull: &Pull) -> String {
    match pull.missed {
        Missed::Ramp { slope_kn_s, gap_s, .. } => format!(
            "at {} kN/s before the peak and {} s to the next value",
            decimals(slope_kn_s, 2),
            digits(gap_s)
        ),
        Missed::Pulse { width_s, gap_s, .. } => format!(
            "of a half sine as wide as the peak, {} s at half its height, sampled every {} s",
            decimals(width_s, 3),
            digits(gap_s)
        ),
        Missed::LowerBound => "no bound: the peak is a lower bound".to_owned(),
        Missed::TooFew => "the peak has too few samples for a bound: a faster logger is needed".to_owned(),
        Missed::NoClock => "no clock; give --rate".to_owned(),
    }
}

/// What else is to be known of a pull, a sentence each.
#[must_use]
pub fn remarks(pull: &Pull) -> Vec<String> {
    let mut told = Vec::new();
    if let Some(others) = pull.spike {
        told.push(format!(
            "The highest load is a single sample far above those beside it; the highest of all others is {}. It may be a disturbance of the cell.",
            kilonewtons(others)
        ));
    }
    if pull.rises > 1 {
        told.push(format!(
            "The load rises above half of its highest {} times and falls again: several pulls, or cycles, of which the highest is told.",
            pull.rises
        ));
    }
    if pull.least_kn < -0.05 * pull.peak.kn {
        told.push(format!(
            "Loads below zero stand in the file, down to {}: a push, a tare under load, or a wrong zero.",
            kilonewtons(pull.least_kn)
        ));
    }
    if let Some(drift) =
        pull.quiet.as_ref().and_then(|q| q.drift_kn).filter(|d| d.abs() > 0.02 * pull.peak.kn)
    {
        told.push(format!(
            "After the pull the cell shows {} more or less than before it: the zero is uncertain by that, and the peak with it.",
            kilonewtons(drift.abs())
        ));
    }
    told
}

/// How much that is at most, kN, where a bound is known.
#[must_use]
pub fn missed_kn(pull: &Pull) -> Option<f64> {
    match pull.missed {
        Missed::Ramp { kn, .. } | Missed::Pulse { kn, .. } => Some(kn),
        Missed::TooFew | Missed::NoClock | Missed::LowerBound => None,
    }
}
