//! Plastic hinges that form step by step until they are a mechanism.

use super::driven::{Driven, E, STRENGTH, along, at_the_limit, even, limit, moving, plate, still};
use crate::model::{ModelError, nodes_on};
use crate::problem::{Outcome, Problem};
use crate::shapes::{ON_X, graded, line, mesh, on_quarter_ring, within};
use crate::view::View;
use geometry::region::Stretch;
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

/// Four hinges in a frame, or three in its beam.
pub const FRAME: Problem = Problem {
    name: "frame-driven",
    title: "a portal frame pushed sideways until its columns have four hinges, and pressed down until its beam has three",
    source: "closed form, mechanisms of hinges at the faces of the joints (texts on plasticity, after Baker): four plastic moments over the \
             clear height, eight over the clear span",
    run: || frame().map_err(|fault| fault.stops("frame-driven")),
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
    let found = limit(&mut driven, even(8.0 * first, 10))?;
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
    let [half, grown] = limit(&mut driven, even(3.0, 10))?;
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

/// Half of a frame about its middle: clear height and half the clear span, mm, depth of columns and of the beam.
struct Frame {
    clear_height: f64,
    half_span: f64,
    column: f64,
    beam: f64,
}

impl Frame {
    /// Half the force at its limit, how much that still grew, and the picture. `sideways`: pushed along its beam, antisymmetric about its
    /// middle; else pressed down there, symmetric. Driven at one node, at half the depth of the beam: no section is held from narrowing
    /// there, nor at the feet.
    fn limit(&self, sideways: bool) -> Result<([f64; 2], View), ModelError> {
        let Self { clear_height: high, half_span: half, column, beam } = *self;
        let (out, top) = (half + column, high + beam);
        const REST: Stretch = Stretch::Side(1);
        let region = within(vec![
            line([half, 0.0], [out, 0.0], ON_X),
            line([out, 0.0], [out, top], REST),
            line([out, top], [0.0, top], REST),
            line([0.0, top], [0.0, high + 0.5 * beam], REST),
            line([0.0, high + 0.5 * beam], [0.0, high], REST),
            line([0.0, high], [half, high], REST),
            line([half, high], [half, 0.0], REST),
        ]);
        let places = [[half + 0.5 * column, 0.0], [half, high], [0.0, high + 0.5 * beam]];
        let sizes = places.map(|p| graded(p, 1.2 * column.max(beam), 0.22 * column.min(beam), 0.25, 0.5));
        let mesh = mesh(&region, &|p| sizes.iter().map(|s| s(p)).fold(f64::INFINITY, f64::min))?;
        let body = plate(mesh)?;
        let mesh = body.mesh();
        let middle = along(mesh, 0, |p| p[0] < 1e-9 && (p[1] - high - 0.5 * beam).abs() < 1e-9);
        let mut ways: Vec<(u32, f64)> = still(along(mesh, 1, |p| p[1] < 1e-9))
            .chain(still(along(mesh, 0, |p| p[1] < 1e-9 && (p[0] - out).abs() < 1e-9)))
            .collect();
        let driven = if sideways {
            ways.extend(still(along(mesh, 1, |p| p[0] < 1e-9)));
            middle
        } else {
            ways.extend(still(along(mesh, 0, |p| p[0] < 1e-9)));
            middle.into_iter().map(|unknown| unknown + 1).collect()
        };
        ways.extend(driven.into_iter().map(|unknown| (unknown, if sideways { 1.0 } else { -1.0 })));
        let mut driven = Driven::new(&body, ways)?;
        let found = limit(&mut driven, even(self.way(sideways), 10))?;
        const CAPTION: &str =
            "Pressed down in the middle of its beam until that has three hinges; half of it is solved.";
        Ok((found, driven.view(CAPTION)))
    }

    fn way(&self, sideways: bool) -> f64 {
        let [length, depth] =
            if sideways { [self.clear_height, self.column] } else { [self.half_span, self.beam] };
        // Several times the way at which a cantilever of half the length yields first.
        8.0 * STRENGTH * length * length / (3.0 * E * depth)
    }
}

fn frame() -> Result<Outcome, ModelError> {
    const REASON: &str = "3 %: hinges have a length of their own, and lie that much inside the clear height or span of thirty depths";
    const CLEAR: f64 = 30.0;
    let moment = 0.25 * STRENGTH;
    let frame = |column, beam| Frame { clear_height: CLEAR, half_span: 0.5 * CLEAR, column, beam };
    let (pushed, _) = frame(1.0, 1.5).limit(true)?;
    let (pressed, view) = frame(1.5, 1.0).limit(false)?;
    let both = |[half, grown]: [f64; 2]| [2.0 * half, grown];
    let mut outcome = Outcome::default();
    for (quantity, expected, found) in [
        ("beam deeper than its columns, pushed sideways: force, N", 4.0 * moment / CLEAR, pushed),
        (
            "columns deeper than their beam, pressed down in the middle: force, N",
            8.0 * moment / CLEAR,
            pressed,
        ),
    ] {
        outcome.checks.extend(at_the_limit(quantity, expected, both(found), 0.03, REASON));
    }
    outcome.view = Some(view.mirrored_in_x());
    Ok(outcome)
}
