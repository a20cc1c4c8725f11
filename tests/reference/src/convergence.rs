//! How errors fall with refinement, where the whole exact field is known.

use crate::check::{Check, Rate};
use crate::model::Solved;
use crate::problem::Outcome;
use geometry::curve::Point;
use solver::plane::error_estimate::estimate;
use solver::plane::quadrature::Rule;
use solver::plane::{element, stress};

/// An exact solution.
pub struct Exact<'a> {
    /// Stress `[xx, yy, xy]` at a point, MPa.
    pub stress: &'a dyn Fn(Point) -> [f64; 3],
    /// Displacement at a point, mm.
    pub displacement: &'a dyn Fn(Point) -> Point,
    /// Strain energy of the whole body, N mm.
    pub energy: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
}

/// Errors of one solution.
#[derive(Clone, Copy, Debug)]
pub struct Errors {
    /// 1 / sqrt(number of triangles).
    pub size: f64,
    /// Strain energy, relative to the exact one.
    pub energy: f64,
    /// Displacement, root of the integrated square.
    pub displacement: f64,
    /// The elements' own stress, root of the integrated square.
    pub stress: f64,
    /// Estimated over true error in the energy norm.
    pub effectivity: f64,
}

impl Errors {
    /// Compares a solution with the exact one, integrating with the degree 8 rule whatever the body was built with.
    #[must_use]
    pub fn of(solved: &Solved, exact: &Exact<'_>) -> Self {
        let body = &solved.body;
        let moduli = body.elastic().moduli();
        let (mut energy, mut displacement, mut stresses) = (0.0, 0.0, 0.0);
        for t in 0..body.triangles() {
            let (nodes, u) = (body.nodes_of(t), body.displacements_of(t, &solved.displacements));
            for station in element::stations(Rule::Degree8) {
                let placed = element::place(&nodes, &station.gradient);
                let area = station.weight * placed.jacobian;
                let at = element::point(&nodes, &station.shape);
                let (right, own) =
                    ((exact.stress)(at), stress::at(body, &solved.displacements, t, station.local));
                let off = [0, 1, 2].map(|i| own[i] - right[i]);
                energy += area * exact.thickness_mm * moduli.work(off);
                stresses += area * (off[0] * off[0] + off[1] * off[1] + 2.0 * off[2] * off[2]);
                let moved = element::point(&u, &station.shape);
                let right = (exact.displacement)(at);
                displacement += area * ((moved[0] - right[0]).powi(2) + (moved[1] - right[1]).powi(2));
            }
        }
        let estimated = estimate(body, &solved.recovery, &solved.displacements, &solved.stress).total;
        Self {
            size: 1.0 / (body.triangles() as f64).sqrt(),
            energy: (solved.energy() / exact.energy - 1.0).abs(),
            displacement: displacement.sqrt(),
            stress: stresses.sqrt(),
            effectivity: estimated / energy.sqrt(),
        }
    }
}

/// Adds the rates of quadratic elements, and the effectivity of the estimate on each mesh.
///
/// Theory: the energy error is squared in the energy, so 4; displacement 3; stress 2. The meshes must be fine enough for
/// theory to hold: six elements across or more.
pub fn report(errors: &[Errors], outcome: &mut Outcome) {
    let mut rate = |error, taken, expected: f64, measure: fn(&Errors) -> f64| {
        let points = errors.iter().map(|e| (e.size, measure(e))).collect();
        outcome.rates.push(Rate { error, taken, points, expected, tolerance: 0.3 });
    };
    rate("strain energy", None, 4.0, |e| e.energy);
    rate("displacement", Some("mean square"), 3.0, |e| e.displacement);
    rate("stress in the elements", Some("mean square"), 2.0, |e| e.stress);
    for e in errors {
        let triangles = (1.0 / (e.size * e.size)).round();
        // The middle of 0.8 to 1.3, and half that range.
        outcome.checks.push(Check {
            quantity: format!("estimated over true energy error, {triangles} triangles"),
            expected: 1.05,
            got: e.effectivity,
            tolerance: 0.25 / 1.05,
            reason: "an estimate of the error is useful between 0.8 and 1.3 of it",
        });
    }
    let list: Vec<String> = errors.iter().map(|e| format!("{:.3}", e.effectivity)).collect();
    outcome.remarks.push(format!("estimated over true energy error, coarse to fine: {}", list.join(", ")));
}
