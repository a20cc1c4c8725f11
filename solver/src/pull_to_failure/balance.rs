//! Equilibrium of a connector in its rig, far from where it was: frame, gate, grips, and how far the two load centres are apart.
//!
//! What is steered is that distance: load and way of the grips follow, also where the load falls. The two nodes that are steered are held in
//! the factored stiffness, and the forces that would hold them are equations of the border: in the end no force acts there.

use super::border::{Beyond, Border, Equation, PLACES};
use super::gate_balance::Drag;
use super::grip::{Grip, Loads, Mode};
use super::joints::{At, Joints, Pressing};
use crate::plane::Stiffness;
use crate::plastic::{Acting, Deformed, NoStep, Trial};
use geometry::curve::Point;

/// Iterations of one step at most.
const MOST: usize = 24;
/// Iterations in which forces out of balance must come down to a part.
const IN_CIRCLES: usize = 9;
/// Forces out of balance that may be left, as a part of the largest force.
const CLOSE: f64 = 1e-6;
/// Where nothing pulls yet, forces out of balance that may be left, N: little, also where those of thousands of nodes add up.
const CLOSE_N: f64 = 1e-5;
/// Force per motion of the gate in a step, N/mm: lost among forces of a pull, it keeps a gate in place that only one pin holds.
const DRAG: f64 = 1.0;
/// The same while nothing presses at the nose: the gate then comes along slowly.
const LOOSE_DRAG: f64 = 20.0;
/// A step in which the gate turns by more than this at once is too long, rad.
const MOST_TURN: f64 = 0.3;
/// An iteration in which a pin would go in deeper than before by more than this goes part of its way, mm.
const DEEPER_MM: f64 = 4e-3;
/// An iteration in which a pin would be in metal by more than this goes part of its way, mm.
const FAR_IN_MM: f64 = 0.3;
/// The shortest part.
const SHORTEST: f64 = 1.0 / 64.0;
/// Nothing moves farther than this, mm.
const MOST_MM: f64 = 1e3;

/// Where everything is, beside the frame's own displacements.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Beside {
    /// Gate and pins.
    pub joints: At,
    /// How far the steered nodes have moved across the pull axis, mm: upper, lower.
    pub across: [f64; 2],
    /// How far the grips have moved outward, mm: upper, lower.
    pub ways: [f64; 2],
    /// Forces with which bars hold the frame from sliding over them, N.
    pub sticking: [f64; 2],
}

impl Beside {
    /// The unknowns of the border, in its order; modes of the grips have no place of their own.
    fn take(&mut self, change: &[f64], joints: Option<&Joints<'_>>, bars: &[usize]) {
        let mut change = change.iter();
        let mut to = |value: &mut f64| *value += change.next().copied().unwrap_or(0.0);
        if let Some(joints) = joints {
            let At { gate, head, .. } = &mut self.joints;
            gate.iter_mut().for_each(&mut to);
            if joints.unknowns() > gate.len() {
                head.moved.iter_mut().chain(&mut head.force).for_each(&mut to);
            }
        }
        self.across.iter_mut().chain(&mut self.ways).for_each(&mut to);
        for bar in bars {
            to(&mut self.sticking[*bar]);
        }
    }
}

/// What pulls and what presses.
#[derive(Clone, Debug)]
pub(super) struct Rigged<'a> {
    /// Nose and hinge; nothing where the gate carries nothing.
    pub joints: Option<Joints<'a>>,
    /// What pulls: up, down.
    pub grips: [Grip<'a>; 2],
    /// Pull axis, from lower to upper.
    pub axis: Point,
    /// Forces that stay as they are, N, one for each unknown of the body: those of a gate that lets go.
    pub dead: Option<Vec<f64>>,
}

/// An equilibrium that was found.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// What pulls: up, down.
    pub loads: [Loads; 2],
    /// What the pins press.
    pub pressing: Option<Pressing>,
    /// Iterations it took.
    pub iterations: usize,
    /// Work turned into heat, N mm.
    pub heat: f64,
}

/// Forces on the frame where everything is now.
struct Now<'r, 'a> {
    rigged: &'r Rigged<'a>,
    beside: Beside,
    loads: [Loads; 2],
    pressing: Option<Pressing>,
}

impl Acting for Now<'_, '_> {
    fn add(&self, _: &[f64], forces: &mut [f64], stiffness: &mut Stiffness) {
        for ((grip, loads), sticking) in self.rigged.grips.iter().zip(&self.loads).zip(self.beside.sticking) {
            grip.add(loads, forces);
            for (unknown, weight) in grip.stick() {
                forces[*unknown as usize] += sticking * weight;
            }
        }
        for (force, dead) in forces.iter_mut().zip(self.rigged.dead.iter().flatten()) {
            *force += dead;
        }
        if let (Some(joints), Some(pressing)) = (&self.rigged.joints, &self.pressing) {
            joints.add(pressing, forces, Some(stiffness));
            joints.add_head(&self.beside.joints.head, forces);
        }
    }
}

fn largest(values: &[f64]) -> f64 {
    // A maximum passes over what is no number.
    if values.iter().all(|v| v.is_finite()) {
        values.iter().fold(0.0, |m, v| m.max(v.abs()))
    } else {
        f64::INFINITY
    }
}

impl<'a> Rigged<'a> {
    /// The unknowns of the steered nodes, which the body must hold.
    pub fn held(&self) -> Vec<u32> {
        self.grips.iter().flat_map(|g| [2 * g.steered, 2 * g.steered + 1]).collect()
    }

    /// How far the grips have to go until they touch, mm.
    pub fn touching(&self) -> [f64; 2] {
        [0, 1].map(|end| self.grips[end].touches_at_mm())
    }

    fn now(&self, u: &[f64], beside: &Beside) -> Now<'_, 'a> {
        let loads = [0, 1].map(|i| self.grips[i].loads(u, beside.ways[i]));
        let pressing = self.joints.as_ref().map(|j| j.pressing(u, &beside.joints));
        Now { rigged: self, beside: *beside, loads, pressing }
    }

    /// Across the pull axis, positive toward the gate.
    fn side(&self) -> Point {
        [self.axis[1], -self.axis[0]]
    }

    /// A sum over the displacements of the steered node of one end.
    fn at(&self, end: usize, direction: Point) -> [(u32, f64); 2] {
        let node = 2 * self.grips[end].steered;
        [(node, direction[0]), (node + 1, direction[1])]
    }

    fn bars(&self) -> Vec<usize> {
        (0..2).filter(|end| !self.grips[*end].stick().is_empty()).collect()
    }

    /// Goes to the equilibrium in which the two steered nodes are farther apart by `stretch_mm` than before the pull.
    ///
    /// # Errors
    /// [`NoStep`]; body and place are then as they were.
    pub fn go(&self, body: &mut Deformed<'_>, beside: &mut Beside, stretch_mm: f64) -> Result<Found, NoStep> {
        let bars = self.bars();
        let mut place = *beside;
        let stiffness = if place.joints.pressed_n > 0.0 { DRAG } else { LOOSE_DRAG };
        let drag = Drag { stiffness, since: place.joints.gate };
        let mut u = body.displacements().to_vec();
        // The steered nodes go along with the first iteration, the frame as its stiffness has it.
        let mut driven = vec![0.0; u.len()];
        for (end, sign) in [(0, 0.5), (1, -0.5)] {
            let along: f64 = self.at(end, self.axis).iter().map(|(n, w)| w * u[*n as usize]).sum();
            for (n, w) in self.at(end, self.axis) {
                driven[n as usize] = w * (sign * stretch_mm - along);
            }
        }
        let mut moves = driven.iter().any(|d| *d != 0.0);
        let mut course: Vec<f64> = Vec::new();
        for iterations in 0..=MOST {
            let now = self.now(&u, &place);
            let trial = body.trial(&u, &now)?;
            let mut border = self.border(&u, &place, &drag, &now, &trial);
            let mut left: Vec<f64> = trial.inner.iter().zip(&trial.outer).map(|(i, o)| i - o).collect();
            for held in self.held() {
                left[held as usize] = 0.0;
            }
            let scale = largest(&trial.inner).max(largest(&trial.outer));
            let off = largest(&left).max(border.off());
            if !moves && off <= (CLOSE * scale).max(CLOSE_N) {
                let Now { loads, pressing, .. } = now;
                let heat = body.settle(u, trial);
                if let (Some(joints), Some(pressing)) = (&self.joints, &pressing) {
                    place.joints = joints.after(&place.joints, pressing);
                }
                *beside = place;
                return Ok(Found { loads, pressing, iterations, heat });
            }
            course.push(off);
            // What has not come nearer in so many iterations goes round in circles.
            // A gate that is about to be taken up may wander until its pins have found their places.
            let settled = self.joints.is_none() || beside.joints.pressed_n > 0.0;
            let circles = settled && iterations > IN_CIRCLES && off > 0.3 * course[iterations - IN_CIRCLES];
            if iterations == MOST || circles || !off.is_finite() {
                return Err(NoStep::Unsettled { left: off / scale });
            }
            let factor = body.factored(trial.stiffness)?;
            if moves {
                for (left, by) in left.iter_mut().zip(factor.stiffness_times(&driven)) {
                    *left += by;
                }
                for equation in &mut border.equations {
                    equation.value += super::border::dot(&equation.row, &driven);
                }
            }
            let change = border.solve(&factor, &left).ok_or(NoStep::GivesWay)?;
            let deepest = |pressing: Option<&Pressing>| pressing.map_or(0.0, Pressing::deepest_mm);
            let bound = deepest(now.pressing.as_ref()) + DEEPER_MM;
            let (base, at_base) = (u.clone(), place);
            let mut by = 1.0;
            loop {
                place = at_base;
                let part: Vec<f64> = change.border.iter().map(|c| by * c).collect();
                place.take(&part, self.joints.as_ref(), &bars);
                for (((u, base), change), driven) in u.iter_mut().zip(&base).zip(&change.body).zip(&driven) {
                    *u = base + by * (change + driven);
                }
                // A pin that is far in metal would be pushed out on its other side.
                let far_in = self
                    .joints
                    .as_ref()
                    .is_some_and(|j| j.pressing(&u, &place.joints).deepest_mm() > FAR_IN_MM);
                // Wherever the frame has gone to, the gate has found its place on it.
                let pressing = self
                    .joints
                    .as_ref()
                    .filter(|_| by <= SHORTEST || !far_in)
                    .map(|j| j.settle(&u, &mut place.joints, &drag));
                if by <= SHORTEST || !far_in && deepest(pressing.as_ref()) <= bound {
                    break;
                }
                by *= 0.5;
            }
            driven.iter_mut().for_each(|d| *d *= 1.0 - by);
            moves = moves && by < 1.0;
            if (place.joints.gate[2] - at_base.joints.gate[2]).abs() > MOST_TURN || largest(&u) > MOST_MM {
                return Err(NoStep::Unsettled { left: f64::INFINITY });
            }
        }
        Err(NoStep::GivesWay)
    }

    /// Unknowns beside the displacements, and their equations.
    fn border(&self, u: &[f64], place: &Beside, drag: &Drag, now: &Now<'_, '_>, trial: &Trial) -> Border {
        let mut border = match (&self.joints, &now.pressing) {
            (Some(joints), Some(pressing)) => joints.border(u, &place.joints, pressing, drag),
            _ => Border::default(),
        };
        let side = self.side();
        let stiff = |end: usize, direction: Point| {
            let mut unit = vec![0.0; u.len()];
            self.at(end, direction).iter().for_each(|(n, w)| unit[*n as usize] = *w);
            trial.stiffness.times(&unit)
        };
        let nothing = || vec![0.0; u.len()];
        let across = [0, 1].map(|end| stiff(end, side));
        let first = border.unknowns.len();
        for (end, column) in across.iter().enumerate() {
            border.unknowns.push(Beyond { column: column.clone(), moves: self.at(end, side).to_vec() });
        }
        border.unknowns.extend([0, 1].map(|_| Beyond { column: nothing(), moves: Vec::new() }));
        let bars = self.bars();
        for bar in &bars {
            let mut column = nothing();
            self.grips[*bar].stick().iter().for_each(|(n, w)| column[*n as usize] -= w);
            border.unknowns.push(Beyond { column, moves: Vec::new() });
        }
        let modes: Vec<(usize, Mode)> = (0..2)
            .flat_map(|end| {
                let modes = self.grips[end].modes(&now.loads[end], u, place.ways[end]);
                modes.into_iter().map(move |mode| (end, mode))
            })
            .collect();
        let first_mode = border.unknowns.len();
        for (_, mode) in &modes {
            let column = mode.force.iter().map(|f| -f).collect();
            border.unknowns.push(Beyond { column, moves: Vec::new() });
        }

        let left = |sum: &[(u32, f64)]| {
            sum.iter().map(|(n, w)| w * (trial.inner[*n as usize] - trial.outer[*n as usize])).sum::<f64>()
        };
        // No force on a steered node along the axis.
        for end in 0..2 {
            let unit = self.at(end, self.axis);
            border.no_force(&unit, stiff(end, self.axis), left(&unit));
        }
        // None across it: straps make no such force at all, so that one of the two equations is idle, and the place across is free.
        let units = [0, 1].map(|end| self.at(end, side));
        if bars.is_empty() {
            let difference: Vec<(u32, f64)> =
                units[0].into_iter().chain(units[1].map(|(n, w)| (n, -w))).collect();
            let row = across[0].iter().zip(&across[1]).map(|(a, b)| a - b).collect();
            border.no_force(&difference, row, left(&difference));
            border.equations.push(Equation {
                row: nothing(),
                inner: vec![(first, PLACES), (first + 1, PLACES)],
                value: PLACES * (place.across[0] + place.across[1]),
            });
        } else {
            for (unit, row) in units.iter().zip(across) {
                border.no_force(unit, row, left(unit));
            }
        }
        for bar in &bars {
            let mut row = nothing();
            self.grips[*bar].stick().iter().for_each(|(n, w)| row[*n as usize] += PLACES * w);
            let value = super::border::dot(&row, u);
            border.equations.push(Equation { row, inner: Vec::new(), value });
        }
        for (k, (end, mode)) in modes.into_iter().enumerate() {
            let mut row = nothing();
            mode.row.iter().for_each(|(n, w)| row[*n as usize] += w);
            let inner = vec![(first + 2 + end, mode.by_way), (first_mode + k, -mode.own)];
            border.equations.push(Equation { row, inner, value: 0.0 });
        }
        border
    }
}
