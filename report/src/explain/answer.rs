//! The short plain answer of `explain`.

use super::{Explanation, RankedCause};
use crate::failure_modes::{name, with_article};
use crate::numbers::{kilonewtons, likelihood};
use std::fmt::Write;
use study::explain::NearTie;

/// Less than this of the likelihood in lines that are left out is not given.
pub const LEAST_OTHERS: f64 = 0.01;

/// Whether the load shown is that of the part that fails first, and the pull would have gone on to another.
#[must_use]
pub fn goes_on(cause: &RankedCause) -> bool {
    kilonewtons(cause.pull_ends_at_kn) != kilonewtons(cause.peak_kn)
}

/// What is told beside a part that fails first elsewhere: "; the gate (torn out at the hinge pin) may have gone before it, at
/// 18.1 kN".
#[must_use]
pub fn tie_in_words(cause: &RankedCause) -> String {
    let tie = |tie: &NearTie| {
        format!("; {} may have gone before it, at {}", with_article(tie.what), kilonewtons(tie.at_kn))
    };
    cause.near_tie.as_ref().map_or_else(String::new, tie)
}

/// The answer that `explain` prints.
#[must_use]
pub fn answer(found: &Explanation) -> String {
    let mut text = format!("{}\nAs entered: {}\n{}\n", found.connector, found.rig, found.sentence);
    // Writing to a string cannot fail.
    if found.explained {
        let _ = writeln!(
            text,
            "  {:<9} {:>8}  {:<34}  cause, most likely value (likely values)",
            "likely", "peak", "fails first"
        );
    }
    for cause in &found.causes {
        let mut range = if cause.likely.is_empty() { String::new() } else { format!(" ({})", cause.likely) };
        range.push_str(&tie_in_words(cause));
        if goes_on(cause) {
            let _ = write!(range, "; pulled on, it ends at {}", kilonewtons(cause.pull_ends_at_kn));
        }
        if !cause.misses.is_empty() {
            let _ = write!(range, "; {}", cause.misses);
        }
        let _ = writeln!(
            text,
            "  {:<9} {:>5.1} kN  {:<34}  {}{range}",
            likelihood(cause.likelihood),
            cause.peak_kn,
            name(cause.fails_first),
            cause.cause,
        );
    }
    if found.others_likelihood >= LEAST_OTHERS {
        let _ = writeln!(
            text,
            "  {:<9} {:>8}  {:<34}  others, each less likely",
            likelihood(found.others_likelihood),
            "",
            ""
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
         judgement (--json lists them).",
        found.solved,
        100.0 * found.scatter
    );
    text
}
