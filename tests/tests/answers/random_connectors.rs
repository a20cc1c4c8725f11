//! Connectors drawn from the dimensions that are met: each solves, or is refused for a reason that its own numbers bear out.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use geometry::connector::GatePlace;
use pullmap_tests::drawn::connector;
use pullmap_tests::refusals::is_borne_out;
use pullmap_tests::trial::extent;
use rayon::prelude::*;
use solver::findings::{NodalStress, findings};
use solver::response::RigError;
use solver::rig::GateState;
use solver::system::{System, SystemError, SystemSettings};

/// Unknowns of a mesh of 2.4 mm, at most: small notches and corners ask for their own.
const MOST_UNKNOWNS: usize = 15_000;
/// Linearisations of the gaps, at most.
const MOST_LINEARISATIONS: usize = 6;

enum End {
    Solved,
    Refused,
}

fn run(index: u64) -> Result<End, String> {
    let (connector, rig) = connector(index);
    let materials = pullmap_tests::model("broadbar-alu", &[]).materials;
    let place = match rig.gate {
        GateState::Half { engaged_mm } => GatePlace::Half { engaged_mm },
        _ => GatePlace::Shut,
    };
    let settings = SystemSettings { mesh_size_mm: Some(2.4), ..SystemSettings::default() };
    let system = match System::try_new(&connector, place, &materials, &settings) {
        Ok(system) => system,
        // What was drawn and does not fit is refused with a reason; anything else is a fault of ours.
        Err(SystemError::Outline(reasons)) if reasons.iter().all(is_borne_out) => {
            return Ok(End::Refused);
        }
        Err(other) => return Err(format!("{index}: {other}")),
    };
    let response = match system.respond(&rig) {
        Ok(response) => response,
        Err(RigError::OffSeat { .. }) => return Ok(End::Refused),
        Err(other) => return Err(format!("{index}: {other}\n{rig:?}")),
    };
    // The work of each is bounded, whatever is drawn; how long it takes is for a benchmark.
    let (unknowns, turns) = (system.unknowns(), response.info.linearisations);
    if unknowns > MOST_UNKNOWNS || turns > MOST_LINEARISATIONS {
        return Err(format!("{index}: {unknowns} unknowns, {turns} linearisations"));
    }
    let stress = NodalStress::new(&system, &response);
    let found = findings(&system, &materials, &response, &stress).map_err(|e| format!("{index}: {e}"))?;
    let quality = found.quality;
    if !(quality.force_residual <= 1e-8 && quality.moment_residual <= 1e-8 && quality.optimality <= 1e-9) {
        return Err(format!("{index}: {quality:?}"));
    }
    let sum = found.share.gate_kn + found.share.spine_kn;
    if !((sum / rig.load_kn - 1.0).abs() <= 1e-6 && found.share.gate_kn >= -1e-9) {
        return Err(format!("{index}: gate and spine carry {sum} of {} kN: {:?}", rig.load_kn, found.share));
    }
    let pulls = response.applied.iter().filter(|a| a.on_frame.iter().any(|f| !f.is_finite())).count();
    if pulls > 0 {
        return Err(format!("{index}: {pulls} forces are not numbers"));
    }
    Ok(End::Solved)
}

#[test]
fn drawn_connectors_solve_or_are_refused() {
    let drawn = extent(300, 2000);
    let ends: Vec<Result<End, String>> = (0..drawn).into_par_iter().map(run).collect();
    let wrong: Vec<&String> = ends.iter().filter_map(|e| e.as_ref().err()).collect();
    let solved = ends.iter().filter(|e| matches!(e, Ok(End::Solved))).count();
    assert!(
        wrong.is_empty(),
        "{} of {drawn} went wrong:\n{}",
        wrong.len(),
        wrong.iter().take(30).map(|s| s.as_str()).collect::<Vec<_>>().join("\n")
    );
    // A generator that draws little that fits would test little.
    assert!(2 * solved >= ends.len(), "only {solved} of {drawn} solved");
}
