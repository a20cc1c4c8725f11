//! Refinement where the error is: meshes that are made finer, round by round, until the peaks that can be trusted keep still.
//!
//! Two estimates say where. The energy of the difference between the elements' stress and the recovered one is spread
//! evenly over the triangles: those with more than their part are made smaller. That estimate hardly sees a thin edge, where
//! little energy is stored and where peaks are; so triangles at a peak whose stress still differs by more than the accuracy
//! asked for are made smaller as well. Nothing is asked for where stress is not a result (beside contacts and unfilleted
//! corners): a stress that grows for ever would eat the budget.
//!
//! Limits: what has come to rest is the change from one mesh to the next, which is no bound of the error. The load is the
//! rig's: the places that matter at another load may be others.

mod change;

use crate::findings::{NodalStress, Peak, TrustedError, energy_error_percent, peaks, peaks_of};
use crate::plane::stress::von_mises;
use crate::response::{Response, RigError};
use crate::rig::Rig;
use crate::system::{Finer, Part, Side, System, SystemError, SystemSettings};
use change::Known;
use geometry::curve::Point;
use geometry::graded::GradedSizes;
use serde::Serialize;
use std::sync::Arc;
use thiserror::Error;

/// A triangle may have so many times its even part of the squared energy error before it is made smaller: below one, so that
/// every round makes a mesh that is finer as a whole, and peaks that keep still mean something.
const UNEVEN: f64 = 0.25;
/// The stress of a triangle at a peak may differ by this part of the accuracy: differences add up along a fibre.
const OF_ACCURACY: f64 = 0.5;
/// No edge is made shorter than this, mm: below, what a strap presses on an edge whose breadth runs out shows as stress of its
/// own, and peaks beside it climb with every round.
const SHORTEST_MM: f64 = 0.1;
/// An edge is made at most so many times shorter in a round.
const SHORTER: f64 = 2.0;

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Request {
    /// Trusted peaks are to change by no more than this part of themselves from one mesh to the next.
    pub accuracy: f64,
    /// Most unknowns.
    pub unknowns: usize,
    /// Most rounds of refinement.
    pub rounds: usize,
}

/// One mesh of the series.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Round {
    /// Displacement components.
    pub unknowns: usize,
    /// Estimated error in the energy norm where stress is a result, percent; `None` where it is a result nowhere.
    pub energy_error_percent: Option<f64>,
    /// Highest trusted von Mises stress, MPa.
    pub peak_mpa: f64,
    /// Largest change of the stress at a trusted peak from the mesh before, as a part of the peak; absent on the first mesh.
    pub change: Option<f64>,
}

/// A refined system under its rig.
#[derive(Debug)]
pub struct Refined {
    /// The system on the last mesh.
    pub system: Arc<System>,
    /// Its response.
    pub response: Response,
    /// Its stress.
    pub stress: NodalStress,
    /// All meshes, in order.
    pub rounds: Vec<Round>,
    /// True when the last change is within the accuracy asked for.
    pub reached: bool,
}

/// Why a refinement could not be done.
#[derive(Debug, Error)]
pub enum RefinementError {
    /// A mesh of the series could not be made.
    #[error(transparent)]
    System(#[from] SystemError),
    /// The rig could not be solved on one of them.
    #[error(transparent)]
    Rig(#[from] RigError),
}

/// Refines `system` under `rig` until its trusted peaks keep still or the budget is used up.
///
/// # Errors
/// [`RefinementError`] when a finer mesh cannot be made or solved.
pub fn refine(
    mut system: Arc<System>,
    rig: &Rig,
    settings: &SystemSettings,
    wanted: Request,
) -> Result<Refined, RefinementError> {
    let mut rounds: Vec<Round> = Vec::new();
    let mut before: Option<(Known, f64)> = None;
    let mut marks = [Vec::new(), Vec::new()];
    loop {
        let response = system.respond(rig)?;
        let stress = NodalStress::new(&system, &response);
        let all = peaks(&system, &response, &stress.frame, &stress.gate);
        let peak_mpa = all.iter().find(|p| p.trusted).map_or(0.0, |p| p.von_mises_mpa);
        let sides = [(Side::Frame, &stress.frame), (Side::Gate, &stress.gate)].map(|(side, stress)| {
            let mut mine = peaks_of(&system, &response, side, stress);
            mine.retain(|p| p.trusted && all.contains(p));
            (side, mine)
        });
        let change = before.as_ref().map(|(known, peak)| largest_change(known, &sides, [*peak, peak_mpa]));
        let errors = [Side::Frame, Side::Gate].map(|side| TrustedError::new(&system, &response, side));
        rounds.push(Round {
            unknowns: system.unknowns(),
            energy_error_percent: energy_error_percent(&errors),
            peak_mpa,
            change,
        });
        let reached = change.is_some_and(|c| c <= wanted.accuracy);
        if reached || rounds.len() > wanted.rounds {
            return Ok(Refined { system, response, stress, rounds, reached });
        }
        for (((side, peaks), error), marks) in sides.iter().zip(&errors).zip(&mut marks) {
            marks.extend(marks_of(
                system.part(*side),
                response.displacements(*side),
                (error, peaks),
                wanted.accuracy,
            ));
        }
        let finer = Finer { frame: GradedSizes::new(&marks[0]), gate: GradedSizes::new(&marks[1]) };
        let Some(next) = system.refined(settings, &finer, wanted.unknowns)? else {
            return Ok(Refined { system, response, stress, rounds, reached });
        };
        before = Some((Known::new(system, &stress), peak_mpa));
        system = Arc::new(next);
    }
}

/// Largest relative change of the highest trusted stress, before and now in MPa, and of the stress at each peak.
fn largest_change(before: &Known, now: &[(Side, Vec<Peak>); 2], [was_mpa, is_mpa]: [f64; 2]) -> f64 {
    let highest = if is_mpa > 0.0 { (is_mpa - was_mpa).abs() / is_mpa } else { 0.0 };
    now.iter()
        .flat_map(|(side, peaks)| peaks.iter().map(move |p| (*side, p)))
        .map(|(side, peak)| {
            // Where the mesh before had no metal, nothing is known to have come to rest.
            let was = before.at(side, [peak.x_mm, peak.y_mm]).unwrap_or(0.0);
            (peak.von_mises_mpa - was).abs() / peak.von_mises_mpa
        })
        .fold(highest, f64::max)
}

/// Where one body's mesh is too coarse under the displacements `u`, mm: middles of triangles and the edge length wanted there.
fn marks_of(
    part: &Part,
    u: &[f64],
    (error, peaks): (&TrustedError, &[Peak]),
    accuracy: f64,
) -> Vec<(Point, f64)> {
    let even = even_part(error);
    (0..part.body.triangles())
        .filter(|t| error.trusted[*t])
        .filter_map(|t| {
            let nodes = part.body.nodes_of(t);
            let edge = mean_edge(nodes);
            // Squared energy error goes with the sixth power of the edge length, stress with the second.
            let by_energy = (error.estimate.per_triangle[t].powi(2) / (UNEVEN * even)).powf(1.0 / 6.0);
            let at_it = |p: &&Peak| nodes.iter().any(|n| (n[0] - p.x_mm).hypot(n[1] - p.y_mm) < edge);
            let lowest = peaks.iter().filter(at_it).map(|peak| peak.von_mises_mpa).reduce(f64::min);
            let by_stress = lowest.map_or(0.0, |peak_mpa| {
                let allowed = OF_ACCURACY * accuracy * peak_mpa;
                (stress_difference(part, u, &error.rows, t) / allowed).sqrt()
            });
            let shorter = by_energy.max(by_stress).min(SHORTER).min(edge / SHORTEST_MM);
            let middle = [0, 1].map(|axis| (nodes[0][axis] + nodes[1][axis] + nodes[2][axis]) / 3.0);
            (shorter > 1.05).then(|| (middle, edge / shorter))
        })
        .collect()
}

/// Mean of the squared error over the triangles where stress is a result.
fn even_part(error: &TrustedError) -> f64 {
    let squares = error.estimate.per_triangle.iter().zip(&error.trusted).filter(|(_, trusted)| **trusted);
    let (sum, count) = squares.fold((0.0, 0.0), |(s, n), (e, _)| (s + e * e, n + 1.0));
    (sum / f64::max(count, 1.0)).max(f64::MIN_POSITIVE)
}

fn mean_edge(nodes: [Point; 6]) -> f64 {
    let length = |a: Point, b: Point| (a[0] - b[0]).hypot(a[1] - b[1]);
    (length(nodes[0], nodes[1]) + length(nodes[1], nodes[2]) + length(nodes[2], nodes[0])) / 3.0
}

/// Largest von Mises stress of the difference between recovered and own stress in a triangle, MPa.
fn stress_difference(part: &Part, u: &[f64], rows: &[[f64; 3]], t: usize) -> f64 {
    let displacements = part.body.displacements_of(t, u);
    let moduli = part.body.elastic().moduli();
    let smooth = part.recovery().rows_of(t).map(|row| rows[row as usize]);
    part.body
        .samples(t)
        .map(|sample| {
            let mut difference =
                moduli.stress(crate::plane::element::strain(&sample.placed.gradient, &displacements));
            for (n, node) in sample.station.shape.iter().zip(&smooth) {
                for (d, s) in difference.iter_mut().zip(node) {
                    *d -= n * s;
                }
            }
            von_mises(difference)
        })
        .fold(0.0, f64::max)
}

#[cfg(test)]
mod tests;
