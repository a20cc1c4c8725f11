//! Runs the points of a sweep in parallel.
//!
//! Points that differ in the rig only share one system: meshing and factoring is most of the work. A point that cannot be
//! computed is a row with its reason, never the end of the sweep.

use super::plan::Plan;
use super::point::{Found, solve_point};
use crate::engine::{CaseError, Engine};
use crate::model::{Model, ModelErrors};
use crate::watch::Watch;
use rayon::prelude::*;
use std::sync::atomic::{AtomicBool, Ordering};

/// A finished point: what was found, or why nothing was, as a type or, once told, in words.
#[derive(Clone, Debug, PartialEq)]
pub struct Row<Why = PointFailure> {
    /// Which point.
    pub point: usize,
    /// What became of it.
    pub outcome: Result<Box<Found>, Why>,
}

impl<Why> Row<Why> {
    /// What was found, if anything.
    #[must_use]
    pub fn found(&self) -> Option<&Found> {
        self.outcome.as_deref().ok()
    }
}

/// Why a point could not be computed.
#[derive(Clone, Debug)]
pub enum PointFailure {
    /// Its values make no model.
    Model(ModelErrors),
    /// Its connector cannot be drawn, meshed or pulled.
    Case(CaseError),
}

/// Points whose models are held at once: those of ten million points do not fit.
const BATCH: usize = 4096;

/// Computes points of a sweep, each once, and gives what `keep` makes of them, in the order of `points`.
///
/// `keep` is given each row as it is finished, from whichever thread finished it and in no order, so that a sweep that is stopped
/// may go on where it was.
///
/// # Errors
/// The first that `keep` gives; it ends the sweep.
pub fn run<T: Send, E: Send>(
    plan: &Plan,
    points: &[usize],
    engine: &Engine,
    keep: &(dyn Fn(Row) -> Result<T, E> + Sync),
) -> Result<Vec<T>, E> {
    let mut all = Vec::with_capacity(points.len());
    for batch in points.chunks(BATCH) {
        all.extend(run_batch(plan, batch, engine, keep)?);
    }
    Ok(all)
}

fn run_batch<T: Send, E: Send>(
    plan: &Plan,
    batch: &[usize],
    engine: &Engine,
    keep: &(dyn Fn(Row) -> Result<T, E> + Sync),
) -> Result<Vec<T>, E> {
    let models: Vec<Result<Model, ModelErrors>> = batch.par_iter().map(|p| plan.model(*p)).collect();
    let mut kept: Vec<Option<T>> = batch.iter().map(|_| None).collect();
    let (mut places, mut cases) = (Vec::new(), Vec::new());
    for (at, model) in models.into_iter().enumerate() {
        match model {
            Ok(model) => {
                places.push(at);
                cases.push(model.case(plan.settings));
            }
            Err(errors) => {
                let row = Row { point: batch[at], outcome: Err(PointFailure::Model(errors)) };
                kept[at] = Some(keep(row)?);
            }
        }
    }
    let stopped = AtomicBool::new(false);
    let watch = Watch { stop: &|| stopped.load(Ordering::Relaxed), ..Watch::quiet() };
    let solved = engine.each(&cases, &watch, &|system, case, i| {
        let outcome = match solve_point(system, case) {
            Ok(found) => Ok(Box::new(found)),
            Err(error) => Err(PointFailure::Case(CaseError::Rig(error))),
        };
        let kept = keep(Row { point: batch[places[i]], outcome });
        if kept.is_err() {
            stopped.store(true, Ordering::Relaxed);
        }
        Ok(kept)
    });
    for (at, row) in places.into_iter().zip(solved) {
        kept[at] = match row {
            Ok(row) => Some(row?),
            // Some other row was not kept, and is told of by its error.
            Err(CaseError::Stopped) => None,
            Err(error) => Some(keep(Row { point: batch[at], outcome: Err(PointFailure::Case(error)) })?),
        };
    }
    Ok(kept.into_iter().flatten().collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Source;
    use solver::system::SystemSettings;
    use std::sync::Mutex;

    const BASE: &str = include_str!("../model/tests/base.toml");

    fn plan(key: &str, values: &str) -> Plan {
        let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
        let typed = [(key.to_owned(), values.to_owned())];
        Plan::asked(Source::of("base.toml", BASE), Vec::new(), &typed, coarse, false).unwrap()
    }

    #[test]
    fn rows_come_in_the_order_asked_for_with_their_failures_as_types() {
        // No window is as wide as that.
        let plan = plan("rig.both.offset_mm", "0,60,1");
        let kept = Mutex::new(Vec::new());
        let rows = run(&plan, &[2, 1, 0], &Engine::default(), &|row| {
            kept.lock().unwrap().push(row.point);
            Ok::<_, ()>(row)
        })
        .unwrap();
        assert_eq!(rows.iter().map(|row| row.point).collect::<Vec<_>>(), [2, 1, 0]);
        let mut kept = kept.into_inner().unwrap();
        kept.sort_unstable();
        assert_eq!(kept, [0, 1, 2]);
        assert!(matches!(rows[1].outcome, Err(PointFailure::Model(_))), "{:?}", rows[1]);
        assert!(rows[0].found().is_some() && rows[2].found().is_some());
    }

    #[test]
    fn a_row_that_cannot_be_kept_ends_the_sweep() {
        let plan = plan("rig.both.offset_mm", "0,1,2,3");
        let full = |row: Row| if row.point == 2 { Err(row.point) } else { Ok(()) };
        assert_eq!(run(&plan, &[0, 1, 2, 3], &Engine::default(), &full), Err(2));
    }
}
