//! Everything that is solved whatever was seen: each cause over its range, the rigs for the markings, and the forecast of
//! everything as entered. [`super::rank`] weighs it against what was seen, as often as is asked.

use super::causes::{Cause, causes};
use super::marking::{MarkingReach, marking, wanted};
use super::mesh::coarse_mesh;
use crate::model::Model;
use crate::unknowns::{Unknown, unknowns};
use crate::{Case, CaseError, Engine, Step, Watch, forecast};
use solver::causes::{Draws, Outcome, Parts, Scan};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// What a case came to.
type Pulled = Result<crate::Outcome, CaseError>;

/// Settings to be solved, each once.
#[derive(Default)]
struct CaseList {
    settings: Vec<Case>,
}

impl CaseList {
    fn add(&mut self, setting: Case) -> usize {
        self.settings.iter().position(|s| *s == setting).unwrap_or_else(|| {
            self.settings.push(setting);
            self.settings.len() - 1
        })
    }
}

/// A model with everything solved that does not turn on what was seen, nor on what is judged.
pub struct Solved<'a> {
    engine: &'a Engine,
    pub(super) watch: Watch<'a>,
    /// What was entered, as a case on the mesh of all that is compared.
    pub(super) nominal: Case,
    /// What that comes to.
    pub(super) base: Outcome,
    pub(super) parts: Parts,
    pub(super) causes: Vec<Cause>,
    /// What each cause comes to over its range.
    pub(super) scans: Vec<Scan>,
    /// Friction that holds straps: what is told, or what the rig as entered needs if that is more, for there they were seen.
    pub(super) friction_holds: f64,
    /// What the forecast of everything as entered leaves open; `None` where it has none.
    pub(super) open: Option<OpenDraws>,
    pub(super) marking: Vec<MarkingReach>,
    /// How many settings were solved.
    pub(super) count: usize,
    /// What was solved since, for one observation or another.
    since: Mutex<Vec<(Case, Pulled)>>,
}

/// The draws of the forecast of everything as entered.
pub(super) struct OpenDraws {
    /// Without what the model states as a range: that is a cause of its own.
    pub draws: Draws,
    /// The 90 % range, kN, with everything that is not known exactly.
    pub range_kn: [f64; 2],
}

/// Less friction than this more is that of another mesh and no lack.
const NO_LACK: f64 = 1e-3;

/// A solved setting as an outcome, with the friction that its straps lack.
pub(super) fn outcome(parts: &mut Parts, pulled: &crate::Outcome, holds: f64) -> Outcome {
    let mut outcome = parts.outcome(&pulled.limits);
    let lacks = pulled.friction_needed - holds;
    outcome.friction_lacks = if lacks < NO_LACK { lacks.min(0.0) } else { lacks };
    outcome
}

impl<'a> Solved<'a> {
    /// Solves everything that may differ from what was entered. `begins` is told each step as it begins; `watch` counts what is
    /// solved, now and for each observation, and calls it off.
    ///
    /// # Errors
    /// The model as entered cannot be solved, or it was called off.
    pub fn try_new(
        model: &Model,
        engine: &'a Engine,
        begins: &(dyn Fn(Step) + Sync),
        watch: Watch<'a>,
    ) -> Result<Self, CaseError> {
        let nominal = model.case(coarse_mesh());
        let system = &*engine.system(&nominal)?;
        let causes = causes(model, &nominal, system);
        let mut wanted_settings = CaseList::default();
        wanted_settings.add(nominal.clone());
        // Value and place in the list, for each cause.
        let places: Vec<Vec<(f64, usize)>> = causes
            .iter()
            .map(|cause| {
                let values = cause.values.iter().filter(|v| cause.nominal.is_none_or(|n| n != **v));
                values
                    .filter_map(|v| (cause.apply)(&nominal, *v).map(|s| (*v, wanted_settings.add(s))))
                    .collect()
            })
            .collect();
        let for_marking = wanted(model, &nominal, &causes, system);
        let marking_places: Vec<usize> =
            for_marking.iter().map(|w| wanted_settings.add(w.setting.clone())).collect();

        begins(Step::Causes);
        let count = wanted_settings.settings.len();
        let solved = engine.evaluate_without_yield(&wanted_settings.settings, &watch);
        watch.check()?;
        let mut parts = Parts::default();
        let as_entered = solved[0].as_ref().map_err(Clone::clone)?;
        let friction_holds = model.rig.friction_holds().max(as_entered.friction_needed);
        let outcomes: Vec<Option<Outcome>> = solved
            .iter()
            .map(|s| s.as_ref().ok().map(|pulled| outcome(&mut parts, pulled, friction_holds)))
            .collect();
        let base = outcome(&mut parts, as_entered, friction_holds);
        let scans: Vec<Scan> = causes
            .iter()
            .zip(&places)
            .map(|(cause, places)| {
                let mut scan = Scan::default();
                for (value, at) in places {
                    if let Some(outcome) = &outcomes[*at] {
                        scan.add(*value, outcome.clone());
                    }
                }
                if let Some(value) = cause.nominal {
                    scan.add(value, base.clone());
                }
                scan
            })
            .collect();
        begins(Step::Open);
        let open = open((engine, &watch), model, &mut parts, &base);
        watch.check()?;
        let reached: Vec<Option<&Outcome>> = marking_places.iter().map(|i| outcomes[*i].as_ref()).collect();
        let marking = marking(model, (&for_marking, &reached), &parts, (system, friction_holds));
        let since = Mutex::default();
        Ok(Self {
            engine,
            watch,
            nominal,
            base,
            parts,
            causes,
            scans,
            friction_holds,
            open,
            marking,
            count,
            since,
        })
    }

    fn since(&self) -> MutexGuard<'_, Vec<(Case, Pulled)>> {
        // The list is whole at every moment: a panic elsewhere cannot have left it half changed.
        self.since.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Pulls cases, in order. What an observation before wanted as well is not solved again.
    pub(super) fn pull(&self, cases: &[Case]) -> Vec<Pulled> {
        let known = |case: &Case| self.since().iter().find(|s| s.0 == *case).map(|s| s.1.clone());
        let mut pulled: Vec<Option<Pulled>> = cases.iter().map(known).collect();
        let missing = cases.iter().zip(&pulled).filter(|(_, p)| p.is_none());
        let missing: Vec<Case> = missing.map(|(case, _)| case.clone()).collect();
        let solved = self.engine.evaluate_without_yield(&missing, &self.watch);
        let found = missing.into_iter().zip(solved.iter().cloned());
        self.since().extend(found.filter(|(_, pulled)| !matches!(pulled, Err(CaseError::Stopped))));
        let mut solved = solved.into_iter();
        pulled.iter_mut().filter(|p| p.is_none()).for_each(|p| *p = solved.next());
        pulled.into_iter().flatten().collect()
    }
}

/// The draws of the forecast of everything as entered; `None` where it has none.
fn open(
    (engine, watch): (&Engine, &Watch<'_>),
    model: &Model,
    parts: &mut Parts,
    base: &Outcome,
) -> Option<OpenDraws> {
    let told = forecast::draws(engine, model, unknowns(model), &coarse_mesh(), watch).ok()?;
    let stated: Vec<bool> = told.unknowns.iter().map(Unknown::is_of_the_model).collect();
    let draws = Draws::of(parts, &told.parts, &stated, base);
    Some(OpenDraws { draws, range_kn: [0.05, 0.95].map(|p| told.range.quantile_kn(p)) })
}
