//! A pull by its trace, in a sentence.

use crate::numbers::{decimals, digits, kilonewtons};
use lab::trace::pull::{AtLeast, Disturbance, Ending, Missed, Pull};
use lab::trace::quiet::NoZero;

/// What the pull was.
#[must_use]
pub fn headline(pull: &Pull) -> String {
    let least = if pull.at_least.is_empty() { "" } else { "at least " };
    let alone = match pull.disturbance.map(|d| d.samples) {
        None => String::new(),
        Some(1) => " in a single sample".to_owned(),
        Some(several) => format!(" in {several} samples alone"),
    };
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
        AtLeast::Codes { line } => format!(
            "An error code stands in place of the load at the peak, on line {line}: the peak is a lower bound."
        ),
        AtLeast::Lost { samples } => format!(
            "{samples} {} at the peak, by the numbers of the samples: it is a lower bound.",
            if *samples == 1 { "sample is missing" } else { "samples are missing" }
        ),
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
        Missed::Slopes { slopes_kn_s: [rise, fall], gap_s, .. } => format!(
            "where straight lines from the samples beside the peak meet, {} kN/s before it and {} behind it, sampled every {} s",
            decimals(rise, 2),
            decimals(fall, 2),
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
    if let Some(found) = pull.disturbance {
        told.push(disturbed(found));
    }
    match &pull.quiet {
        Ok(quiet) if quiet.is_large => told.push(format!(
            "Before and after the pull the cell shows the same {}, more than 5 % of the highest value: taken for the zero (a tare that was not \
             set), and taken off. If it was a load, the peak is higher by it.",
            kilonewtons(quiet.zero_kn)
        )),
        Err(NoZero::Load(kn)) => told.push(format!(
            "The load before the pull is {}, and is not taken off: the cell does not come back to it afterwards.",
            kilonewtons(*kn)
        )),
        Err(NoZero::Rises) => told.push(
            "The load rises or changes from the first samples of the file on: what the cell shows without load is not known, and nothing is \
             taken off."
                .to_owned(),
        ),
        _ => {}
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
        pull.quiet.as_ref().ok().and_then(|q| q.drift_kn).filter(|d| d.abs() > 0.02 * pull.peak.kn)
    {
        told.push(format!(
            "After the pull the cell shows {} more or less than before it: the zero is uncertain by that, and the peak with it.",
            kilonewtons(drift.abs())
        ));
    }
    told
}

/// A highest load that may be a disturbance.
fn disturbed(found: Disturbance) -> String {
    let what = match found.samples {
        1 => "is a single sample far above those beside it".to_owned(),
        several => {
            format!(
                "stands in {several} samples alone, far above those beside them, and the load is then where it was"
            )
        }
    };
    let others = kilonewtons(found.others_kn);
    match found.times {
        1 => format!(
            "The highest load {what}; the highest of all others is {others}. It may be a disturbance of the cell."
        ),
        times => format!(
            "The highest load {what}; {times} such stand in the file, and the highest of all others is {others}. They may be disturbances of \
             the cell."
        ),
    }
}

/// How much that is at most, kN, where a bound is known.
#[must_use]
pub fn missed_kn(pull: &Pull) -> Option<f64> {
    match pull.missed {
        Missed::Ramp { kn, .. } | Missed::Pulse { kn, .. } | Missed::Slopes { kn, .. } => Some(kn),
        Missed::TooFew | Missed::NoClock | Missed::LowerBound => None,
    }
}
