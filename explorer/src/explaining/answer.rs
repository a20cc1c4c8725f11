//! The short plain answer of `explain`.

use super::Explanation;
use super::causes::AS_TOLD_FAMILY;
use std::fmt::Write;

fn observed(found: &Explanation) -> String {
    match found.place {
        Some(place) => format!("{:.1} kN, broken at the {place}", found.broke_at_kn),
        None => format!("{:.1} kN", found.broke_at_kn),
    }
}

pub(super) fn percent(likelihood: f64) -> String {
    if likelihood < 0.01 { "below 1 %".to_owned() } else { format!("{:.0} %", 100.0 * likelihood) }
}

/// The answer in a sentence.
pub(super) fn sentence(found: &Explanation) -> String {
    let seen = observed(found);
    let Some(first) = found.causes.first() else {
        let range = match (&found.closest, found.place) {
            (Some(c), Some(place)) if c.reachable_kn.is_none() => {
                return format!(
                    "Nothing within the ranges explains {seen}: nothing breaks at the {place}. The nearest load elsewhere is \
                     {:.1} kN: {}.",
                    c.breaks_at_kn, c.cause
                );
            }
            (Some(c), _) => c,
            (None, _) => return format!("Nothing within the ranges explains {seen}."),
        };
        let [low, high] = range.reachable_kn.unwrap_or([range.breaks_at_kn; 2]);
        let (low, high) = (format!("{low:.1}"), format!("{high:.1}"));
        let reach = if low == high { low } else { format!("{low} to {high}") };
        return format!(
            "Nothing within the ranges explains {seen}: they reach {reach} kN. The nearest is {:.1} kN: {}.",
            range.breaks_at_kn, range.cause
        );
    };
    if first.family == AS_TOLD_FAMILY {
        return format!(
            "Nothing need have been other than told: {seen}{} is within the scatter of the {:.1} kN forecast.",
            if found.place.is_some() { "," } else { "" },
            first.breaks_at_kn
        );
    }
    // A hundred percent of what was weighed is not certainty.
    let weighed = match percent(first.likelihood).as_str() {
        "100 %" => "Of what is weighed here only one thing fits".to_owned(),
        share => format!("Most likely ({share})"),
    };
    format!(
        "It broke at {:.1} kN{}; as told it would have borne {:.1} kN. {weighed}: {}.",
        found.broke_at_kn,
        found.place.map_or_else(String::new, |p| format!(" at the {p}")),
        found.as_told.breaks_at_kn,
        first.cause
    )
}

/// The answer that `explain` prints.
#[must_use]
pub fn answer(found: &Explanation) -> String {
    let mut text = format!("{}\nAs told: {}\n{}\n", found.connector, found.rig, found.sentence);
    // Writing to a string cannot fail.
    if found.explained {
        let _ = writeln!(
            text,
            "  {:<9} {:>8}  {:<34}  cause, most likely value (likely values)",
            "likely", "gives", "first"
        );
    }
    for cause in &found.causes {
        let range = if cause.likely.is_empty() { String::new() } else { format!(" ({})", cause.likely) };
        let _ = writeln!(
            text,
            "  {:<9} {:>5.1} kN  {:<34}  {}{range}",
            percent(cause.likelihood),
            cause.breaks_at_kn,
            cause.gives_first,
            cause.cause,
        );
    }
    for (i, line) in found.measure_next.iter().enumerate() {
        let _ = writeln!(text, "{} {line}", if i == 0 { "Measure next:" } else { "         or:" });
    }
    for marking in &found.marking {
        let _ = writeln!(text, "{}", marking.sentence);
    }
    let _ = writeln!(
        text,
        "{} settings solved; a load fits within {:.0} % (one standard deviation). Chances beforehand are engineering \
         judgement.",
        found.solved,
        100.0 * found.scatter
    );
    text
}
