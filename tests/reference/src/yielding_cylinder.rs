//! A thick cylinder under inner pressure from first yield to collapse, held along its axis.

use crate::check::compare;
use crate::model::{ModelError, nodes_on, plane_strain};
use crate::problem::{Outcome, Problem};
use crate::return_mapping::law::{Law, Stress, von_mises};
use crate::return_mapping::{Pushed, Spring};
use crate::sampled::at_nodes;
use crate::shapes::on_quarter_ring;
use crate::view::{Part, Shown, View};
use geometry::curve::Point;
use solver::collapse::Metal;
use solver::plane::element;
use solver::plane::grid::{LEFT, grid};
use solver::plane::loads::{Traction, add_traction, edges_on};
use solver::plane::quadrature::Rule;
use std::f64::consts::FRAC_PI_2;

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "yielding-cylinder",
    title: "thick cylinder in plane strain under inner pressure, from first yield to collapse",
    source: "Hill, The Mathematical Theory of Plasticity, 1950; as posed by de Souza Neto, Peric and Owen, Computational \
             Methods for Plasticity, section 7.5",
    run: || run().map_err(|fault| fault.stops("yielding-cylinder")),
};

pub(crate) const INNER: f64 = 100.0;
pub(crate) const OUTER: f64 = 200.0;
pub(crate) const E: f64 = 210_000.0;
pub(crate) const NU: f64 = 0.3;
pub(crate) const STRENGTH: f64 = 240.0;
/// Radius to which the metal yields, mm; inner pressure, MPa; displacement of the outer edge, mm.
pub(crate) const PUBLISHED: [(f64, f64, f64); 4] =
    [(120.0, 139.21, 0.08646), (140.0, 163.91, 0.11769), (160.0, 180.13, 0.15371), (180.0, 189.22, 0.19454)];
pub(crate) const COLLAPSE: f64 = 192.09;

/// Pressures that are reached one after the other, MPa: the published ones, and one a little below each so that a front can be
/// read between the two.
const PATH: [f64; 13] =
    [100.0, 120.0, 137.0, 139.21, 152.0, 162.0, 163.91, 172.0, 178.0, 180.13, 185.0, 187.0, 189.22];
/// Then the bore is widened, as a stiff mandrel would, to so many times where the last pressure left it.
const WIDENED: [f64; 4] = [1.25, 1.5, 2.0, 3.0];
/// Stiffness of the mandrel at each node over that of a millimetre of metal: it gives by less than 1e-4 of its travel.
const STIFF: f64 = 1e3;
/// The front is read from what is still elastic within this distance of the outermost point that yields, mm.
const BEYOND: f64 = 12.0;

/// A quarter of the cylinder, 1 mm long.
struct Cylinder {
    body: Pushed,
    /// Forces of an inner pressure of 1 MPa.
    unit: Vec<f64>,
    /// Radius of each integration point.
    radii: Vec<f64>,
    /// A node of the inner edge and one of the outer, both on the x axis.
    ends: [usize; 2],
}

/// The cylinder at one pressure.
#[derive(Clone, Copy)]
struct Reached {
    pressure: f64,
    front: f64,
    outer_mm: f64,
}

impl Cylinder {
    fn new(poisson_ratio: f64) -> Result<Self, ModelError> {
        let mesh = grid(24, 18, &|p| on_quarter_ring(INNER, OUTER, p));
        let mut metal = Metal::new(mesh, &|_| 1.0, STRENGTH);
        metal.drive(&|p| p[0] < 1e-9, 0, 0.0);
        metal.drive(&|p| p[1] < 1e-9, 1, 0.0);
        let mut unit = vec![0.0; metal.held.len()];
        let mesh = &metal.mesh;
        let pressure = |_: Point, normal: Point| normal.map(|n| -n);
        add_traction(mesh, edges_on(mesh, LEFT), Traction::PerLength(&pressure), &mut unit);
        let stations = element::stations(Rule::Degree2);
        let place_of = |t: &[u32; 6], s: &element::Station| {
            element::point(&t.map(|n| mesh.points[n as usize]), &s.shape)
        };
        let radii = mesh
            .triangles
            .iter()
            .flat_map(|t| stations.iter().map(move |s| place_of(t, s)))
            .map(|p| p[0].hypot(p[1]))
            .collect();
        let nearest = |x: f64| {
            let away = |p: &Point| (p[0] - x).hypot(p[1]);
            let all = mesh.points.iter().enumerate();
            all.min_by(|a, b| away(a.1).total_cmp(&away(b.1))).map_or(0, |(node, _)| node)
        };
        let ends = [nearest(INNER), nearest(OUTER)];
        let law = Law { elastic: plane_strain(E, poisson_ratio), strength_mpa: STRENGTH };
        Ok(Self { body: Pushed::new(metal, law)?, unit, radii, ends })
    }

    fn press(&mut self, pressure: f64) -> Result<Reached, ModelError> {
        self.body.step(&self.forces(pressure), &[])?;
        Ok(Reached { pressure, front: self.front(), outer_mm: self.body.displacements[2 * self.ends[1]] })
    }

    fn forces(&self, pressure: f64) -> Vec<f64> {
        self.unit.iter().map(|f| pressure * f).collect()
    }

    /// Widens the bore to `travel_mm`; the pressure that this takes, MPa.
    fn widen(&mut self, travel_mm: f64) -> Result<f64, ModelError> {
        let mesh = &self.body.metal.mesh;
        let springs: Vec<Spring> = nodes_on(mesh, LEFT)
            .into_iter()
            .map(|node| {
                let normal = mesh.points[node as usize].map(|x| x / INNER);
                Spring { node, normal, stiffness: STIFF * E, travel_mm }
            })
            .collect();
        self.body.step(&vec![0.0; self.unit.len()], &springs)?;
        let push: f64 = springs.iter().map(|s| s.force(&self.body.displacements)).sum();
        Ok(push / (FRAC_PI_2 * INNER))
    }

    fn front(&self) -> f64 {
        front(&self.radii, &self.body.stress)
    }

    /// Von Mises stress in MPa, with the pressure that acts.
    fn view(&self, pressure: f64) -> View {
        // The same stress less what acts along the axis, all round: the same von Mises stress, in the plane alone.
        let plane: Vec<[f64; 3]> = self.body.stress.iter().map(|[x, y, xy, z]| [x - z, y - z, *xy]).collect();
        let metal = &self.body.metal;
        let part = Part::new(&metal.mesh, &at_nodes(metal, &plane), &self.forces(pressure), Shown::VonMises);
        let caption = format!("At a pressure of {pressure} MPa; a quarter is solved.");
        View::of(vec![part], Shown::VonMises, caption).mirrored_in_x().mirrored_in_y()
    }
}

/// Radius at which the yield condition is just met, from the radius of each point and its stress: where a line through the von Mises
/// stresses of the elastic points beside the yielding ones, over the reciprocal of the radius squared, comes to the strength. NaN when
/// nothing yields or all does.
pub(crate) fn front(radii: &[f64], stress: &[Stress]) -> f64 {
    let all = || radii.iter().copied().zip(stress.iter().map(von_mises));
    let elastic = |stress: f64| stress < (1.0 - 1e-9) * STRENGTH;
    let yielding = all().filter(|(_, s)| !elastic(*s)).map(|(r, _)| r).fold(0.0, f64::max);
    let beside = || {
        let near = all().filter(|(r, s)| elastic(*s) && *r < yielding + BEYOND);
        near.map(|(r, s)| (1.0 / (r * r), s))
    };
    let count = beside().count() as f64;
    let [x, y] = [beside().map(|p| p.0).sum::<f64>() / count, beside().map(|p| p.1).sum::<f64>() / count];
    let both: f64 = beside().map(|p| (p.0 - x) * (p.1 - y)).sum();
    let square: f64 = beside().map(|p| (p.0 - x).powi(2)).sum();
    (x + (STRENGTH - y) * square / both).sqrt().recip()
}

/// The pressure at which the front comes to a radius, between two pressures that were reached.
fn pressure_at(reached: &[Reached], radius: f64) -> f64 {
    let between = reached.windows(2).find(|w| w[0].front <= radius && radius <= w[1].front);
    between.map_or(f64::NAN, |w| {
        let part = (radius - w[0].front) / (w[1].front - w[0].front);
        w[0].pressure + part * (w[1].pressure - w[0].pressure)
    })
}

fn run() -> Result<Outcome, ModelError> {
    const PRESSURE: &str = "1 %: the closed form takes the metal for incompressible, Poisson's ratio is 0.3";
    const WIDER: &str = "2 %: the same, and near collapse 1 % of pressure is much displacement";
    const FRONT: &str = "1 %: as the metal of the closed form, nearly incompressible";
    let mut outcome = Outcome::default();
    let mut cylinder = Cylinder::new(NU)?;
    let mut reached = Vec::new();
    for pressure in PATH {
        reached.push(cylinder.press(pressure)?);
        if pressure == PUBLISHED[2].1 {
            outcome.view = Some(cylinder.view(pressure).reading_at(&[[PUBLISHED[2].0, 0.0], [OUTER, 0.0]]));
        }
    }
    for (radius, pressure, _) in PUBLISHED {
        let quantity = format!("pressure when metal yields out to {radius} mm, MPa");
        outcome.checks.push(compare(quantity, pressure, pressure_at(&reached, radius), 0.01, PRESSURE));
    }
    for (radius, pressure, outer_mm) in PUBLISHED {
        let Some(at) = reached.iter().find(|r| r.pressure == pressure) else { continue };
        let quantity = format!("displacement of the outer edge at {pressure} MPa, mm");
        outcome.checks.push(compare(quantity, outer_mm, at.outer_mm, 0.02, WIDER));
        let off = 100.0 * (at.front / radius - 1.0);
        outcome.remarks.push(format!(
            "Poisson's ratio 0.3, {pressure} MPa: metal yields out to {:.1} mm, {off:+.1} % off the closed form's {radius}",
            at.front
        ));
    }
    let bore = cylinder.body.displacements[2 * cylinder.ends[0]];
    let widened = WIDENED.iter().map(|w| cylinder.widen(w * bore)).collect::<Result<Vec<_>, _>>()?;
    if let [.., before, last] = widened[..] {
        outcome.checks.push(compare("pressure at collapse, MPa", COLLAPSE, last, 0.01, PRESSURE));
        let rise = 100.0 * (last / before - 1.0);
        outcome.remarks.push(format!(
            "collapse is read with the bore widened to {:.0} times its displacement at {} MPa; from {:.0} times on the pressure \
             rises by {rise:.2} %",
            WIDENED[3], PATH[12], WIDENED[2]
        ));
    }
    let mut close = Cylinder::new(0.499)?;
    for pressure in PATH {
        let at = close.press(pressure)?;
        if let Some((radius, ..)) = PUBLISHED.iter().find(|p| p.1 == pressure) {
            let quantity = format!("Poisson's ratio 0.499: metal yields at {pressure} MPa out to, mm");
            outcome.checks.push(compare(quantity, *radius, at.front, 0.01, FRONT));
        }
    }
    Ok(outcome)
}
