//! A connector where a step has left it, so that a pull can go back there, unload from there, or go on without its gate.

use super::balance::{Beside, Found, Rigged};
use super::grip::Grip;
use super::joints::{At, Joints};
use super::reached::Reached;
use crate::plane::stress::von_mises;
use crate::plastic::{Deformed, Ductility, Law, Motion, NoStep};
use crate::response::hold;
use crate::rig::Rig;
use crate::system::{System, is_beyond};
use geometry::curve::Point;
use geometry::region::Stretch;
use std::sync::Arc;

/// Ductility is used up over a length, not at a point: it is averaged over a circle of this radius, mm (engineering judgement: a few grains
/// and some tenths of a section).
pub const AVERAGED_OVER_MM: f64 = 1.0;

/// Metal within so many radii of notch, pin or hole is of the joint, not of the bars: its stress is that of what presses there.
const NEAR_JOINT: f64 = 2.0;

/// How firm a bench bar is against the edge, as a part of Young's modulus, N/mm per mm of edge and mm of depth.
const BAR: f64 = 5.0;

/// What a pull needs to know of the frame's metal.
#[derive(Clone, Debug, PartialEq)]
pub struct Metal {
    /// Elasticity and hardening.
    pub law: Law,
    /// Plastic strain at which it tears, where that is known.
    pub ductility: Option<Ductility>,
    /// How motion is turned into strain: large in a pull, small beside limit loads, which know no change of shape.
    pub motion: Motion,
}

/// What of a pull does not change on its way.
#[derive(Debug)]
pub(super) struct Fixed<'a> {
    pub system: &'a System,
    pub rigged: Rigged<'a>,
    /// Without the gate.
    pub hook: Rigged<'a>,
    pub ductility: Option<Ductility>,
    /// Triangles of the bars: away from nose and lug.
    bars: Vec<bool>,
    /// Middle and volume of each integration point, mm and mm^3.
    places: Vec<(Point, f64)>,
    /// The integration points about each point of the bars that are averaged.
    spine: Vec<(usize, Vec<usize>)>,
}

/// A connector where a step has left it.
#[derive(Clone, Debug)]
pub(super) struct Standing<'a> {
    pub fixed: Arc<Fixed<'a>>,
    pub body: Deformed<'a>,
    pub beside: Beside,
    /// Whether the gate still takes part.
    pub gated: bool,
    /// Part of the metal's ductility used up at each integration point.
    used: Vec<f64>,
    heat_j: f64,
    found: Option<Found>,
    stretch_mm: f64,
}

impl<'a> Standing<'a> {
    /// A connector at rest.
    pub fn at_rest(system: &'a System, rig: &Rig, metal: &Metal) -> Result<Self, NoStep> {
        let axis = system.pull_axis(rig.upper, rig.lower);
        let ports = system.frame.compliance.ports();
        let bar = BAR * metal.law.elastic.youngs_modulus_mpa;
        let grips = || {
            [(&system.upper, rig.upper), (&system.lower, rig.lower)]
                .map(|(seat, loader)| Grip::new(seat, ports, loader, &axis, bar))
        };
        let held = hold(system, rig.gate, rig.friction);
        let joints = held.holds().then(|| Joints::new(system, rig.friction, held));
        let gated = joints.is_some();
        let rigged = Rigged { joints, grips: grips(), axis: axis.direction, dead: None };
        let hook = Rigged { joints: None, grips: grips(), axis: axis.direction, dead: None };
        let body = &system.frame.body;
        let station =
            |stretch: Stretch| system.outline.frame_stations.iter().find(move |s| s.stretch == stretch);
        let (nose, hinge) = (station(Stretch::NoseRoot), station(Stretch::HingeRoot));
        let mesh = body.mesh();
        let middle = |t: usize| {
            let corners = [0, 1, 2].map(|i| mesh.points[mesh.triangles[t][i] as usize]);
            [0, 1].map(|axis| corners.iter().map(|c| c[axis]).sum::<f64>() / 3.0)
        };
        let beyond =
            |station: Option<&_>, p: Point| station.is_some_and(|s| is_beyond(&system.outline, s, p));
        let seats = &system.outline.seats;
        let joints_at = [
            (seats.notch.end.centre, seats.notch.end.radius),
            (seats.nose_pin.centre, seats.nose_pin.radius),
            (seats.hinge_hole.centre, seats.hinge_hole.radius),
        ];
        let bars: Vec<bool> = (0..body.triangles())
            .map(|t| {
                let from = |at: Point| (middle(t)[0] - at[0]).hypot(middle(t)[1] - at[1]);
                let clear = joints_at.iter().all(|(at, radius)| from(*at) > NEAR_JOINT * radius);
                clear && !beyond(nose, middle(t)) && (hinge.is_none() || beyond(hinge, middle(t)))
            })
            .collect();
        let places: Vec<(Point, f64)> = (0..body.triangles())
            .flat_map(|t| {
                let nodes = body.nodes_of(t);
                body.samples(t).map(move |s| {
                    (crate::plane::element::point(&nodes, &s.station.shape), s.area_mm2 * s.breadth_mm)
                })
            })
            .collect();
        let line: Vec<u32> =
            mesh.lines.iter().filter(|e| e.stretch == Stretch::SpineMid).flat_map(|e| e.nodes).collect();
        // Above is on the side of the line to which the axis points, however the line lies across it.
        let ends = match (line.first(), line.last()) {
            (Some(a), Some(b)) => [a, b].map(|n| mesh.points[*n as usize]),
            _ => [[0.0; 2]; 2],
        };
        let [x, y] = [0, 1].map(|i| ends[1][i] - ends[0][i]);
        let turn = (axis.direction[1] * x - axis.direction[0] * y).signum();
        let above = |p: Point| turn * (x * (p[1] - ends[0][1]) - y * (p[0] - ends[0][0])) > 0.0;
        let spine = (0..body.triangles())
            .filter(|t| above(middle(*t)))
            .filter_map(|t| {
                let at: Vec<usize> = (0..6).filter(|i| line.contains(&mesh.triangles[t][*i])).collect();
                (!at.is_empty()).then_some((t, at))
            })
            .collect();
        let deformed =
            Deformed::new(body, metal.law.clone(), metal.motion, &rigged.held()).map_err(NoStep::Plane)?;
        let joints = rigged.joints.as_ref().map_or_else(At::default, Joints::at_rest);
        let beside = Beside { ways: rigged.touching(), joints, ..Beside::default() };
        let used = vec![0.0; places.len()];
        let fixed = Fixed { system, rigged, hook, ductility: metal.ductility, bars, places, spine };
        Ok(Self {
            fixed: Arc::new(fixed),
            body: deformed,
            beside,
            gated,
            used,
            heat_j: 0.0,
            found: None,
            stretch_mm: 0.0,
        })
    }

    pub fn rigged(&self) -> &Rigged<'a> {
        if self.gated { &self.fixed.rigged } else { &self.fixed.hook }
    }

    pub fn stretch_mm(&self) -> f64 {
        self.stretch_mm
    }

    /// Goes to a stretch. On an error nothing has changed.
    pub fn go(&mut self, stretch_mm: f64) -> Result<Reached, NoStep> {
        let fixed = Arc::clone(&self.fixed);
        let rigged = if self.gated { &fixed.rigged } else { &fixed.hook };
        self.balance(rigged, stretch_mm)?;
        Ok(self.reached())
    }

    /// Goes to a stretch under what pulls and presses there, and keeps account of heat and ductility.
    fn balance(&mut self, rigged: &Rigged<'a>, stretch_mm: f64) -> Result<(), NoStep> {
        let fixed = Arc::clone(&self.fixed);
        let before: Vec<f64> = self.body.memories().iter().map(|m| m.accumulated).collect();
        let found = rigged.go(&mut self.body, &mut self.beside, stretch_mm)?;
        self.stretch_mm = stretch_mm;
        self.heat_j += 1e-3 * found.heat;
        if let Some(ductility) = fixed.ductility {
            let points = self.body.memories().iter().zip(self.body.stresses());
            for ((used, before), (memory, stress)) in self.used.iter_mut().zip(&before).zip(points) {
                let more = memory.accumulated - before;
                if more > 0.0 {
                    let mises = von_mises(*stress);
                    let triaxiality = if mises > 0.0 { (stress[0] + stress[1]) / 3.0 / mises } else { 0.0 };
                    *used += more / ductility.at(triaxiality);
                }
            }
        }
        self.found = Some(found);
        Ok(())
    }

    /// Takes the gate away where it stands, its force in so many parts: what is left is a hook at the same stretch. False where no such
    /// equilibrium is found; nothing has changed then.
    pub fn let_go(&mut self, parts: u32) -> bool {
        let fixed = Arc::clone(&self.fixed);
        let pressing = self.found.as_ref().and_then(|f| f.pressing.as_ref());
        let mut forces = vec![0.0; self.body.displacements().len()];
        if let (true, Some(joints), Some(pressing)) = (self.gated, &fixed.rigged.joints, pressing) {
            joints.add(pressing, &mut forces, None);
            joints.add_head(&self.beside.joints.head, &mut forces);
        }
        let mut hook = self.clone();
        for k in (0..parts).rev() {
            let part = f64::from(k) / f64::from(parts);
            let rigged =
                Rigged { dead: Some(forces.iter().map(|f| part * f).collect()), ..fixed.hook.clone() };
            if hook.balance(&rigged, self.stretch_mm).is_err() {
                return false;
            }
        }
        *self = Self { gated: false, ..hook };
        true
    }

    /// Pull along the axis over the middle of the spine, N.
    fn spine_n(&self) -> f64 {
        let axis = self.rigged().axis;
        let mut sum = 0.0;
        for (triangle, at) in &self.fixed.spine {
            let Some(forces) = self.body.forces_of(*triangle) else { continue };
            // What the part above needs there is what the part below does to it.
            sum -= at.iter().map(|i| forces[*i][0] * axis[0] + forces[*i][1] * axis[1]).sum::<f64>();
        }
        sum
    }

    /// The largest of values at the integration points of the bars, and where.
    fn largest_in_bars(&self, values: impl Fn(usize) -> f64) -> (f64, Point) {
        let body = self.body.body();
        let mut most = (0.0, [0.0; 2]);
        for t in (0..body.triangles()).filter(|t| self.fixed.bars[*t]) {
            for point in body.points_of(t) {
                let value = values(point);
                if value > most.0 {
                    most = (value, self.fixed.places[point].0);
                }
            }
        }
        most
    }

    /// The largest part of the ductility used up, averaged, and where.
    fn ductility_used(&self) -> (f64, Point) {
        let (peak, _) = self.largest_in_bars(|p| self.used[p]);
        let mut most = (0.0, [0.0; 2]);
        if peak <= 0.0 {
            return most;
        }
        let near = |a: Point, b: Point| {
            (a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2) <= AVERAGED_OVER_MM * AVERAGED_OVER_MM
        };
        let places = &self.fixed.places;
        let body = self.body.body();
        for t in (0..body.triangles()).filter(|t| self.fixed.bars[*t]) {
            for point in body.points_of(t).filter(|p| self.used[*p] > 0.5 * peak) {
                let here = places[point].0;
                // Metal that has not yielded counts with nothing, but counts.
                let (mut sum, mut volume) = (0.0, 0.0);
                for (p, (at, v)) in places.iter().enumerate() {
                    if (at[0] - here[0]).abs() <= AVERAGED_OVER_MM && near(*at, here) {
                        sum += v * self.used[p];
                        volume += v;
                    }
                }
                if sum / volume > most.0 {
                    most = (sum / volume, here);
                }
            }
        }
        most
    }

    /// Largest stress of the bars after von Mises, MPa, and where.
    pub fn largest_stress(&self) -> (f64, Point) {
        self.largest_in_bars(|p| von_mises(self.body.stresses()[p]))
    }

    /// What the last step reached.
    pub fn reached(&self) -> Reached {
        let rigged = self.rigged();
        let axis = rigged.axis;
        let load_n = self.found.as_ref().map_or(0.0, |f| f.loads[0].pull_n);
        let pressing = self.found.as_ref().and_then(|f| f.pressing.as_ref());
        let on_frame = pressing.map_or([0.0; 2], Joints::nose_on_frame);
        let gate_n = -(on_frame[0] * axis[0] + on_frame[1] * axis[1]);
        let u = self.body.displacements();
        let (mut gate_line, mut nose_opening_mm, mut pin_out_mm) = (0.0, 0.0, 0.0);
        if let Some(joints) = &rigged.joints {
            gate_line = joints.link.force(self.beside.joints.gate);
            nose_opening_mm = joints.opening_mm(u, &self.beside.joints);
            pin_out_mm = pressing.map_or(0.0, |p| p.rubbing.out_mm) - joints.out_at_rest_mm();
        }
        let (plastic_strain, plastic_at) = self.largest_in_bars(|p| self.body.memories()[p].accumulated);
        let (used, ductility_at) = self.ductility_used();
        let [upper, lower] = [0, 1].map(|end| rigged.grips[end].turn(u));
        Reached {
            load_kn: 1e-3 * load_n,
            stretch_mm: self.stretch_mm,
            stroke_mm: self.beside.ways[0] + self.beside.ways[1] - rigged.touching().iter().sum::<f64>(),
            gate_kn: 1e-3 * gate_n,
            spine_kn: 1e-3 * self.spine_n(),
            gate_line_kn: 1e-3 * gate_line,
            gate_fraction: if load_n > 0.0 { gate_n / load_n } else { 0.0 },
            nose_opening_mm,
            pin_out_mm,
            opened_deg: (upper - lower).to_degrees(),
            plastic_strain,
            plastic_at,
            ductility_used: self.fixed.ductility.map(|_| used),
            ductility_at,
            heat_j: self.heat_j,
            iterations: self.found.as_ref().map_or(0, |f| f.iterations),
        }
    }
}
