//! What mesh, kept breadth, straps, clearance and every range that the model states do to what a map finds, one at a time.

use crate::model::Model;
use crate::unknowns::{CLEARANCE_MM, Unknown, clearance_key, unknowns};
use crate::{CaseError, Engine, Watch, map};
use geometry::connector::Pin;
use rayon::prelude::*;
use serde::Serialize;
use solver::findings::Findings;
use solver::system::SystemSettings;

/// The numbers that are watched.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Watched {
    /// The gate's part of the pull.
    pub gate_fraction: f64,
    /// Load at which the gate engages, kN; `None` where it does not.
    pub gate_engages_at_kn: Option<f64>,
    /// Highest trusted stress, MPa.
    pub peak_mpa: Option<f64>,
    /// First yield of the frame, kN.
    pub first_yield_kn: Option<f64>,
}

impl Watched {
    /// Those of a map.
    #[must_use]
    pub fn of(findings: &Findings) -> Self {
        Self {
            gate_fraction: findings.share.gate_fraction,
            gate_engages_at_kn: findings.share.gate_engages_at_kn,
            peak_mpa: findings.hottest().map(|peak| peak.von_mises_mpa),
            first_yield_kn: findings.first_yield_kn,
        }
    }
}

/// Something that is varied.
#[derive(Clone, Debug, PartialEq)]
pub enum Varied {
    /// How many unknowns the mesh has, by a factor.
    MeshUnknowns,
    /// The part of its breadth that a round edge keeps.
    BreadthKept,
    /// The stiffness of both straps, by a factor.
    StrapStiffness,
    /// The clearance of a pin whose range the model does not state, mm.
    Clearance(Pin),
    /// Something that the model states a range for, from end to end.
    Unknown(Box<Unknown>),
}

impl Varied {
    /// Whether this is about the computation and not about the connector.
    #[must_use]
    pub fn is_numerical(&self) -> bool {
        matches!(self, Self::MeshUnknowns | Self::BreadthKept)
    }
}

/// One thing that was varied, and what came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Variation {
    /// What was varied.
    pub varied: Varied,
    /// Each value tried, in the terms of what was varied, with the numbers at it.
    pub tried: Vec<(f64, Watched)>,
}

/// The numbers of the model as it is, and of everything varied.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensitivity {
    /// As it is.
    pub base: Watched,
    /// One entry per thing varied.
    pub variations: Vec<Variation>,
}

impl Sensitivity {
    /// Largest change of the gate's part of the pull under a variation.
    #[must_use]
    pub fn change(&self, variation: &Variation) -> f64 {
        let changes = variation.tried.iter().map(|(_, w)| (w.gate_fraction - self.base.gate_fraction).abs());
        changes.fold(0.0, f64::max)
    }

    /// The variation that changes the gate's part most, of those of the computation or of those of the connector.
    #[must_use]
    pub fn strongest(&self, numerical: bool) -> Option<&Variation> {
        self.variations
            .iter()
            .filter(|v| v.varied.is_numerical() == numerical)
            .max_by(|a, b| self.change(a).total_cmp(&self.change(b)))
    }
}

/// Every value to be tried, with the model and the mesh that have it.
fn trials(model: &Model, mesh: &SystemSettings) -> Vec<(Varied, f64, Model, SystemSettings)> {
    let mut all = Vec::new();
    for factor in [0.5, 2.0] {
        let unknowns = mesh.unknowns * factor;
        let finer = mesh.mesh_size_mm.map(|size| size / f64::sqrt(factor));
        let changed = SystemSettings { unknowns, mesh_size_mm: finer, ..*mesh };
        all.push((Varied::MeshUnknowns, factor, model.clone(), changed));
    }
    for floor in [0.005, 0.02] {
        all.push((Varied::BreadthKept, floor, model.clone(), SystemSettings { floor, ..*mesh }));
    }
    for factor in [0.5, 2.0] {
        let mut changed = model.clone();
        changed.rig.upper = changed.rig.upper.with_stiffness_scaled(factor);
        changed.rig.lower = changed.rig.lower.with_stiffness_scaled(factor);
        if changed.rig != model.rig {
            all.push((Varied::StrapStiffness, factor, changed, *mesh));
        }
    }
    for sign in [-1.0, 1.0] {
        for pin in Pin::BOTH {
            if model.spreads.iter().any(|spread| spread.key == clearance_key(pin)) {
                continue;
            }
            let mut changed = model.clone();
            let clearance = changed.connector.pin_clearance_mut(pin);
            *clearance = (*clearance + sign * CLEARANCE_MM).max(0.0);
            let value = *clearance;
            all.push((Varied::Clearance(pin), value, changed, *mesh));
        }
    }
    for unknown in unknowns(model).iter().filter(|u| u.is_of_the_model()) {
        for value in unknown.law.ends() {
            if let Some(changed) = unknown.at(value, model) {
                all.push((Varied::Unknown(Box::new(unknown.clone())), value, changed, *mesh));
            }
        }
    }
    all
}

/// Solves the model with one thing at a time varied. `findings` are those of the model as it is; values whose mesh `fits` refuses,
/// or that make no connector, are left out.
///
/// # Errors
/// [`CaseError::Stopped`]: it was called off.
///
/// ```
/// use study::model::Source;
/// use study::sensitivity::{Watched, sensitivity};
/// use study::{Engine, Watch, map};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../models/oval.toml"));
/// let model = Source::of("oval.toml", text).model(&[]).unwrap();
/// let mesh = solver::system::SystemSettings { unknowns: 4000.0, ..Default::default() };
/// let engine = Engine::default();
/// let findings = map::solve(&engine, &model.case(mesh), &|_| ()).unwrap().findings;
/// let found = sensitivity(&engine, &model, &mesh, &findings, &|_, _| true, &Watch::quiet()).unwrap();
/// assert_eq!(found.base, Watched::of(&findings));
/// // The computation itself moves the gate's part by less than a hundredth.
/// assert!(found.strongest(true).is_some_and(|variation| found.change(variation) < 0.01));
/// ```
pub fn sensitivity(
    engine: &Engine,
    model: &Model,
    mesh: &SystemSettings,
    findings: &Findings,
    fits: &(dyn Fn(&Model, &SystemSettings) -> bool + Sync),
    watch: &Watch<'_>,
) -> Result<Sensitivity, CaseError> {
    let trials = trials(model, mesh);
    (watch.more)(trials.len());
    let solved: Vec<Option<Watched>> = trials
        .par_iter()
        .map(|(.., model, mesh)| {
            let tried = fits(model, mesh) && watch.check().is_ok();
            let mapped = tried.then(|| map::solve(engine, &model.case(*mesh), &|_| ()).ok()).flatten();
            (watch.done)();
            Some(Watched::of(&mapped?.findings))
        })
        .collect();
    watch.check()?;
    let mut variations: Vec<Variation> = Vec::new();
    for ((varied, value, ..), watched) in trials.into_iter().zip(solved) {
        let Some(watched) = watched else { continue };
        match variations.iter_mut().find(|v| v.varied == varied) {
            Some(variation) => variation.tried.push((value, watched)),
            None => variations.push(Variation { varied, tried: vec![(value, watched)] }),
        }
    }
    Ok(Sensitivity { base: Watched::of(findings), variations })
}
