//! Plastic hinges that form step by step until they are a mechanism.

use super::driven::{Driven, E, STRENGTH, along, at_the_limit, even, limit, moving, plate, still};
use crate::model::{ModelError, nodes_on};
use crate::problem::{Outcome, Problem};
use crate::shapes::on_quarter_ring;
use solver::plane::grid::{LEFT, RIGHT, grid};

/// One hinge.
pub const CANTILEVER: Problem = Problem {
    name: "cantilever-driven",
    title: "a slender cantilever driven at its tip until its root is a hinge",
    source: "closed form, texts on plasticity: the plastic moment of a rectangle over its arm",
    run: || cantilever().map_err(|fault| fault.stops("cantilever-driven")),
};

/// Four hinges in a ring.
pub const RING: Problem = Problem {
    name: "ring-driven",
    title: "a thin ring drawn apart at two opposite places until it has four hinges",
    source: "closed form, mechanism of four hinges: four times the plastic moment over the mean radius",
    run: || ring().map_err(|fault| fault.stops("ring-driven")),
};

fn cantilever() -> Result<Outcome, ModelError> {
    const LENGTH: f64 = 40.0;
    const DEPTH: f64 = 2.0;
    let body = plate(grid(60, 8, &|p| [LENGTH * p[0] * p[0].sqrt(), DEPTH * (p[1] - 0.5)]))?;
    let mesh = body.mesh();
    let ways = still(nodes_on(mesh, LEFT).iter().flat_map(|n| [2 * n, 2 * n + 1]).collect())
        .chain(moving(nodes_on(mesh, RIGHT).iter().map(|n| 2 * n + 1).collect()))
        .collect();
    // The tip at first yield of the root, after the theory of beams.
    let first = 2.0 * STRENGTH * LENGTH * LENGTH / (3.0 * E * DEPTH);
    let mut driven = Driven::new(&body, ways)?;
    let found = limit(&mut driven, even(8.0 * first, 20))?;
    let expected = STRENGTH * DEPTH * DEPTH / (4.0 * LENGTH);
    const REASON: &str =
        "3 %: at twenty depths of arm shear takes nothing, and the clamp holds the root from narrowing";
    Ok(Outcome {
        checks: at_the_limit("force on the tip, N", expected, found, 0.03, REASON),
        view: Some(
            driven
                .view("Held at the left end, its tip driven upward; a quarter of it, at the hinge.")
                .within([-0.2, -1.3], [0.25 * LENGTH, 1.3]),
        ),
        ..Outcome::default()
    })
}

fn ring() -> Result<Outcome, ModelError> {
    const MEAN: f64 = 20.0;
    const DEEP: f64 = 1.0;
    let body = plate(grid(6, 80, &|p| on_quarter_ring(MEAN - 0.5 * DEEP, MEAN + 0.5 * DEEP, p)))?;
    let mesh = body.mesh();
    // Symmetric about both axes; drawn apart at the middle of the sections on the y axis, which so are free to narrow.
    let ways = still(along(mesh, 0, |p| p[0] < 1e-9))
        .chain(still(along(mesh, 1, |p| p[1] < 1e-9)))
        .chain(moving(along(mesh, 1, |p| p[0] < 1e-9 && (p[1] - MEAN).abs() < 1e-9)))
        .collect();
    let mut driven = Driven::new(&body, ways)?;
    let [half, grown] = limit(&mut driven, even(3.0, 20))?;
    let expected = 4.0 * STRENGTH * DEEP * DEEP / 4.0 / MEAN;
    const REASON: &str =
        "3 %: a ring of a twentieth in depth, whose axial force takes a few thousandths of its moment";
    Ok(Outcome {
        checks: at_the_limit("force that draws it apart, N", expected, [2.0 * half, grown], 0.03, REASON),
        view: Some(
            driven
                .view("Drawn apart at the middle of two opposite sections; a quarter is solved.")
                .mirrored_in_x()
                .mirrored_in_y(),
        ),
        ..Outcome::default()
    })
}
