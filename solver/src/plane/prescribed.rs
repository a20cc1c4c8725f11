//! Solving with given displacements. For verification: a model's bodies are held by nothing but their loads.

use super::PlaneError;
use super::body::Body;
use super::factor::Factor;

/// A solution under prescribed displacements.
#[derive(Clone, Debug)]
pub struct Solution {
    /// Displacement of each unknown, mm.
    pub displacements: Vec<f64>,
    /// Force that each support exerts on the body, N; zero (up to rounding) at unknowns that are free.
    pub reactions: Vec<f64>,
}

/// Displacements under `forces` (one value per unknown, N) with some unknowns `prescribed` (unknown, value in mm).
///
/// # Errors
/// As [`Factor::new`]: the prescribed unknowns must stop every rigid motion.
///
/// # Panics
/// If `forces` does not have one value per unknown.
pub fn solve(body: &Body, forces: &[f64], prescribed: &[(u32, f64)]) -> Result<Solution, PlaneError> {
    let held: Vec<u32> = prescribed.iter().map(|(unknown, _)| *unknown).collect();
    let factor = Factor::new(body, &held)?;
    let mut given = vec![0.0; body.unknowns()];
    for &(unknown, value) in prescribed {
        given[unknown as usize] = value;
    }
    let moved = factor.stiffness_times(&given);
    let mut displacements: Vec<f64> = forces.iter().zip(&moved).map(|(f, m)| f - m).collect();
    factor.solve_in_place(&mut displacements, 1);
    for &(unknown, value) in prescribed {
        displacements[unknown as usize] = value;
    }
    let inner = factor.stiffness_times(&displacements);
    let reactions = inner.iter().zip(forces).map(|(inner, outer)| inner - outer).collect();
    Ok(Solution { displacements, reactions })
}
