//! A body on its way: displacements, what its points remember, and the step to the next equilibrium.
//!
//! Newton's method with the consistent stiffness on the pattern and the analysis of the first factor. Forces that turn or give way with the
//! motion come in as [`Acting`]; what is driven is a list of unknowns with their values.

use super::element::{self, Motion, Moved};
use super::hardening::Hardening;
use super::law::{Law, Memory, Point};
use crate::plane::{Body, Factor, Pattern, PlaneError, Stiffness};
use rayon::prelude::*;
use std::sync::Arc;

/// Forces on a body that hang on where it is.
pub trait Acting: Sync {
    /// Adds to the forces (N, one for each unknown) and takes their derivative by the displacements from the stiffness.
    fn add(&self, displacements: &[f64], forces: &mut [f64], stiffness: &mut Stiffness);
}

/// Nothing acts but what is driven.
#[derive(Clone, Copy, Debug)]
pub struct Nothing;

impl Acting for Nothing {
    fn add(&self, _: &[f64], _: &mut [f64], _: &mut Stiffness) {}
}

/// Forces that stay as they are, N, one for each unknown.
#[derive(Clone, Debug)]
pub struct Dead(pub Vec<f64>);

impl Acting for Dead {
    fn add(&self, _: &[f64], forces: &mut [f64], _: &mut Stiffness) {
        for (force, by) in forces.iter_mut().zip(&self.0) {
            *force += by;
        }
    }
}

/// Why a step was not made. The body is as it was before.
#[derive(Clone, Debug, PartialEq)]
pub enum NoStep {
    /// A triangle is folded.
    Folded {
        /// The triangle.
        triangle: usize,
    },
    /// The stiffness is not positive definite: the body gives way under what drives it.
    GivesWay,
    /// Forces out of balance after the last iteration, as a part of the largest force.
    Unsettled {
        /// That part.
        left: f64,
    },
    /// Supports or memory.
    Plane(PlaneError),
    /// The caller called it off.
    CalledOff,
}

/// A step that was made.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Forces out of balance before each iteration and at the end, as a part of the largest force.
    pub residuals: Vec<f64>,
    /// Work turned into heat, N mm.
    pub dissipated: f64,
}

/// How a step ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settling {
    /// Forces out of balance that are left, as a part of the largest force.
    pub close: f64,
    /// Iterations at most.
    pub most: usize,
}

impl Default for Settling {
    fn default() -> Self {
        Self { close: 1e-9, most: 25 }
    }
}

/// The shortest part of an iteration's way that is tried.
const SHORTEST: f64 = 1e-3;
/// Parts of an iteration's way that are tried, at most.
const MOST_TRIED: u32 = 30;
/// The part of the work of what is out of balance that may be left, or turned round, after an iteration that has been shortened.
const TURNED: f64 = 0.8;

/// A body that has been deformed.
#[derive(Clone, Debug)]
pub struct Deformed<'a> {
    body: &'a Body,
    law: Law,
    /// Triangles that never yield, where there are any, and their law.
    elastic: Vec<bool>,
    elastic_law: Law,
    motion: Motion,
    pattern: Arc<Pattern>,
    /// The first factor: later ones take its order and analysis.
    first: Arc<Factor>,
    held: Vec<u32>,
    displacements: Vec<f64>,
    memories: Vec<Memory>,
    /// Stress `[xx, yy, xy]` of each integration point, MPa, in axes that turn with the metal.
    stresses: Vec<[f64; 3]>,
    /// Forces at all unknowns that hold it so, N.
    forces: Vec<f64>,
}

/// A body under trial displacements.
pub(crate) struct Trial {
    /// Forces at all unknowns that the body needs to stand so, N.
    pub inner: Vec<f64>,
    /// Forces that act, N.
    pub outer: Vec<f64>,
    /// Derivative of the one less the other by the displacements.
    pub stiffness: Stiffness,
    points: Vec<Point>,
}

impl Trial {
    /// Forces out of balance at unknowns that are not driven, and the largest force anywhere, N.
    fn out_of_balance(&self, held: &[bool]) -> (Vec<f64>, f64, f64) {
        let left: Vec<f64> = (0..self.inner.len())
            .map(|i| if held[i] { 0.0 } else { self.outer[i] - self.inner[i] })
            .collect();
        let most = |values: &[f64]| values.iter().fold(0.0_f64, |m, f| m.max(f.abs()));
        let (worst, scale) = (most(&left), most(&self.inner).max(most(&self.outer)));
        // The greatest of numbers passes over what is none: that is as far out of balance as can be.
        let worst = if left.iter().all(|f| f.is_finite()) { worst } else { f64::INFINITY };
        (left, worst, scale)
    }
}

impl<'a> Deformed<'a> {
    /// An undeformed body. `driven`: the unknowns that steps give values for; they must stop every rigid motion.
    ///
    /// # Errors
    /// As [`Factor::new`].
    pub fn new(body: &'a Body, law: Law, motion: Motion, driven: &[u32]) -> Result<Self, PlaneError> {
        let unknowns = body.unknowns();
        let pattern = Arc::new(Pattern::new(body.mesh()).map_err(|_| PlaneError::Memory { unknowns })?);
        let stiffness = Stiffness::assemble(body, Arc::clone(&pattern));
        let first = Factor::from_stiffness(stiffness, &body.mesh().points, driven)?;
        let points = body.breadths_mm().len();
        Ok(Self {
            body,
            elastic: Vec::new(),
            elastic_law: Law {
                elastic: law.elastic,
                hardening: Hardening::Perfect { yield_mpa: f64::INFINITY },
            },
            law,
            motion,
            pattern,
            first: Arc::new(first),
            held: driven.to_vec(),
            displacements: vec![0.0; unknowns],
            memories: vec![Memory::default(); points],
            stresses: vec![[0.0; 3]; points],
            forces: vec![0.0; unknowns],
        })
    }

    /// Keeps triangles elastic, whatever their stress: metal under a load that another calculation puts on a line.
    pub fn keep_elastic(&mut self, triangles: impl Fn(usize) -> bool) {
        self.elastic = (0..self.body.triangles()).map(triangles).collect();
    }

    fn law_of(&self, triangle: usize) -> &Law {
        if self.elastic.get(triangle) == Some(&true) { &self.elastic_law } else { &self.law }
    }

    /// Displacement of each unknown, mm.
    #[must_use]
    pub fn displacements(&self) -> &[f64] {
        &self.displacements
    }

    /// What each integration point remembers.
    #[must_use]
    pub fn memories(&self) -> &[Memory] {
        &self.memories
    }

    /// Stress `[xx, yy, xy]` at each integration point, MPa, over the undeformed volume and in axes that turn with the metal: to be read for
    /// its invariants.
    #[must_use]
    pub fn stresses(&self) -> &[[f64; 3]] {
        &self.stresses
    }

    /// Forces that a triangle needs at its nodes to stand as it does, N.
    #[must_use]
    pub fn forces_of(&self, triangle: usize) -> Option<[[f64; 2]; 6]> {
        let u = self.body.displacements_of(triangle, &self.displacements);
        let memories = &self.memories[self.body.points_of(triangle)];
        element::moved(self.body, triangle, &u, self.law_of(triangle), self.motion, memories)
            .map(|moved| moved.forces)
    }

    /// Forces at all unknowns that hold the body so, N: at driven ones what drives it.
    #[must_use]
    pub fn forces(&self) -> &[f64] {
        &self.forces
    }

    /// The body under displacements, from what its points remember.
    pub(crate) fn trial(&self, displacements: &[f64], acting: &dyn Acting) -> Result<Trial, NoStep> {
        let triangles: Vec<Option<Moved>> = (0..self.body.triangles())
            .into_par_iter()
            .with_min_len(64)
            .map(|t| {
                let u = self.body.displacements_of(t, displacements);
                element::moved(
                    self.body,
                    t,
                    &u,
                    self.law_of(t),
                    self.motion,
                    &self.memories[self.body.points_of(t)],
                )
            })
            .collect();
        let mut stiffness = Stiffness::nothing(Arc::clone(&self.pattern));
        let mut inner = vec![0.0; displacements.len()];
        let mut points = Vec::with_capacity(self.memories.len());
        // One after the other, in order: sums do not depend on the number of threads.
        for (triangle, moved) in triangles.into_iter().enumerate() {
            let moved = moved.ok_or(NoStep::Folded { triangle })?;
            let nodes = &self.body.mesh().triangles[triangle];
            stiffness.add(nodes, triangle, &moved.blocks);
            for (node, force) in nodes.iter().zip(moved.forces) {
                inner[2 * *node as usize] += force[0];
                inner[2 * *node as usize + 1] += force[1];
            }
            points.extend(moved.points);
        }
        let mut outer = vec![0.0; displacements.len()];
        acting.add(displacements, &mut outer, &mut stiffness);
        Ok(Trial { inner, outer, stiffness, points })
    }

    /// Goes to the equilibrium in which the driven unknowns have these values (mm, in the order in which they were given) under what acts.
    ///
    /// # Errors
    /// [`NoStep`]; the body is then as it was.
    ///
    /// # Panics
    /// If there are not as many values as driven unknowns.
    pub fn step(&mut self, values: &[f64], acting: &dyn Acting, settling: Settling) -> Result<Step, NoStep> {
        assert_eq!(values.len(), self.held.len(), "one value for each driven unknown");
        let mut held = vec![false; self.displacements.len()];
        let mut u = self.displacements.clone();
        let mut driven = vec![0.0; u.len()];
        for (&unknown, &value) in self.held.iter().zip(values) {
            held[unknown as usize] = true;
            driven[unknown as usize] = value - u[unknown as usize];
        }
        let mut residuals = Vec::new();
        let mut trial = self.trial(&u, acting)?;
        let mut moves = driven.iter().any(|d| *d != 0.0);
        loop {
            let (mut left, worst, scale) = trial.out_of_balance(&held);
            let part = if scale > 0.0 { worst / scale } else { 0.0 };
            residuals.push(part);
            if part <= settling.close && !moves {
                break;
            }
            if residuals.len() > settling.most || !part.is_finite() {
                return Err(NoStep::Unsettled { left: part });
            }
            let factor = self.factored(trial.stiffness)?;
            if moves {
                // The first iteration takes the driven unknowns along.
                for (left, moved) in left.iter_mut().zip(factor.stiffness_times(&driven)) {
                    *left -= moved;
                }
            }
            let change = factor.solve(&left);
            let base = u.clone();
            let whole: Vec<f64> =
                change.iter().zip(&driven).map(|(c, d)| c + if moves { *d } else { 0.0 }).collect();
            // What is out of balance does this work on the way ahead: where it turns against the way, the way was too long.
            let work = |left: &[f64]| left.iter().zip(&change).map(|(l, c)| l * c).sum::<f64>();
            let ahead = work(&left);
            let mut by = 1.0;
            // The parts of the way, with the work there, between which that comes down to nothing.
            let (mut near, mut far) = ((0.0, ahead), None);
            let mut tried = 0;
            trial = loop {
                tried += 1;
                for ((u, base), change) in u.iter_mut().zip(&base).zip(&whole) {
                    *u = base + by * change;
                }
                let next = self.trial(&u, acting);
                if by < SHORTEST || tried > MOST_TRIED {
                    break next?;
                }
                match &next {
                    Err(NoStep::Folded { .. }) => by *= 0.5,
                    Err(_) => break next?,
                    Ok(there) => {
                        let after = work(&there.out_of_balance(&held).0);
                        if moves || !after.is_finite() || after.abs() <= TURNED * ahead.abs() {
                            break next?;
                        }
                        if after < 0.0 {
                            far = Some((by, after));
                        } else {
                            near = (by, after);
                        }
                        let Some(far) = far else { break next? };
                        let root = near.1 / (near.1 - far.1);
                        by = near.0 + (far.0 - near.0) * root.clamp(0.1, 0.9);
                    }
                }
            };
            if moves {
                for driven in &mut driven {
                    *driven *= 1.0 - by;
                }
                moves = driven.iter().any(|d| *d != 0.0);
            }
        }
        let dissipated = self.settle(u, trial);
        Ok(Step { residuals, dissipated })
    }

    /// Stays under displacements that have been tried: what its points remember is now that. The work turned into heat, N mm.
    pub(crate) fn settle(&mut self, displacements: Vec<f64>, trial: Trial) -> f64 {
        let heat =
            trial.points.iter().zip(self.volumes()).map(|(point, volume)| point.dissipated * volume).sum();
        self.displacements = displacements;
        self.memories = trial.points.iter().map(|point| point.memory).collect();
        self.stresses = trial.points.iter().map(|point| point.stress).collect();
        self.forces = trial.inner;
        heat
    }

    /// Goes to the driven values in one step or, where that cannot be made, in two halves, each cut as well, `cuts` times at most. On an
    /// error the body stands where it got to.
    ///
    /// # Errors
    /// As [`Deformed::step`], of the shortest step tried.
    ///
    /// # Panics
    /// As [`Deformed::step`].
    pub fn advance(
        &mut self,
        values: &[f64],
        acting: &dyn Acting,
        settling: Settling,
        cuts: u32,
    ) -> Result<(), NoStep> {
        match self.step(values, acting, settling) {
            Ok(_) => Ok(()),
            Err(reason) if cuts == 0 => Err(reason),
            Err(_) => {
                let half: Vec<f64> = self
                    .held
                    .iter()
                    .zip(values)
                    .map(|(unknown, value)| 0.5 * (self.displacements[*unknown as usize] + value))
                    .collect();
                self.advance(&half, acting, settling, cuts - 1)?;
                self.advance(values, acting, settling, cuts - 1)
            }
        }
    }

    /// The factor of a stiffness; of one that lets something give way, with as much of the elastic stiffness as it takes: the way to the
    /// equilibrium is then a slower one, the equilibrium the same.
    pub(crate) fn factored(&self, stiffness: Stiffness) -> Result<Factor, NoStep> {
        for part in [0.0, 1e-4, 1e-3, 1e-2, 0.1] {
            let mut stiffened = stiffness.clone();
            if part > 0.0 {
                stiffened.add_part(part, self.first.stiffness());
            }
            match self.first.again(stiffened) {
                Err(PlaneError::Pivot) => {}
                other => return other.map_err(NoStep::Plane),
            }
        }
        Err(NoStep::GivesWay)
    }

    /// The body.
    #[must_use]
    pub fn body(&self) -> &'a Body {
        self.body
    }

    fn volumes(&self) -> impl Iterator<Item = f64> + '_ {
        (0..self.body.triangles()).flat_map(|t| self.body.samples(t)).map(|s| s.area_mm2 * s.breadth_mm)
    }
}

#[cfg(test)]
mod tests;
