//! Runs the points of a sweep in parallel.
//!
//! Points that differ in the rig only share one system: meshing and factoring is most of the work. A point that cannot be
//! computed is a row with its reason, never the end of the sweep.

use super::mistake::SweepError;
use super::plan::Plan;
use super::point::{Found, solve_point};
use super::record::Record;
use crate::mapping::gate_place;
use crate::model_file::{Model, key_of};
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use solver::system::System;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

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
    // Batches bound what is held at once: the models of ten million points do not fit.
    for batch in missing.chunks(BATCH) {
        let models: Vec<(usize, Result<Model, String>)> =
            batch.par_iter().map(|p| (*p, plan.model(*p).map_err(|e| in_short(&e)))).collect();
        let mut groups: BTreeMap<String, Vec<(usize, Model)>> = BTreeMap::new();
        let mut order: Vec<String> = Vec::new();
        let mut new_rows = Vec::new();
        for (point, model) in models {
            match model {
                Err(reason) => new_rows.push(keep(point, failed(&reason))?),
                Ok(model) => {
                    let shape = shape_of(&model);
                    let group = groups.entry(shape.clone()).or_insert_with(|| {
                        order.push(shape);
                        Vec::new()
                    });
                    group.push((point, model));
                }
            }
        }
        let groups: Vec<Vec<(usize, Model)>> = order.iter().filter_map(|s| groups.remove(s)).collect();
        let solved: Vec<Result<Vec<Row>, SweepError>> =
            groups.par_iter().with_max_len(1).map(|group| solve_group(plan, group, &keep)).collect();
        for group in solved {
            new_rows.extend(group?);
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

/// Everything that meshing and factoring depends on.
fn shape_of(model: &Model) -> String {
    format!("{:?} {:?} {:?}", model.connector, gate_place(model.rig.gate), model.materials)
}

/// The mistakes of a model without its file's name and lines, which are the same in all rows.
fn in_short(errors: &crate::model_file::ModelErrors) -> String {
    let all: Vec<String> = errors.0.iter().map(|m| format!("{}: {}", m.key, m.problem)).collect();
    all.join("; ")
}

fn solve_group(
    plan: &Plan,
    group: &[(usize, Model)],
    keep: &(dyn Fn(usize, Outcome) -> Result<Row, SweepError> + Sync),
) -> Result<Vec<Row>, SweepError> {
    let Some((_, first)) = group.first() else { return Ok(Vec::new()) };
    let place = gate_place(first.rig.gate);
    match System::try_new(&first.connector, place, &first.materials, &plan.settings) {
        Err(error) => {
            let outcome = failed(&key_of::system_told(&error).replace('\n', "; "));
            group.iter().map(|(point, _)| keep(*point, outcome.clone())).collect()
        }
        Ok(system) => group
            .par_iter()
            .map(|(point, model)| {
                let outcome = match solve_point(&system, model) {
                    Ok(found) => Outcome::Done(Box::new(found)),
                    Err(error) => failed(&key_of::rig_told(&error)),
                };
                keep(*point, outcome)
            })
            .collect(),
    }
}
