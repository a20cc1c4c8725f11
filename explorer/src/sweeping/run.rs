//! Runs the points of a sweep in parallel.
//!
//! Points that differ in the rig only share one system: meshing and factoring is most of the work. A point that cannot be
//! computed is a row with its reason, never the end of the sweep.

use super::mistake::SweepError;
use super::plan::Plan;
use super::point::{Found, solve_point};
use super::record::Record;
use rayon::prelude::*;
use report::{building, mistakes};
use serde::{Deserialize, Serialize};
use std::sync::{Mutex, PoisonError};
use study::model::{Model, ModelErrors};
use study::{CaseError, Engine, Watch};

/// A finished point.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Row {
    /// Which point.
    pub point: usize,
    /// What was found, or why nothing was.
    pub outcome: Outcome,
}

/// What became of a point.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Outcome {
    /// Computed.
    Done(Box<Found>),
    /// Not computed: the reason, on one line.
    Failed(String),
}

impl Row {
    /// What was found, if anything.
    #[must_use]
    pub fn found(&self) -> Option<&Found> {
        match &self.outcome {
            Outcome::Done(found) => Some(found),
            Outcome::Failed(_) => None,
        }
    }
}

fn failed(reason: &str) -> Outcome {
    Outcome::Failed(reason.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Computes the points that `finished` lacks; every row, in order. Each new row goes to the record as it comes, and `tick`
/// is told.
///
/// # Errors
/// The record cannot be written.
pub fn run(
    plan: &Plan,
    finished: Vec<Row>,
    record: &mut Record,
    tick: &(dyn Fn() + Sync),
) -> Result<Vec<Row>, SweepError> {
    let mut rows: Vec<Option<Row>> = vec![None; plan.len()];
    for row in finished {
        let point = row.point;
        rows[point] = Some(row);
    }
    let missing: Vec<usize> = (0..plan.len()).filter(|p| rows[*p].is_none()).collect();
    let record = Mutex::new(record);
    let keep = |point: usize, outcome: Outcome| -> Result<Row, SweepError> {
        let row = Row { point, outcome };
        record.lock().unwrap_or_else(PoisonError::into_inner).add(&row)?;
        tick();
        Ok(row)
    };
    let engine = Engine::default();
    // Batches bound what is held at once: the models of ten million points do not fit.
    for batch in missing.chunks(BATCH) {
        let models: Vec<(usize, Result<Model, String>)> =
            batch.par_iter().map(|p| (*p, plan.model(*p).map_err(|e| in_short(&e)))).collect();
        let mut new_rows = Vec::new();
        let (mut points, mut cases) = (Vec::new(), Vec::new());
        for (point, model) in models {
            match model {
                Err(reason) => new_rows.push(keep(point, failed(&reason))?),
                Ok(model) => {
                    points.push(point);
                    cases.push(model.case(plan.settings));
                }
            }
        }
        let solved = engine.each(&cases, &Watch::quiet(), &|system, case, i| {
            let outcome = match solve_point(system, case) {
                Ok(found) => Outcome::Done(Box::new(found)),
                Err(error) => failed(&building::rig(&error)),
            };
            Ok(keep(points[i], outcome))
        });
        for (point, row) in points.iter().zip(solved) {
            new_rows.push(match row {
                Ok(row) => row?,
                Err(CaseError::System(error)) => {
                    keep(*point, failed(&building::system(&error).replace('\n', "; ")))?
                }
                Err(other) => keep(*point, failed(&other.to_string()))?,
            });
        }
        for row in new_rows {
            let point = row.point;
            rows[point] = Some(row);
        }
    }
    Ok(rows.into_iter().flatten().collect())
}

/// Points whose models are held at once.
const BATCH: usize = 4096;

/// The mistakes of a model without its file's name and lines, which are the same in all rows.
fn in_short(errors: &ModelErrors) -> String {
    let all: Vec<String> =
        errors.0.iter().map(|m| format!("{}: {}", m.key, mistakes::problem(&m.problem))).collect();
    all.join("; ")
}
