//! Strips that a hole or two notches have weakened, drawn apart until they flow.

use super::driven::{Driven, E, STRENGTH, along, at_the_limit, even, limit, moving, plate, still};
use crate::collapse::quarter_with_hole_mesh;
use crate::model::ModelError;
use crate::problem::{Outcome, Problem};
use crate::view::View;
use geometry::mesh::Mesh;
use solver::plane::grid::grid;

/// A section that a hole has weakened, step by step.
pub const STRIP_WITH_HOLE: Problem = Problem {
    name: "strip-with-hole-driven",
    title: "a long strip with a round hole drawn apart until it flows",
    source: "closed form: both limit theorems give the net section; for a square plate Gaydon and McCrum, 1954",
    run: || strip_with_hole().map_err(|fault| fault.stops("strip-with-hole-driven")),
};

/// Metal between two notches, which hold it in, step by step.
pub const DOUBLE_NOTCH: Problem = Problem {
    name: "double-notch-driven",
    title: "a strip with two sharp notches, deep and shallow, drawn apart until it flows",
    source: "Hill, on discontinuous plastic states, with special reference to localized necking in thin sheets, 1952; Ewing and \
             Richards, 1974 (from memory)",
    run: || double_notch().map_err(|fault| fault.stops("double-notch-driven")),
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
        let (found, view) = drawn(quarter_with_hole_mesh(ratio, [10, 20]), 1.0, even(3.0, 10), caption)?;
        let quantity = format!("hole/width {ratio}: mean stress far away over the strength");
        outcome.checks.extend(at_the_limit(&quantity, 1.0 - ratio, found, 0.02, REASON));
        outcome.view.get_or_insert(view);
    }
    Ok(outcome)
}

/// A quarter of a strip with notches of a depth from its sides, its triangles smaller toward their tips.
fn quarter_with_notch_mesh(depth: f64, [beside, beyond]: [u32; 2]) -> Mesh {
    /// Beyond a power of two the middles of the smallest sides would be too near their ends.
    const SMALLER: [f64; 2] = [1.3, 1.5];
    let columns = f64::from(beside + beyond);
    // A line of nodes meets the tip.
    let across = |part: f64| {
        let from_tip = part * columns - f64::from(beside);
        if from_tip < 0.0 {
            (1.0 - depth) * (1.0 - (-from_tip / f64::from(beside)).powf(SMALLER[0]))
        } else {
            1.0 - depth + depth * (from_tip / f64::from(beyond)).powf(SMALLER[0])
        }
    };
    grid(beside + beyond, 20, &|p| [across(p[0]), LONG * p[1].powf(SMALLER[1])])
}

fn double_notch() -> Result<Outcome, ModelError> {
    const REASON: &str =
        "3 %: the flow gathers at the tip in triangles of finite size; the shallow formula is a fit";
    let mut outcome = Outcome::default();
    for (depth, columns, expected) in
        [(0.5, [10, 10], 2.0 / 3.0_f64.sqrt()), (0.15, [14, 6], 1.0 + 0.54 * 0.15)]
    {
        let whole = 1.0 - depth;
        let caption = format!(
            "Notches of {depth} of the half width, the ends drawn apart as one; a quarter is solved."
        );
        let mesh = quarter_with_notch_mesh(depth, columns);
        let ([force, grown], view) = drawn(mesh, whole, even(1.5, 10), caption)?;
        let quantity =
            format!("notches of {depth} of the half width: stress on the net section over the strength");
        outcome.checks.extend(at_the_limit(&quantity, expected, [force / whole, grown], 0.03, REASON));
        outcome.view.get_or_insert_with(|| view.within([-1.0, -1.2], [1.0, 1.2]));
    }
    Ok(outcome)
}
