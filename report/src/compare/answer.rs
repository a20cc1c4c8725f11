//! The answer that `compare` prints.

use super::document::{Document, VariantInWords};
use super::names::title;
use super::rigs::rigs;
use crate::beyond::in_full;
use crate::letters::plain;
use crate::numbers::kilonewtons;
use crate::{failure_modes, locations};
use std::fmt::Write;
use study::compare::Compared;

/// Letters of the narrowest column of labels.
const NARROWEST: usize = 8;

/// A table of the variants, how each later one differs from the first, and what is to be known about them. `document` tells the
/// same comparison.
#[must_use]
pub fn answer<E>(compared: &Compared<E>, document: &Document) -> String {
    let mut text = format!("{}\n{}\n", plain(&title(compared)), plain(&rigs(compared)));
    let wide = document.variants.iter().map(|v| v.label.chars().count()).max().unwrap_or(0).max(NARROWEST);
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "{:<wide$}  {:>6} {:>10} {:>12} {:>12} {:>14}  fails first",
        "", "gate", "spine", "forecast", "first yield", "highest stress"
    );
    for v in &document.variants {
        let or_dash = |told: Option<String>| told.unwrap_or_else(|| "-".to_owned());
        let _ = writeln!(
            text,
            "{:<wide$}  {:>4.0} % {:>10} {:>12} {:>12} {:>14}  {} ({})",
            v.label,
            100.0 * v.gate_fraction,
            kilonewtons(v.spine_kn),
            kilonewtons(v.peak_kn),
            or_dash(v.first_yield_kn.map(kilonewtons)),
            or_dash(v.peak.as_ref().map(|peak| format!("{:.0} MPa", peak.von_mises_mpa))),
            failure_modes::name(v.fails_first),
            kilonewtons(v.fails_at_kn)
        );
    }
    for difference in &document.differences {
        let _ = writeln!(text, "{}", difference.sentence);
    }
    // Where the gate carries nothing, first yield supposes nothing of it.
    let supposes =
        |v: &&VariantInWords| v.gate_fraction > 0.0 && v.first_yield_kn.is_some_and(|kn| kn > v.fails_at_kn);
    for v in document.variants.iter().filter(supposes) {
        let _ = writeln!(
            text,
            "Note: {}: its first yield supposes that what fails first, at {}, still holds",
            v.label,
            kilonewtons(v.fails_at_kn)
        );
    }
    for v in &document.variants {
        for beyond in &v.beyond {
            let _ = writeln!(text, "Note: {}: {}", v.label, in_full(beyond));
        }
    }
    let _ = writeln!(text, "Note: the highest stress is that {}", locations::AWAY);
    for note in &document.assumed {
        let _ = writeln!(text, "Note: {note}");
    }
    for left in &document.left_out {
        let _ = writeln!(text, "Left out: {}: {}", left.label, left.reason);
    }
    text
}
