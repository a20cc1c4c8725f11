//! Where a connector holds a load, in words: the table, the sentences, and the JSON.

mod document;
mod names;
mod sentences;

pub use document::Document;
pub use names::{gate, load, pair, setting};
pub use sentences::{AT_ITS_MIDDLE, headline, nearest, sentence};

use crate::numbers::kilonewtons_alone;
use crate::{building, mistakes, notes};
use std::fmt::Write;
use study::model::Model;
use study::reach::{NoReach, Pair, Reach, ReachError, ReachOfGate, Tried, Verdict};

/// Width of the column of a gate.
const COLUMN: usize = 28;

/// Why there is nothing to reach.
#[must_use]
pub fn error(error: &ReachError) -> String {
    match error {
        ReachError::NoLoad => {
            "marking.closed_kn is missing, and no load was asked for\n  hint: add --load KN, or the marking to the model".to_owned()
        }
        ReachError::NoGate(reason) => no_reach(reason),
    }
}

/// Why nothing was tried with the gate in a state.
#[must_use]
pub fn no_reach(reason: &NoReach) -> String {
    match reason {
        NoReach::Model(errors) => mistakes::errors(errors),
        NoReach::System(error) => building::system(error),
    }
}

/// The least and the most that settings hold which friction keeps.
#[must_use]
pub fn range(gate: &ReachOfGate, pair: Pair) -> Option<String> {
    let kept = || gate.of_pair(pair).filter_map(Tried::kept_holds_kn);
    let (least, most) = (kept().reduce(f64::min)?, kept().reduce(f64::max)?);
    let [from, to] = [least, most].map(kilonewtons_alone);
    Some(if from == to { from } else { format!("{from} to {to}") })
}

/// Why a pair has no range: friction keeps it nowhere, or it was solved nowhere that it does.
#[must_use]
pub fn no_range(gate: &ReachOfGate, pair: Pair) -> &'static str {
    match gate.of_pair(pair).any(|tried| gate.verdict(tried) == Verdict::NotSolved) {
        true => "not solved",
        false => "slides everywhere",
    }
}

fn cell(gate: &ReachOfGate, pair: Pair) -> String {
    let fits = gate.pairs.iter().any(|(of, fits)| *of == pair && *fits);
    if gate.tried.is_err() {
        return String::new();
    }
    if !fits {
        return "does not fit".to_owned();
    }
    let of = |verdict| gate.of_pair(pair).filter(|tried| gate.verdict(tried) == verdict).count();
    let holds = of(Verdict::Holds);
    match (holds + of(Verdict::DoesNotHold), range(gate, pair)) {
        (kept, Some(range)) => format!("{holds:>2} of {kept:>2}  {range:>12}"),
        (_, None) => no_range(gate, pair).to_owned(),
    }
}

/// The answer that `reach` prints.
#[must_use]
pub fn answer(found: &Reach, model: &Model) -> String {
    let mut text = format!("{}\n{}\n", model.title, headline(found));
    let mut row = |name: &str, cells: Vec<String>| {
        let cells: String = cells.iter().map(|cell| format!("{cell:<COLUMN$}")).collect();
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{}", format!("  {name:<30}{cells}").trim_end());
    };
    row("", found.gates.iter().map(gate).collect());
    row("held, of kept; at kN", found.gates.iter().map(|gate| load(gate.load)).collect());
    for pair_of in found.pairs() {
        row(&pair(pair_of), found.gates.iter().map(|gate| cell(gate, pair_of)).collect());
    }
    for gate in &found.gates {
        let _ = writeln!(text, "{}", sentence(gate, found.friction));
    }
    let _ = writeln!(text, "{AT_ITS_MIDDLE}");
    for note in notes::notes(model) {
        let _ = writeln!(text, "Note: {note}");
    }
    text
}
