//! The table of a pull by its trace, and the marks of its curve.

use super::pull::{missed, missed_kn};
use crate::numbers::{decimals, kilonewtons, plain};
use lab::trace::kinks::Against;
use lab::trace::pull::{Ending, Hold, Pull};
use lab::trace::quiet::NoZero;
use lab::trace::recording::Channel;

/// A line of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it is.
    pub what: String,
    /// Its value.
    pub value: String,
    /// What is to be known beside.
    pub more: String,
}

/// More slips and holds than this are counted, not listed.
const LISTED: usize = 3;

/// A load to hundredths: what a cell resolves.
fn fine(kn: f64) -> String {
    format!("{} kN", decimals(kn, 2))
}

fn seconds(times: Option<&[f64]>, sample: usize) -> String {
    match times {
        Some(times) => format!("at {} s", decimals(times[sample], 2)),
        None => format!("sample {}", sample + 1),
    }
}

/// The table of a pull.
#[must_use]
pub fn rows(pull: &Pull, channel: &Channel) -> Vec<Row> {
    let times = channel.times_s.as_deref();
    let mut rows = Vec::new();
    let mut row =
        |what: &str, value: String, more: String| rows.push(Row { what: what.to_owned(), value, more });
    match &pull.quiet {
        Ok(quiet) => {
            let drift = quiet.drift_kn.map_or_else(String::new, |d| format!("; {} kN afterwards", signed(d)));
            let [from, to] = quiet.samples;
            row(
                "shows without load",
                fine(quiet.zero_kn),
                format!("{} samples before the pull{drift}", to - from),
            );
            for (sample, by) in &quiet.tares {
                row(
                    "jump before the pull",
                    format!("{} kN", signed(*by)),
                    format!("{}: as by a tare; the zero behind it counts", seconds(times, *sample)),
                );
            }
        }
        Err(why) => row(
            "shows without load",
            "unknown".to_owned(),
            match why {
                NoZero::UnderLoad => "the file begins under load: nothing is subtracted".to_owned(),
                NoZero::Rises => "the first samples rise or change already: nothing is subtracted".to_owned(),
                NoZero::Load(kn) => format!("{} stand before the pull: nothing is subtracted", fine(*kn)),
            },
        ),
    }
    row("scatter from sample to sample", format!("{} kN", decimals(pull.noise_kn, 3)), String::new());
    if let Some(kink) = pull.engagement {
        row(
            "rises more steeply from",
            fine(kink.kn),
            format!(
                "{} times; as when a gate takes up its part; {}",
                decimals(kink.slopes, 1),
                against(pull.against)
            ),
        );
    }
    if let Some(knee) = pull.knee {
        row("rises half as steeply from", fine(knee.kn), format!("the knee, {}", against(pull.against)));
    }
    for slip in pull.slips.iter().take(LISTED) {
        row("slips", fine(slip.from_kn), format!("{}, to {}", seconds(times, slip.sample), fine(slip.to_kn)));
    }
    if pull.slips.len() > LISTED {
        row("slips in all, of which the first are told", pull.slips.len().to_string(), String::new());
    }
    for hold in longest(pull) {
        row(
            "held at",
            fine(hold.kn),
            format!("for {} s; it {}", decimals(hold.seconds, 1), changed(hold.fell_kn)),
        );
    }
    if pull.holds.len() > LISTED {
        row("holds in all, the longest are told", pull.holds.len().to_string(), String::new());
    }
    if let Some(rate) = pull.rate_kn_s {
        row(
            "rate of the rise",
            format!("{} kN/s", decimals(rate, 2)),
            "from a fifth to four fifths of the peak".to_owned(),
        );
    }
    let read = format!("line {}; {} as read", pull.peak.line, fine(pull.peak.read_kn));
    row("highest load", fine(pull.peak.kn), read);
    match missed_kn(pull) {
        Some(kn) => row("between samples at most", format!("+{}", fine(kn)), missed(pull)),
        None => row("between samples", "unknown".to_owned(), missed(pull)),
    }
    if let Some((kn, line)) = pull.device {
        let more = kn - pull.peak.read_kn;
        let beside = if more.abs() < 5e-3 {
            format!("line {line}: as in the values")
        } else {
            format!("line {line}: {} kN beside the highest value", signed(more))
        };
        row("highest load by the device", fine(kn), beside);
    }
    match pull.ending {
        Ending::Broke { sample, from_kn, to_kn, .. } => {
            row("falls suddenly", fine(from_kn), format!("{}, to {}", seconds(times, sample), fine(to_kn)));
        }
        Ending::LetOff => row(
            "end",
            "let off".to_owned(),
            "no sudden fall: nothing broke, or it gave way slowly".to_owned(),
        ),
        Ending::UnderLoad { kn } => row("end", fine(kn), "the file ends under load".to_owned()),
    }
    if let Some(energy) = pull.energy_j {
        row(
            "work of the bench",
            format!("{} J", plain((10.0 * energy).round() / 10.0)),
            "over its way, up to the end".to_owned(),
        );
    }
    rows
}

/// The longest holds, in their order.
fn longest(pull: &Pull) -> Vec<&Hold> {
    let mut holds: Vec<&Hold> = pull.holds.iter().collect();
    holds.sort_by(|a, b| b.seconds.total_cmp(&a.seconds));
    holds.truncate(LISTED);
    holds.sort_by_key(|h| h.samples[0]);
    holds
}

fn changed(fell_kn: f64) -> String {
    let by = fine(fell_kn.abs());
    if fell_kn.abs() < 5e-3 {
        "kept still".to_owned()
    } else if fell_kn > 0.0 {
        format!("fell by {by} meanwhile")
    } else {
        format!("rose by {by} meanwhile")
    }
}

fn signed(kn: f64) -> String {
    let told = decimals(kn, 2);
    if told.starts_with('-') { told } else { format!("+{told}") }
}

fn against(against: Option<Against>) -> &'static str {
    match against {
        Some(Against::Way) => "against the way of the bench",
        _ => "against time, which is as good as the bench's speed is even",
    }
}

/// What is marked on the curve: its sample, and words.
#[must_use]
pub fn marks(pull: &Pull) -> Vec<(usize, String)> {
    let mut marks = Vec::new();
    if let Some(kink) = pull.engagement {
        marks.push((kink.sample, format!("rises more steeply from {}", kilonewtons(kink.kn))));
    }
    if let Some(knee) = pull.knee {
        marks.push((knee.sample, format!("knee {}", kilonewtons(knee.kn))));
    }
    marks.extend(
        pull.slips.iter().take(LISTED).map(|s| (s.sample, format!("slips {}", kilonewtons(s.from_kn)))),
    );
    marks.extend(longest(pull).into_iter().map(|h| {
        (h.samples[1] - 1, format!("held at {} for {} s", kilonewtons(h.kn), decimals(h.seconds, 1)))
    }));
    let least = if pull.at_least.is_empty() { "" } else { "at least " };
    marks.push((pull.peak.sample, format!("highest load {least}{}", kilonewtons(pull.peak.kn))));
    if let Ending::Broke { sample, from_kn, .. } = pull.ending
        && sample != pull.peak.sample
    {
        marks.push((sample, format!("falls suddenly from {}", kilonewtons(from_kn))));
    }
    marks.sort_by_key(|m| m.0);
    marks
}
