//! Strips that a hole has weakened, drawn apart until they flow.

use super::driven::{Driven, E, STRENGTH, along, at_the_limit, even, limit, moving, plate, still};
use crate::collapse::quarter_with_hole_mesh;
use crate::model::ModelError;
use crate::problem::{Outcome, Problem};
use crate::view::View;
use geometry::mesh::Mesh;

/// A section that a hole has weakened, step by step.
pub const STRIP_WITH_HOLE: Problem = Problem {
    name: "strip-with-hole-driven",
    title: "a long strip with a round hole drawn apart until it flows",
    source: "closed form: both limit theorems give the net section; for a square plate Gaydon and McCrum, 1954",
    run: || strip_with_hole().map_err(|fault| fault.stops("strip-with-hole-driven")),
};

/// Half the length of the strips; half their width is one.
const LONG: f64 = 2.0;
/// How far their far end moves while a plain strip strains to its yield.
const TO_YIELD: f64 = LONG * STRENGTH / E;

/// A quarter of a strip, symmetric about both axes as far as it is whole, its far end drawn away by these parts of the way to yield: force
/// over the strength, how much it still grew, and the picture.
fn drawn(
    mesh: Mesh,
    whole: f64,
    places: impl Iterator<Item = f64>,
    caption: String,
) -> Result<([f64; 2], View), ModelError> {
    let body = plate(mesh)?;
    let mesh = body.mesh();
    let ways = still(along(mesh, 0, |p| p[0] < 1e-9))
        .chain(still(along(mesh, 1, |p| p[1] < 1e-9 && p[0] < whole + 1e-9)))
        .chain(moving(along(mesh, 1, |p| p[1] > LONG - 1e-9)))
        .collect();
    let mut driven = Driven::new(&body, ways)?;
    let [force, grown] = limit(&mut driven, places.map(|part| part * TO_YIELD))?;
    Ok(([force / STRENGTH, grown], driven.view(caption).mirrored_in_x().mirrored_in_y()))
}

fn strip_with_hole() -> Result<Outcome, ModelError> {
    const REASON: &str =
        "2 %: displacements give a force from above, and necks run along triangles of finite width";
    let mut outcome = Outcome::default();
    for ratio in [0.2, 0.4, 0.6] {
        let caption =
            format!("Hole of {ratio} of the width, the ends drawn apart as one; a quarter is solved.");
        let (found, view) = drawn(quarter_with_hole_mesh(ratio, [10, 20]), 1.0, even(3.0, 20), caption)?;
        let quantity = format!("hole/width {ratio}: mean stress far away over the strength");
        outcome.checks.extend(at_the_limit(&quantity, 1.0 - ratio, found, 0.02, REASON));
        outcome.view.get_or_insert(view);
    }
    Ok(outcome)
}
