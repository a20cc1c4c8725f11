//! A case meshed, loaded and judged: what a map shows.

mod refine;

pub use refine::{Refined, Wanted, refine};

use crate::{Case, CaseError, Engine, Step};
use solver::findings::{Findings, NodalStress, findings, quick_findings};
use solver::response::{Response, RigError};
use solver::strength::{Strengths, beyond, surely_holds};
use solver::system::System;
use std::sync::Arc;

/// A case that was meshed, loaded and judged.
#[derive(Debug)]
pub struct Mapped {
    /// What does not depend on the rig; others may load it too.
    pub system: Arc<System>,
    /// What its parts hold.
    pub strengths: Strengths,
    /// The loaded connector: displacements in mm, forces in N.
    pub response: Response,
    /// Its recovered stress at the nodes, MPa, tension positive.
    pub stress: NodalStress,
    /// What was found, with what would have given way before the load.
    pub findings: Findings,
    /// False where it is not known whether something would have given way before the load ([`Depth::Quick`]).
    pub judged: bool,
}

/// How far findings go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// All of them.
    Whole,
    /// Without what takes long: first yield, the warning about the straps' stiffness, the error of the mesh, and what would have
    /// given way before, but for whether that is plainly nothing.
    Quick,
}

/// Solves a case on the engine's system of it. `begins` is told each step as it begins.
///
/// # Errors
/// [`CaseError`]: its dimensions make no connector or no mesh, or its rig does not fit or does not balance.
///
/// ```
/// use study::model::Source;
/// use study::{Engine, map};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../models/oval.toml"));
/// let model = Source::of("oval.toml", text).model(&[]).unwrap();
/// let mesh = solver::system::SystemSettings { unknowns: 6000.0, ..Default::default() };
/// let mapped = map::solve(&Engine::default(), &model.case(mesh), &|_| ()).unwrap();
/// let share = &mapped.findings.share;
/// assert!((share.gate_kn + share.spine_kn - mapped.findings.load_kn).abs() < 0.01 * mapped.findings.load_kn);
/// ```
pub fn solve(engine: &Engine, case: &Case, begins: &(dyn Fn(Step) + Sync)) -> Result<Mapped, CaseError> {
    begins(Step::Mesh);
    let system = engine.system(case)?;
    Ok(solve_on(system, case, Depth::Whole, begins)?)
}

/// The same on a system of the case that is there already, to a depth.
///
/// # Errors
/// [`RigError`]: the rig does not fit or does not balance.
pub fn solve_on(
    system: Arc<System>,
    case: &Case,
    depth: Depth,
    begins: &(dyn Fn(Step) + Sync),
) -> Result<Mapped, RigError> {
    begins(Step::Load);
    // What recovers stress is made beside, where the system has not been asked for any before.
    let (response, _) = rayon::join(
        || system.respond(&case.rig),
        || rayon::join(|| system.frame.recovery(), || system.gate.recovery()),
    );
    let response = response?;
    begins(Step::Stress);
    let stress = NodalStress::new(&system, &response);
    begins(Step::Findings);
    match depth {
        Depth::Whole => Mapped::judged(system, case, response, stress),
        Depth::Quick => Mapped::judged_quickly(system, case, response, stress),
    }
}

impl Mapped {
    /// A response of the case's system, judged.
    ///
    /// # Errors
    /// [`RigError`]: a further load that the findings need cannot be solved.
    pub fn new(system: Arc<System>, case: &Case, response: Response) -> Result<Self, RigError> {
        let stress = NodalStress::new(&system, &response);
        Self::judged(system, case, response, stress)
    }

    /// The same with its stress recovered already.
    pub(crate) fn judged(
        system: Arc<System>,
        case: &Case,
        response: Response,
        stress: NodalStress,
    ) -> Result<Self, RigError> {
        let mut found = findings(&system, &case.materials, &response, &stress)?;
        let strengths = case.strengths();
        found.beyond = beyond(&system, &strengths, &response);
        Ok(Self { system, strengths, response, stress, findings: found, judged: true })
    }

    /// The same as far as [`Depth::Quick`] goes.
    fn judged_quickly(
        system: Arc<System>,
        case: &Case,
        response: Response,
        stress: NodalStress,
    ) -> Result<Self, RigError> {
        let findings = quick_findings(&system, &case.materials, &response, &stress)?;
        let strengths = case.strengths();
        let hottest_mpa = findings.hottest().map(|peak| peak.von_mises_mpa);
        let judged = surely_holds(&system, &strengths, &response, hottest_mpa);
        Ok(Self { system, strengths, response, stress, findings, judged })
    }

    /// The same case under another load, kN.
    ///
    /// # Errors
    /// [`RigError`]: the load does not balance, or a further load that the findings need cannot be solved.
    pub fn under_kn(self, case: &Case, load_kn: f64) -> Result<Self, RigError> {
        let response = self.system.respond(&solver::rig::Rig { load_kn, ..case.rig })?;
        Self::new(self.system, case, response)
    }
}

#[cfg(test)]
mod tests;
