//! Solves cases: many at once, each system once.

use crate::built::Built;
use crate::case::Case;
use crate::kept::Kept;
use crate::pulled::Pulled;
use crate::system_key::SystemKey;
use crate::watch::Watch;
use rayon::prelude::*;
use solver::response::{Pull, RigError};
use solver::seats::strap_friction_needed;
use solver::strength::{Limits, limits_without_yield};
use solver::system::{System, SystemError};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
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
    #[error("{self:?}")]
    Stopped,
}

impl Watch<'_> {
    /// # Errors
    /// [`CaseError::Stopped`]: the caller has called it off.
    pub fn check(&self) -> Result<(), CaseError> {
        if (self.stop)() { Err(CaseError::Stopped) } else { Ok(()) }
    }
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
        let limits = Pulled::of(system, case)?.limits;
        Ok(Self { limits, friction_needed: friction_needed(system, case) })
    }

    /// The same without the frame's first yield, as [`limits_without_yield`] has it.
    ///
    /// # Errors
    /// As [`Self::of`].
    pub fn without_yield(system: &System, case: &Case) -> Result<Self, RigError> {
        let mut pull = Pull::new(system, &case.rig)?;
        let limits = limits_without_yield(&mut pull, &case.strengths(), &case.rig)?;
        Ok(Self { limits, friction_needed: friction_needed(system, case) })
    }
}

/// Coefficient of friction that the straps of a case need.
fn friction_needed(system: &System, case: &Case) -> f64 {
    strap_friction_needed(system, &case.rig).into_iter().flatten().fold(0.0, f64::max)
}

/// What building a system came to, for all who wait for it.
type Building = Arc<OnceLock<Result<Built, SystemError>>>;

/// Solves cases and keeps the systems used last: a change of rig or strength, or a step back, finds its system ready.
#[derive(Debug)]
pub struct Engine {
    systems: Mutex<Systems>,
}

#[derive(Debug)]
struct Systems {
    /// Each weighs as many as it has unknowns.
    kept: Kept<SystemKey, Built>,
    /// Those that are just being built.
    building: HashMap<SystemKey, Building>,
}

impl Default for Engine {
    fn default() -> Self {
        Self::with_room(MOST_UNKNOWNS)
    }
}

/// Removes a system from the list of those that are being built, also when its builder panics.
struct BuildGuard<'a> {
    engine: &'a Engine,
    key: &'a SystemKey,
    building: &'a Building,
}

impl Drop for BuildGuard<'_> {
    fn drop(&mut self) {
        let list = &mut self.engine.open().building;
        if list.get(self.key).is_some_and(|listed| Arc::ptr_eq(listed, self.building)) {
            list.remove(self.key);
        }
    }
}

impl Engine {
    /// An engine that keeps systems of that many unknowns in all.
    #[must_use]
    pub fn with_room(unknowns: usize) -> Self {
        Self { systems: Mutex::new(Systems { kept: Kept::new(unknowns), building: HashMap::new() }) }
    }

    fn open(&self) -> MutexGuard<'_, Systems> {
        // The lists are whole at every moment: a panic elsewhere cannot have left them half changed.
        self.systems.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn build(&self, key: SystemKey, case: &Case) -> Result<Built, SystemError> {
        let built = Built::under(key.clone(), case)?;
        self.open().kept.put(key, built.clone(), built.system().unknowns());
        Ok(built)
    }

    /// The system of a case with its key, built if it is not kept. Who asks for one that is just being built waits for it.
    ///
    /// A thread of a rayon pool never waits, it builds a second one: it may be the very thread that the builder needs.
    ///
    /// # Errors
    /// [`SystemError`]: its dimensions make no connector, or no mesh.
    pub fn built(&self, case: &Case) -> Result<Built, SystemError> {
        let key = case.key();
        let building = {
            let mut systems = self.open();
            if let Some(built) = systems.kept.get(&key) {
                return Ok(built);
            }
            match rayon::current_thread_index() {
                None => Some(Arc::clone(systems.building.entry(key.clone()).or_default())),
                Some(_) => None,
            }
        };
        let Some(building) = building else { return self.build(key, case) };
        let _guard = BuildGuard { engine: self, key: &key, building: &building };
        building.get_or_init(|| self.build(key.clone(), case)).clone()
    }

    /// The system of a case, as [`Self::built`].
    ///
    /// # Errors
    /// [`SystemError`]: its dimensions make no connector, or no mesh.
    pub fn system(&self, case: &Case) -> Result<Arc<System>, SystemError> {
        self.built(case).map(|built| Arc::clone(built.system()))
    }

    /// How many systems are kept.
    #[must_use]
    pub fn count(&self) -> usize {
        self.open().kept.count()
    }

    /// Pulls every case, in order.
    pub fn evaluate(&self, cases: &[Case], watch: &Watch<'_>) -> Vec<Result<Outcome, CaseError>> {
        self.each(cases, watch, &|system, case, _| Outcome::of(system, case))
    }

    /// The same without first yields ([`Outcome::without_yield`]): in half the time, where only the end of a pull counts.
    pub fn evaluate_without_yield(
        &self,
        cases: &[Case],
        watch: &Watch<'_>,
    ) -> Vec<Result<Outcome, CaseError>> {
        self.each(cases, watch, &|system, case, _| Outcome::without_yield(system, case))
    }

    /// Does something with the system of every case, in order: each system is built once, and cases that share one run beside
    /// each other on it. `of` is given the place of its case too.
    pub fn each<T: Send>(
        &self,
        cases: &[Case],
        watch: &Watch<'_>,
        of: &(dyn Fn(&System, &Case, usize) -> Result<T, RigError> + Sync),
    ) -> Vec<Result<T, CaseError>> {
        (watch.more)(cases.len());
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
