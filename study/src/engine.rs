//! Solves cases: many at once, each system once.

use crate::case::Case;
use crate::kept::Kept;
use crate::system_key::SystemKey;
use crate::watch::Watch;
use rayon::prelude::*;
use solver::response::RigError;
use solver::seats::strap_friction_needed;
use solver::strength::{Limits, limits};
use solver::system::{System, SystemError};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use thiserror::Error;

/// Unknowns of all systems that are kept: eight or nine of usual size, each of which takes some 15 MB with its compliances. A fine
/// mesh that fills memory by itself is kept by nobody.
const MOST_UNKNOWNS: usize = 120_000;

/// Why a case has no outcome.
#[derive(Clone, Debug, Error)]
pub enum CaseError {
    /// Its dimensions make no connector, or no mesh.
    #[error(transparent)]
    System(#[from] SystemError),
    /// Its rig does not fit, or no forces balance it.
    #[error(transparent)]
    Rig(#[from] RigError),
    /// The caller called it off.
    #[error("called off")]
    Stopped,
}

/// What a pull of a case comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The limits of its parts.
    pub limits: Limits,
    /// Coefficient of friction that its straps need to stay where they lie; zero for bench bars.
    pub friction_needed: f64,
}

impl Outcome {
    /// Pulls a case on its system.
    ///
    /// # Errors
    /// [`RigError`]: the rig does not fit, or no forces balance it.
    pub fn of(system: &System, case: &Case) -> Result<Self, RigError> {
        let friction_needed =
            strap_friction_needed(system, &case.rig).into_iter().flatten().fold(0.0, f64::max);
        let limits = limits(system, &case.strengths(), &case.rig)?;
        Ok(Self { limits, friction_needed })
    }
}

/// Solves cases and keeps the systems used last: a change of rig or strength, or a step back, finds its system ready.
#[derive(Debug)]
pub struct Engine {
    /// Each weighs as many as it has unknowns.
    kept: Mutex<Kept<SystemKey, Arc<System>>>,
}

impl Default for Engine {
    fn default() -> Self {
        Self { kept: Mutex::new(Kept::new(MOST_UNKNOWNS)) }
    }
}

impl Engine {
    fn kept(&self) -> MutexGuard<'_, Kept<SystemKey, Arc<System>>> {
        // The list is whole at every moment: a panic elsewhere cannot have left it half changed.
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The system of a case, built if it is not kept. Two callers that ask at once may both build it: nobody waits, so this may
    /// be called from within parallel work.
    ///
    /// # Errors
    /// [`SystemError`]: its dimensions make no connector, or no mesh.
    pub fn system(&self, case: &Case) -> Result<Arc<System>, SystemError> {
        let key = case.key();
        let ready = self.kept().get(&key);
        if let Some(system) = ready {
            return Ok(system);
        }
        let system = Arc::new(case.build()?);
        self.kept().put(key, Arc::clone(&system), system.unknowns());
        Ok(system)
    }

    /// Pulls every case, in order.
    pub fn evaluate(&self, cases: &[Case], watch: &Watch<'_>) -> Vec<Result<Outcome, CaseError>> {
        self.each(cases, watch, &|system, case, _| Outcome::of(system, case))
    }

    /// Does something with the system of every case, in order: each system is built once, and cases that share one run beside
    /// each other on it. `of` is given the place of its case too.
    pub fn each<T: Send>(
        &self,
        cases: &[Case],
        watch: &Watch<'_>,
        of: &(dyn Fn(&System, &Case, usize) -> Result<T, RigError> + Sync),
    ) -> Vec<Result<T, CaseError>> {
        let mut groups: Vec<Vec<usize>> = Vec::new();
        let mut group_of: HashMap<SystemKey, usize> = HashMap::new();
        for (i, case) in cases.iter().enumerate() {
            let group = *group_of.entry(case.key()).or_insert_with(|| {
                groups.push(Vec::new());
                groups.len() - 1
            });
            groups[group].push(i);
        }
        let one = |i: usize, system: Result<&System, &SystemError>| {
            if (watch.stop)() {
                return (i, Err(CaseError::Stopped));
            }
            let found = match system {
                Ok(system) => of(system, &cases[i], i).map_err(CaseError::Rig),
                Err(reason) => Err(CaseError::System(reason.clone())),
            };
            (watch.done)();
            (i, found)
        };
        let solved: Vec<Vec<(usize, Result<T, CaseError>)>> = groups
            .par_iter()
            .with_max_len(1)
            .map(|group| {
                if (watch.stop)() {
                    return group.iter().map(|i| (*i, Err(CaseError::Stopped))).collect();
                }
                let system = self.system(&cases[group[0]]);
                group.par_iter().map(|i| one(*i, system.as_deref())).collect()
            })
            .collect();
        let mut found: Vec<(usize, Result<T, CaseError>)> = solved.into_iter().flatten().collect();
        found.sort_by_key(|f| f.0);
        found.into_iter().map(|f| f.1).collect()
    }
}
