//! A body that is driven: what the problems of this folder build, step and show.

use crate::check::{Check, compare};
use crate::model::{ModelError, plane_stress};
use crate::sampled::at_nodes_of;
use crate::view::{Part, Shown, View};
use geometry::curve::Point;
use geometry::mesh::Mesh;
use solver::plane::Body;
use solver::plane::element;
use solver::plastic::element::deformation;
use solver::plastic::log_strain::LogStrain;
use solver::plastic::{Acting, Deformed, Hardening, Law, Motion, NoStep, Nothing, Settling};
use std::collections::BTreeMap;

pub(super) const E: f64 = 200_000.0;
pub(super) const NU: f64 = 0.3;
pub(super) const STRENGTH: f64 = 250.0;

impl From<NoStep> for ModelError {
    fn from(reason: NoStep) -> Self {
        match reason {
            NoStep::Plane(error) => Self::Plane(error),
            other => Self::NoStep(other),
        }
    }
}

/// Perfectly plastic metal in plane stress.
pub(super) fn law() -> Law {
    Law { elastic: plane_stress(E, NU), hardening: Hardening::Perfect { yield_mpa: STRENGTH } }
}

/// A plate of it, 1 mm thick.
pub(super) fn plate(mesh: Mesh) -> Result<Body, ModelError> {
    Ok(Body::new(mesh, &|_| 1.0, &|_| false, plane_stress(E, NU))?)
}

/// A body that is driven: each driven unknown with how far it goes while the whole goes by one.
pub(super) struct Driven<'a> {
    of: &'a Body,
    law: Law,
    motion: Motion,
    pub(super) settling: Settling,
    pub(super) body: Deformed<'a>,
    ways: Vec<(u32, f64)>,
}

impl<'a> Driven<'a> {
    /// A body of perfectly plastic metal whose motion is small.
    pub(super) fn new(of: &'a Body, ways: Vec<(u32, f64)>) -> Result<Self, ModelError> {
        Self::of(of, law(), Motion::Small, ways)
    }

    /// Any body; of the ways of an unknown that is named twice the first counts.
    pub(super) fn of(
        of: &'a Body,
        law: Law,
        motion: Motion,
        mut ways: Vec<(u32, f64)>,
    ) -> Result<Self, ModelError> {
        ways.sort_by_key(|way| way.0);
        ways.dedup_by_key(|way| way.0);
        let unknowns: Vec<u32> = ways.iter().map(|way| way.0).collect();
        let body = Deformed::new(of, law.clone(), motion, &unknowns)?;
        Ok(Self { of, law, motion, settling: Settling { close: 1e-8, most: 40 }, body, ways })
    }

    /// Each driven unknown goes so many times its way.
    pub(super) fn go(&mut self, to: f64) -> Result<(), ModelError> {
        self.go_to(|_, way| to * way)
    }

    /// Each driven unknown goes where it is told, by its number and its way.
    pub(super) fn go_to(&mut self, place: impl Fn(u32, f64) -> f64) -> Result<(), ModelError> {
        let values: Vec<f64> = self.ways.iter().map(|(unknown, way)| place(*unknown, *way)).collect();
        Ok(self.body.advance(&values, &Nothing, self.settling, 6)?)
    }

    /// Stays where it is driven to while something acts.
    pub(super) fn under(&mut self, acting: &dyn Acting) -> Result<(), ModelError> {
        let values: Vec<f64> =
            self.ways.iter().map(|way| self.body.displacements()[way.0 as usize]).collect();
        Ok(self.body.advance(&values, acting, self.settling, 6)?)
    }

    /// Force that works on the whole's way, N.
    pub(super) fn force(&self) -> f64 {
        self.ways.iter().map(|(unknown, way)| way * self.body.forces()[*unknown as usize]).sum()
    }

    /// Stress `[xx, yy, xy]` and across the plane at each integration point, MPa, triangle by triangle; of a large motion in axes that
    /// turn with the metal.
    pub(super) fn stress(&self) -> Vec<([f64; 3], f64)> {
        let of_triangle = |t: usize| {
            let u = self.of.displacements_of(t, self.body.displacements());
            let memories = &self.body.memories()[self.of.points_of(t)];
            let points = self.of.samples(t).zip(memories).map(|(sample, memory)| {
                let g = &sample.placed.gradient;
                let strain = match self.motion {
                    Motion::Small => Some(element::strain(g, &u)),
                    Motion::Large => LogStrain::of(deformation(g, &u)).map(|l| l.strain),
                };
                // A point that is asked again for the strain that it has gives the stress that it has.
                let point = strain.map(|strain| self.law.at(memory, strain));
                point.map_or(([f64::NAN; 3], f64::NAN), |p| (p.stress, p.across))
            });
            points.collect::<Vec<_>>()
        };
        (0..self.of.triangles()).flat_map(of_triangle).collect()
    }

    /// Von Mises stress in MPa on the body where it has gone to, with the forces that drive it.
    pub(super) fn view(&self, caption: impl Into<String>) -> View {
        let held: BTreeMap<u32, f64> = self.ways.iter().copied().collect();
        let still = |unknown: u32| held.get(&unknown) == Some(&0.0);
        let forces = self.body.forces();
        // What is left out of balance is no load.
        let least = 1e-5 * forces.iter().fold(0.0_f64, |most, f| most.max(f.abs()));
        let shown: Vec<f64> = (0_u32..)
            .zip(forces)
            .map(|(unknown, f)| if still(unknown) || f.abs() < least { 0.0 } else { *f })
            .collect();
        // The same stress less what acts along the axis, all round: the same von Mises stress, in the plane alone.
        let plane: Vec<[f64; 3]> =
            self.stress().into_iter().map(|([x, y, xy], z)| [x - z, y - z, xy]).collect();
        let mesh = self.moved();
        let mut part = Part::new(&mesh, &at_nodes_of(self.of, &plane), &shown, Shown::VonMises);
        let is_held = |n: &u32| still(2 * n) || still(2 * n + 1);
        part.held = part.edges.iter().copied().filter(|edge| edge.iter().all(is_held)).collect();
        View::of(vec![part], Shown::VonMises, caption)
    }

    /// The mesh where a large motion has brought it.
    fn moved(&self) -> Mesh {
        let mut mesh = self.of.mesh().clone();
        if self.motion == Motion::Large {
            for (p, u) in mesh.points.iter_mut().zip(self.body.displacements().chunks_exact(2)) {
                *p = [p[0] + u[0], p[1] + u[1]];
            }
        }
        mesh
    }
}

/// Unknowns along an axis of the nodes of a mesh that are picked.
pub(super) fn along(mesh: &Mesh, axis: u32, pick: impl Fn(Point) -> bool) -> Vec<u32> {
    (0..mesh.points.len() as u32).filter(|n| pick(mesh.points[*n as usize])).map(|n| 2 * n + axis).collect()
}

pub(super) fn still(unknowns: Vec<u32>) -> impl Iterator<Item = (u32, f64)> {
    unknowns.into_iter().map(|unknown| (unknown, 0.0))
}

pub(super) fn moving(unknowns: Vec<u32>) -> impl Iterator<Item = (u32, f64)> {
    unknowns.into_iter().map(|unknown| (unknown, 1.0))
}

/// Equal steps to a last place.
pub(super) fn even(last: f64, steps: u32) -> impl Iterator<Item = f64> {
    (1..=steps).map(move |step| last * f64::from(step) / f64::from(steps))
}

/// Drives a body from place to place, which go up: the force at the last, and how much it grew over the last tenth of the way.
pub(super) fn limit(
    driven: &mut Driven<'_>,
    places: impl Iterator<Item = f64>,
) -> Result<[f64; 2], ModelError> {
    let mut found = Vec::new();
    for place in places {
        driven.go(place)?;
        found.push((place, driven.force()));
    }
    let (last, end) = found.last().copied().unwrap_or((0.0, f64::NAN));
    let before = found.iter().rfind(|(place, _)| *place <= 0.9 * last * (1.0 + 1e-9));
    Ok([end, before.map_or(f64::NAN, |(_, force)| end / force - 1.0)])
}

/// A limit load beside its closed form, and that the force has stopped growing.
pub(super) fn at_the_limit(
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
