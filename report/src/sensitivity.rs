//! What was varied one at a time, and what it did: as a table with a sentence, and as JSON.

use crate::numbers::plain;
use crate::{locations, unknowns};
use serde::Serialize;
use std::fmt::Write;
use study::sensitivity::{Sensitivity, Varied, Watched};
use study::unknowns::clearance_key;

/// One thing that was varied, as it is written.
#[derive(Clone, Debug, Serialize)]
struct VariationDocument {
    /// What was varied, in words.
    what: String,
    /// True when this is about the program's own numbers (mesh, breadth kept), not about the connector.
    numerical: bool,
    /// Each value tried, in words, and the numbers at it.
    tried: Vec<(String, Watched)>,
}

/// Everything that was varied, as it is written.
#[derive(Clone, Debug, Serialize)]
pub struct Document {
    /// As it is.
    base: Watched,
    /// One entry per thing varied.
    variations: Vec<VariationDocument>,
}

impl Document {
    /// What was varied, with its words.
    #[must_use]
    pub fn new(found: &Sensitivity) -> Self {
        let variations = found.variations.iter().map(|variation| VariationDocument {
            what: what(&variation.varied),
            numerical: variation.varied.is_numerical(),
            tried: variation.tried.iter().map(|(v, w)| (value(&variation.varied, *v), *w)).collect(),
        });
        Self { base: found.base, variations: variations.collect() }
    }
}

/// What is varied, or its key.
fn what(varied: &Varied) -> String {
    match varied {
        Varied::MeshUnknowns => "mesh: unknowns".to_owned(),
        Varied::BreadthKept => "breadth kept at round edges".to_owned(),
        Varied::StrapStiffness => "stiffness of the straps".to_owned(),
        Varied::Clearance(pin) => clearance_key(*pin).to_owned(),
        Varied::Unknown(unknown) => unknowns::what(unknown),
    }
}

/// A value that was tried.
fn value(varied: &Varied, value: f64) -> String {
    match varied {
        Varied::MeshUnknowns | Varied::StrapStiffness => format!("{} times", plain(value)),
        Varied::BreadthKept => format!("{} %", plain(100.0 * value)),
        Varied::Clearance(_) => format!("{value:.2} mm"),
        Varied::Unknown(unknown) => unknowns::value(unknown, value),
    }
}

/// A short table and one sentence.
#[must_use]
pub fn table(found: &Sensitivity) -> String {
    let number =
        |value: Option<f64>, digits: usize| value.map_or_else(|| "-".to_owned(), |v| format!("{v:.digits$}"));
    let mut out = format!(
        "\nSensitivity, one thing varied at a time:\n{:<34} {:>12} {:>10} {:>10} {:>14} {:>12}\n",
        "what", "value", "gate, %", "engages", "highest stress", "first yield"
    );
    let mut line = |what: &str, tried: &str, w: &Watched| {
        // Writing to a string cannot fail.
        let _ = writeln!(
            out,
            "{what:<34} {tried:>12} {:>10.1} {:>10} {:>14} {:>12}",
            100.0 * w.gate_fraction,
            number(w.gate_engages_at_kn, 2),
            number(w.peak_mpa, 0),
            number(w.first_yield_kn, 2)
        );
    };
    line("as it is", "", &found.base);
    for variation in &found.variations {
        let what = what(&variation.varied);
        for (index, (tried, watched)) in variation.tried.iter().enumerate() {
            line(if index == 0 { &what } else { "" }, &value(&variation.varied, *tried), watched);
        }
    }
    // Writing to a string cannot fail.
    let _ = writeln!(out, "The highest stress is that {}.\n{}", locations::AWAY, sentence(found));
    out
}

/// How good the gate's part of the pull is as a computation, and what matters most of what was varied.
#[must_use]
pub fn sentence(found: &Sensitivity) -> String {
    let percent = 100.0 * found.base.gate_fraction;
    let points = |numerical: bool| found.strongest(numerical).map(|v| (v, 100.0 * found.change(v)));
    // Below a tenth of a point the digits say nothing.
    let numerical = points(true).map_or(0.0, |(_, points)| points).max(0.1);
    match points(false) {
        Some((variation, points)) => format!(
            "The gate's {percent:.0} % is good to {numerical:.1} points as a computation; of what was varied, {} matters \
             most: {points:.1} points.",
            what(&variation.varied),
        ),
        None => format!("The gate's {percent:.0} % is good to {numerical:.1} points as a computation."),
    }
}
