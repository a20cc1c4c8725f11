//! A lot's pulls from the logbook, and everything that its answer depends on.

use crate::failure::Failure;
use lab::logbook::{Field, Filter, Logbook, LogbookError};
use lab::lots::{Chosen, Groups};
use lab::statistics::{Lot, Question};
use report::lot::{FromLogbook, key, no_logbook, nothing_counts};
use serde_json::{Value, json};
use std::path::Path;
use study::inputs;

/// The pulls that are asked for of the logbook.
///
/// # Errors
/// There is no logbook, it cannot be read, or no pull counts.
pub fn from_logbook(logbook: &Path, filter: &Filter, by: Option<Field>) -> Result<FromLogbook, Failure> {
    let open = Logbook::read(logbook).map_err(|error| match error {
        LogbookError::NotThere(path) => Failure::Lot(no_logbook(path.display())),
        other => other.into(),
    })?;
    let chosen = Chosen::of(open.pulls(filter)?);
    if chosen.counted.is_empty() {
        return Err(Failure::Lot(nothing_counts(logbook.display(), &chosen)));
    }
    let marking_kn = chosen.marking_kn();
    let groups = by.map(|by| Groups::of(&chosen.counted, by));
    let outcome = filter.outcome.clone();
    Ok(FromLogbook { chosen, marking_kn, outcome, groups })
}

/// Digits that stand for everything that the answer depends on.
#[must_use]
pub fn hash(lot: &Lot, question: &Question, taken: Option<&FromLogbook>) -> String {
    inputs::hash(told(lot, question, taken))
}

/// Everything that the answer depends on.
fn told(lot: &Lot, question: &Question, taken: Option<&FromLogbook>) -> Value {
    let pulls = |lot: &Lot| -> Vec<Value> {
        lot.pulls().iter().map(|pull| json!([pull.peak_kn, pull.broke])).collect()
    };
    let mut told = json!({
        "pulls": pulls(lot),
        "marking_kn": question.marking_kn,
        "spread": question.spread,
        "claim": question.claim.map(|asked| [asked.kn, asked.share, asked.confidence]),
        "at_least_kn": question.at_least_kn,
        "against": question.against.as_ref().map(pulls),
    });
    if let Some(groups) = taken.and_then(|taken| taken.groups.as_ref()) {
        told["by"] = json!(key(groups.by));
        told["groups"] = groups.groups.iter().map(|group| pulls(&group.figures.lot)).collect();
    }
    told
}
