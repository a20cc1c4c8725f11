//! Metal on its way from first yield to the limit, and far beyond small motion: the steps of `solver::plastic` beside closed forms.

use crate::check::{Check, compare};
use crate::collapse::quarter_with_hole_mesh;
use crate::model::{ModelError, nodes_on, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::shapes::on_quarter_ring;
use geometry::curve::Point;
use geometry::mesh::Mesh;
use solver::plane::Body;
use solver::plane::grid::{LEFT, RIGHT, grid};
use solver::plastic::{Deformed, Hardening, Law, Memory, Motion, NoStep, Nothing, Settling};

/// All problems of yielding step by step, in a fixed order.
#[must_use]
pub fn elastic_plastic() -> Vec<Problem> {
    vec![POINT, BENDING, BENDING_AND_PULL, CANTILEVER, RING, STRIP_WITH_HOLE]
}

/// Stress at one point.
pub const POINT: Problem = Problem {
    name: "yield-at-a-point",
    title: "one point of metal: yield after von Mises in plane stress, and a curve after Ramberg and Osgood",
    source: "by definition of von Mises stress; Ramberg and Osgood, Description of stress-strain curves by three parameters, 1943, with \
             constants of 7075-T6 from Dowling, Mechanical Behavior of Materials, table 14.1 (from memory)",
    run: || Ok(point()),
};

/// A bar bent beyond yield.
pub const BENDING: Problem = Problem {
    name: "partly-plastic-bending",
    title: "moment of a rectangular bar whose outer fibres yield",
    source: "closed form, texts on plasticity: three halves of the yield moment, less half the square of yield curvature over curvature",
    run: || bending().map_err(|fault| fault.stops("partly-plastic-bending")),
};

/// Moment and axial force at once.
pub const BENDING_AND_PULL: Problem = Problem {
    name: "plastic-bending-and-pull",
    title: "plastic moment of a rectangular bar that is pulled as well",
    source: "closed form, texts on plasticity: one less the square of the axial force, each over its own limit",
    run: || bending_and_pull().map_err(|fault| fault.stops("plastic-bending-and-pull")),
};

/// A plastic hinge that forms step by step.
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

/// A section that a hole has weakened, step by step.
pub const STRIP_WITH_HOLE: Problem = Problem {
    name: "strip-with-hole-driven",
    title: "a long strip with a round hole drawn apart until it flows",
    source: "closed form: both limit theorems give the net section; for a square plate Gaydon and McCrum, 1954",
    run: || strip_with_hole().map_err(|fault| fault.stops("strip-with-hole-driven")),
};

const E: f64 = 200_000.0;
const NU: f64 = 0.3;
const STRENGTH: f64 = 250.0;

impl From<NoStep> for ModelError {
    fn from(reason: NoStep) -> Self {
        match reason {
            NoStep::Plane(error) => Self::Plane(error),
            other => Self::NoStep(other),
        }
    }
}

fn law() -> Law {
    Law { elastic: plane_stress(E, NU), hardening: Hardening::Perfect { yield_mpa: STRENGTH } }
}

fn plate(mesh: Mesh) -> Result<Body, ModelError> {
    Ok(Body::new(mesh, &|_| 1.0, &|_| false, plane_stress(E, NU))?)
}

/// A body that is driven: each driven unknown with how far it goes while the whole goes by one.
struct Driven<'a> {
    body: Deformed<'a>,
    ways: Vec<(u32, f64)>,
}

impl<'a> Driven<'a> {
    fn new(body: &'a Body, ways: Vec<(u32, f64)>) -> Result<Self, ModelError> {
        let unknowns: Vec<u32> = ways.iter().map(|way| way.0).collect();
        Ok(Self { body: Deformed::new(body, law(), Motion::Small, &unknowns)?, ways })
    }

    fn go(&mut self, to: f64) -> Result<(), ModelError> {
        let values: Vec<f64> = self.ways.iter().map(|way| to * way.1).collect();
        Ok(self.body.advance(&values, &Nothing, Settling { close: 1e-8, most: 40 }, 6)?)
    }

    /// Force that works on the whole's way, N.
    fn force(&self) -> f64 {
        self.ways.iter().map(|(unknown, way)| way * self.body.forces()[*unknown as usize]).sum()
    }
}

/// Unknowns along an axis of the nodes of a mesh that are picked.
fn along(mesh: &Mesh, axis: u32, pick: impl Fn(Point) -> bool) -> Vec<u32> {
    (0..mesh.points.len() as u32).filter(|n| pick(mesh.points[*n as usize])).map(|n| 2 * n + axis).collect()
}

fn still(unknowns: Vec<u32>) -> impl Iterator<Item = (u32, f64)> {
    unknowns.into_iter().map(|unknown| (unknown, 0.0))
}

fn moving(unknowns: Vec<u32>) -> impl Iterator<Item = (u32, f64)> {
    unknowns.into_iter().map(|unknown| (unknown, 1.0))
}

fn point() -> Outcome {
    const EXACT: &str = "1e-6: a definition";
    let law = law();
    let moduli = law.elastic.moduli();
    // Far beyond yield in small steps; the stress that stays.
    let end = |direction: [f64; 3]| {
        let mut memory = Memory::default();
        let mut stress = [0.0; 3];
        for step in 1..=4000 {
            let point = law.at(&memory, direction.map(|e| f64::from(step) * 2e-5 * e));
            (memory, stress) = (point.memory, point.stress);
        }
        stress
    };
    let aside = (1.0 - NU + NU * NU).sqrt().recip();
    // The strain at which it yields first with the strain beside held, found by halving.
    let (mut low, mut high) = (0.0, 0.01);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let yields = law.at(&Memory::default(), [middle, 0.0, 0.0]).memory.accumulated > 0.0;
        if yields { high = middle } else { low = middle }
    }
    let curve = Hardening::RambergOsgood { strength_mpa: 977.0, exponent: 0.106 };
    let strain = |stress: f64| curve.strain_at(stress, 71_000.0).unwrap_or(f64::NAN);
    let over = |stress: f64| stress / STRENGTH;
    Outcome {
        checks: vec![
            compare(
                "pulled alike in both directions, stress over the strength",
                1.0,
                over(end([1.0, 1.0, 0.0])[0]),
                1e-6,
                EXACT,
            ),
            compare(
                "shear stress over the strength",
                3.0_f64.sqrt().recip(),
                over(end([0.0, 0.0, 1.0])[2]),
                1e-6,
                EXACT,
            ),
            compare(
                "strain beside held, first yield: stress over the strength",
                aside,
                over(moduli.direct * low),
                1e-6,
                EXACT,
            ),
            compare(
                "strain beside held, limit: stress over the strength",
                2.0 / 3.0_f64.sqrt(),
                over(end([1.0, 0.0, 0.0])[0]),
                1e-6,
                EXACT,
            ),
            compare(
                "7075-T6, strain at 400 MPa",
                0.005_853_2,
                strain(400.0),
                1e-5,
                "1e-5: the digits of the derived value",
            ),
            compare(
                "7075-T6, strain at 500 MPa",
                0.008_842_9,
                strain(500.0),
                1e-5,
                "1e-5: the digits of the derived value",
            ),
        ],
        ..Outcome::default()
    }
}

/// A bar from -1 to 1 in depth, its ends turned against each other as planes and drawn apart: moment and axial force over their limits when
/// the outer fibre is strained by so many times the strain of first yield, and the middle by a part of that.
fn bent(times: f64, middle: f64) -> Result<[f64; 2], ModelError> {
    const LENGTH: f64 = 4.0;
    let body = plate(grid(4, 24, &|p| [LENGTH * p[0], 2.0 * p[1] - 1.0]))?;
    let mesh = body.mesh();
    let end = nodes_on(mesh, RIGHT);
    let ways: Vec<(u32, f64)> = still(nodes_on(mesh, LEFT).iter().map(|n| 2 * n).collect())
        .chain(end.iter().map(|n| (2 * n, LENGTH * (middle - mesh.points[*n as usize][1]))))
        .chain(still(along(mesh, 1, |p| p[0] < 1e-9 && p[1].abs() < 1e-9)))
        .collect();
    let mut driven = Driven::new(&body, ways)?;
    let last = times * STRENGTH / E;
    for step in 1..=20 {
        driven.go(last * f64::from(step) / 20.0)?;
    }
    let forces = driven.body.forces();
    let pull: f64 = end.iter().map(|n| forces[2 * *n as usize]).sum();
    let moment: f64 = end.iter().map(|n| -mesh.points[*n as usize][1] * forces[2 * *n as usize]).sum();
    Ok([moment / STRENGTH, pull / (2.0 * STRENGTH)])
}

fn bending() -> Result<Outcome, ModelError> {
    const REASON: &str = "1 %: twenty-four triangles share the depth, and each yields at its own points";
    let mut outcome = Outcome::default();
    // Yield moment of the unit section of half depth one: two thirds of the plastic one.
    for (quantity, times) in [
        ("twice the yield curvature: moment over the yield moment", 2.0),
        ("core of 0.7746 of the depth: moment over the yield moment", 0.774_6_f64.recip()),
        ("core of 0.4472 of the depth: moment over the yield moment", 0.447_2_f64.recip()),
        ("fifty times the yield curvature: moment over the yield moment", 50.0),
    ] {
        let found = bent(times, 0.0)?[0] * 1.5;
        outcome.checks.push(compare(quantity, 1.5 - 0.5 / (times * times), found, 0.01, REASON));
    }
    Ok(outcome)
}

fn bending_and_pull() -> Result<Outcome, ModelError> {
    const REASON: &str =
        "1 %: twenty-four triangles share the depth, and the core of the elastic metal is a fiftieth of it";
    let mut outcome = Outcome::default();
    for part in [0.25, 0.5, 0.75] {
        let [moment, pull] = bent(50.0, part)?;
        outcome.checks.push(compare(
            format!("axis at {part} of the half depth: axial force over its limit"),
            part,
            pull,
            0.01,
            REASON,
        ));
        let quantity = format!("axis at {part} of the half depth: moment over its limit");
        outcome.checks.push(compare(quantity, 1.0 - part * part, moment, 0.01, REASON));
    }
    Ok(outcome)
}

/// Drives a body in steps to a last way: the force then, and how much it still grew over the last tenth.
fn limit(body: &Body, ways: Vec<(u32, f64)>, last: f64, steps: u32) -> Result<[f64; 2], ModelError> {
    let mut driven = Driven::new(body, ways)?;
    let mut force = Vec::new();
    for step in 1..=steps {
        driven.go(last * f64::from(step) / f64::from(steps))?;
        force.push(driven.force());
    }
    let [before, end] = [force[force.len() - 1 - (steps / 10) as usize], force[force.len() - 1]];
    Ok([end, end / before - 1.0])
}

/// A limit load beside its closed form, and that the force has stopped growing.
fn at_the_limit(
    quantity: &str,
    expected: f64,
    [found, grown]: [f64; 2],
    tolerance: f64,
    reason: &'static str,
) -> Vec<Check> {
    const LEVEL: &str = "0.5 %: a limit is a force that no longer grows";
    vec![
        compare(quantity, expected, found, tolerance, reason),
        compare("the force at the end, over that a tenth of the way before", 1.0, 1.0 + grown, 5e-3, LEVEL),
    ]
}

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
    let found = limit(&body, ways, 8.0 * first, 20)?;
    let expected = STRENGTH * DEPTH * DEPTH / (4.0 * LENGTH);
    const REASON: &str =
        "3 %: at twenty depths of arm shear takes nothing, and the clamp holds the root from narrowing";
    Ok(Outcome {
        checks: at_the_limit("force on the tip, N", expected, found, 0.03, REASON),
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
    let [half, grown] = limit(&body, ways, 3.0, 20)?;
    let expected = 4.0 * STRENGTH * DEEP * DEEP / 4.0 / MEAN;
    const REASON: &str =
        "3 %: a ring of a twentieth in depth, whose axial force takes a few thousandths of its moment";
    Ok(Outcome {
        checks: at_the_limit("force that draws it apart, N", expected, [2.0 * half, grown], 0.03, REASON),
        ..Outcome::default()
    })
}

/// A quarter of a strip, symmetric about both axes, its far end drawn away.
fn drawn(mesh: Mesh, long: f64) -> Result<[f64; 2], ModelError> {
    let body = plate(mesh)?;
    let mesh = body.mesh();
    let ways = still(along(mesh, 0, |p| p[0] < 1e-9))
        .chain(still(along(mesh, 1, |p| p[1] < 1e-9)))
        .chain(moving(along(mesh, 1, |p| p[1] > long - 1e-9)))
        .collect();
    let [force, grown] = limit(&body, ways, 3.0 * long * STRENGTH / E, 20)?;
    Ok([force / STRENGTH, grown])
}

fn strip_with_hole() -> Result<Outcome, ModelError> {
    const REASON: &str =
        "2 %: displacements give a force from above, and necks run along triangles of finite width";
    let mut outcome = Outcome::default();
    for ratio in [0.2, 0.4, 0.6] {
        let found = drawn(quarter_with_hole_mesh(ratio, [10, 20]), 2.0)?;
        let quantity = format!("hole/width {ratio}: mean stress far away over the strength");
        outcome.checks.extend(at_the_limit(&quantity, 1.0 - ratio, found, 0.02, REASON));
    }
    Ok(outcome)
}
