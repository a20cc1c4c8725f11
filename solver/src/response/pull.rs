//! A rig on a system, ready for any load. What pulls where, and how the gate is held, fix the unknown forces and the
//! compliance between them; only the load is left open. A pull that grows is solved load by load, each from the contacts
//! that pressed at the one before.

use super::extent::Extent;
use super::hold::{Hold, hold};
use super::programme::{Assembled, Forces, Start};
use super::unknowns::{
    PullAxis, Source, Strap, Unknown, bar_unknowns, edge_row, load_centre, row_unknown, stick_unknown,
    strap_unknowns,
};
use super::{Applied, MOST_LINEARISATIONS, Motion, Response, ResponseInfo, RigError, SETTLED_MM};
use crate::plane::Way;
use crate::rig::{Loader, Rig};
use crate::system::{Joint, Part, Seat, Side, System, gap_mm};
use geometry::connector::LipOn;
use geometry::curve::Point;
use geometry::outline::Circle;
use geometry::region::Stretch;

/// A contact whose normal lies within 20 degrees of the line of the pins is likely to press: the cosine.
const LIKELY: f64 = 0.5;

/// The load that a strap's pattern is taken at, N. Straps alone answer in proportion; beside a bench bar it is a choice.
const PATTERN_N: f64 = 10e3;

/// A line along which part of a strap's load acts on the frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadLine {
    /// True for the upper strap.
    pub upper: bool,
    /// A point on it, on the frame's inner edge, mm.
    pub at: Point,
    /// Its force per N of load.
    pub per_n: Point,
}

/// A rig on a system, at any load.
#[derive(Debug)]
pub struct Pull<'a> {
    system: &'a System,
    rig: Rig,
    hold: Hold,
    axis: PullAxis,
    unknowns: Vec<Unknown>,
    assembled: Assembled,
    /// What is watched of frame and gate.
    watched: [Watched; 2],
    /// Forces that were zero at the load solved last.
    zero: Vec<bool>,
}

impl<'a> Pull<'a> {
    /// The rig's load plays no part, but must be above zero as in every rig.
    ///
    /// # Errors
    /// [`RigError`]: a rig that does not fit.
    pub fn new(system: &'a System, rig: &Rig) -> Result<Self, RigError> {
        system.check_rig(rig)?;
        Self::held(system, rig, hold(system, rig.gate, rig.friction))
    }

    /// The rig with the notch holding as entered, whatever its own angles say.
    pub(super) fn held(system: &'a System, rig: &Rig, hold: Hold) -> Result<Self, RigError> {
        let axis = system.pull_axis(rig.upper, rig.lower);
        let unknowns = unknowns_of(system, rig, hold, &axis);
        let assembled = Assembled::try_new(system, &unknowns)?;
        let watched = watched(system, rig, &axis);
        Ok(Self { system, rig: *rig, hold, axis, unknowns, assembled, watched, zero: Vec::new() })
    }

    /// The same, beginning with the contacts that press in a response to the same or a similar rig. This changes the time,
    /// not the answer.
    #[must_use]
    pub fn near(mut self, response: &Response) -> Self {
        if response.zero.len() == self.unknowns.len() {
            self.zero.clone_from(&response.zero);
        }
        self
    }

    /// The system.
    #[must_use]
    pub fn system(&self) -> &'a System {
        self.system
    }

    /// How the notch holds the pin.
    #[must_use]
    pub fn hold(&self) -> Hold {
        self.hold
    }

    /// The response to a load, kN.
    ///
    /// # Errors
    /// [`RigError`]: a load that is not above zero, or that no forces balance.
    pub fn respond(&mut self, load_kn: f64) -> Result<Response, RigError> {
        self.responding(load_kn, Extent::Whole)
    }

    /// The response to a load, kN, with displacements at the joints only: all that a load path is read from, in a fraction of the
    /// time.
    ///
    /// # Errors
    /// As [`Self::respond`].
    pub(crate) fn at_joints(&mut self, load_kn: f64) -> Result<AtJoints, RigError> {
        self.responding(load_kn, Extent::Joints).map(AtJoints)
    }

    fn responding(&mut self, load_kn: f64, extent: Extent) -> Result<Response, RigError> {
        if !(load_kn.is_finite() && load_kn > 0.0) {
            return Err(RigError::Load { load_kn });
        }
        match self.solve(load_kn, extent) {
            // Where no row presses, nothing fixes the gate's motion, and the programme has no single answer.
            Err(error @ RigError::NoBalance(_)) if self.hold.holds() => {
                let rig = Rig { load_kn, ..self.rig };
                self.system.respond_idle(&rig, self.hold)?.ok_or(error)
            }
            other => other,
        }
    }

    pub(super) fn solve(&mut self, load_kn: f64, extent: Extent) -> Result<Response, RigError> {
        let mut info = ResponseInfo::default();
        let mut gaps: Vec<f64> = self.unknowns.iter().map(|u| u.gap).collect();
        loop {
            let solution = if self.zero.is_empty() {
                let likely = likely(self.system, &self.unknowns);
                self.assembled.solve(&gaps, 1e3 * load_kn, Start::Likely(&likely))?
            } else {
                self.assembled.solve(&gaps, 1e3 * load_kn, Start::Zero(&self.zero))?
            };
            self.zero =
                self.unknowns.iter().zip(&solution.forces).map(|(u, f)| u.one_sided && *f == 0.0).collect();
            info.optimality = solution.optimality;
            info.linearisations += 1;
            let mut response = self.fields(load_kn, &solution, Extent::Joints);
            let moved = self.moved_gaps(&response);
            // What matters of a row that presses is how far its gap moved; of one that does not, whether it should.
            info.gap_change_mm = self
                .unknowns
                .iter()
                .zip(&gaps)
                .zip(moved.iter().zip(&solution.forces))
                .filter(|((unknown, _), _)| matches!(unknown.source, Source::Row(_)))
                .map(
                    |((_, old), (moved, force))| {
                        if *force > 0.0 { (moved.linear - old).abs() } else { (-moved.open).max(0.0) }
                    },
                )
                .fold(0.0, f64::max);
            info.settled = info.gap_change_mm < SETTLED_MM;
            if info.settled || info.linearisations == MOST_LINEARISATIONS {
                if extent == Extent::Whole {
                    response = self.fields(load_kn, &solution, Extent::Whole);
                }
                response.info = info;
                return Ok(response);
            }
            gaps = moved.iter().map(|m| m.linear).collect();
        }
    }

    /// How straps share the load once the gate carries nothing, in lines along which it acts.
    ///
    /// # Errors
    /// [`RigError`]: no forces balance.
    pub(crate) fn open_load_lines(&mut self) -> Result<Vec<LoadLine>, RigError> {
        // A gate that is not held carries nothing already.
        if self.hold.holds() { self.system.open_load_lines(&self.rig) } else { self.strap_pattern() }
    }

    /// The forces that straps make per N of load, without the fields that they cause.
    pub(super) fn strap_pattern(&mut self) -> Result<Vec<LoadLine>, RigError> {
        let gaps: Vec<f64> = self.unknowns.iter().map(|u| u.gap).collect();
        let likely = likely(self.system, &self.unknowns);
        let solution = self.assembled.solve(&gaps, PATTERN_N, Start::Likely(&likely))?;
        let lines = self.unknowns.iter().zip(&solution.forces).filter(|(_, force)| **force != 0.0);
        Ok(lines
            .filter_map(|(u, force)| match u.source {
                Source::Fibre(upper) => {
                    Some(LoadLine { upper, at: u.at, per_n: u.on_frame.map(|f| f * force / PATTERN_N) })
                }
                _ => None,
            })
            .collect())
    }

    /// What the forces do to both bodies.
    fn fields(&self, load_kn: f64, solution: &Forces, extent: Extent) -> Response {
        let Self { system, rig, hold, axis, unknowns, watched, .. } = self;
        let whole = extent == Extent::Whole;
        let forces_on = |part: &Part| if whole { vec![0.0; part.body.unknowns()] } else { Vec::new() };
        let (mut frame_forces, mut gate_forces) = (forces_on(&system.frame), forces_on(&system.gate));
        let (mut on_frame, mut on_gate) = (Vec::new(), Vec::new());
        let mut applied = Vec::new();
        for (unknown, force) in unknowns.iter().zip(&solution.forces) {
            if *force == 0.0 {
                continue;
            }
            for (ports, part, nodal, on) in [
                (&unknown.frame, &system.frame, &mut frame_forces, &mut on_frame),
                (&unknown.gate, &system.gate, &mut gate_forces, &mut on_gate),
            ] {
                for (port, value) in ports {
                    if whole {
                        part.compliance.ports()[*port as usize].add_to(force * value, nodal);
                    }
                    on.push((*port, force * value));
                }
            }
            applied.push(Applied {
                source: unknown.source,
                at: unknown.at,
                on_frame: unknown.on_frame.map(|f| f * force),
                on_gate: unknown.on_gate.map(|f| f * force),
            });
        }
        let displaced = |part: &Part, watched: &Watched, forces: &[(u32, f64)]| match extent {
            Extent::Whole => part.compliance.displaced(&part.factor, forces),
            Extent::Joints => part.compliance.displaced_on(&part.factor, &watched.way, forces),
        };
        let (mut frame_u, mut gate_u) = rayon::join(
            || displaced(&system.frame, &watched[0], &on_frame),
            || {
                if hold.holds() {
                    displaced(&system.gate, &watched[1], &on_gate)
                } else {
                    vec![0.0; system.gate.body.unknowns()]
                }
            },
        );
        let move_by = |motion: Motion, part: &Part, watched: &Watched, u: &mut [f64]| {
            let points = &part.body.mesh().points;
            match extent {
                Extent::Whole => motion.add_to(points, u),
                Extent::Joints => {
                    for node in watched.nodes.iter().map(|node| *node as usize) {
                        motion.add_to(&points[node..=node], &mut u[2 * node..2 * node + 2]);
                    }
                }
            }
        };
        let (mut frame_motion, mut gate_motion) = (solution.frame, solution.gate);
        move_by(frame_motion, &system.frame, &watched[0], &mut frame_u);
        move_by(gate_motion, &system.gate, &watched[1], &mut gate_u);
        if matches!((rig.upper, rig.lower), (Loader::Strap { .. }, Loader::Strap { .. })) {
            // Straps leave the sideways swing free: keep the two load centres about the pull axis.
            let across = [axis.direction[1], -axis.direction[0]];
            let off = |seat: &Seat, x: f64| {
                let (edge, s) = seat.at_x(x);
                edge_row(seat, edge, s)
                    .iter()
                    .map(|(n, w)| {
                        let n = 2 * *n as usize;
                        w * (frame_u[n] * across[0] + frame_u[n + 1] * across[1])
                    })
                    .sum::<f64>()
            };
            let swing = -0.5 * (off(&system.upper, axis.upper[0]) + off(&system.lower, axis.lower[0]));
            let shift = Motion { x: swing * across[0], y: swing * across[1], turn: 0.0 };
            move_by(shift, &system.frame, &watched[0], &mut frame_u);
            frame_motion.x += shift.x;
            frame_motion.y += shift.y;
            if hold.holds() {
                move_by(shift, &system.gate, &watched[1], &mut gate_u);
                gate_motion.x += shift.x;
                gate_motion.y += shift.y;
            }
        }
        Response {
            rig: Rig { load_kn, ..*rig },
            hold: *hold,
            axis: *axis,
            applied,
            zero: self.zero.clone(),
            frame_forces,
            gate_forces,
            frame_u,
            gate_u,
            frame_motion,
            gate_motion,
            info: ResponseInfo::default(),
        }
    }

    /// Gaps at the solved position, and gaps such that the linear rows give them. Taken as seen from the turned frame: a hook
    /// that swings as a whole on soft straps opens nothing, which a linear turn of both bodies would.
    fn moved_gaps(&self, response: &Response) -> Vec<MovedGap> {
        let system = self.system;
        let swing = Motion { turn: response.frame_motion.turn, ..Motion::default() };
        let seen = |at: Point, [x, y]: Point| {
            let [sx, sy] = swing.at(at);
            [x - sx, y - sy]
        };
        let pin_motion = |joint: Joint| {
            let (side, disc, first) = system.disc(joint);
            let u = if *side == Side::Gate { &response.gate_u } else { &response.frame_u };
            let ports = system.part(*side).compliance.ports();
            let [vx, vy, turn] = [0, 1, 2].map(|i| ports[*first as usize + i].displacement(u));
            (seen(disc.circle().centre, [vx, vy]), turn - swing.turn)
        };
        let motions = [pin_motion(Joint::Nose), pin_motion(Joint::Hinge)];
        self.unknowns
            .iter()
            .map(|unknown| {
                let Source::Row(index) = unknown.source else {
                    return MovedGap { linear: unknown.gap, open: 0.0 };
                };
                let row = system.rows[index];
                let circle = system.disc(row.joint).1.circle();
                let ([vx, vy], turn) = motions[if row.joint == Joint::Nose { 0 } else { 1 }];
                let u = if row.surface == Side::Frame { &response.frame_u } else { &response.gate_u };
                let n = 2 * row.node as usize;
                let [ux, uy] = seen(row.at, [u[n], u[n + 1]]);
                let at = [row.at[0] + ux, row.at[1] + uy];
                let moved = Circle { centre: [circle.centre[0] + vx, circle.centre[1] + vy], ..circle };
                let from = [row.at[0] - circle.centre[0], row.at[1] - circle.centre[1]];
                let opening =
                    row.normal[0] * (ux - vx + turn * from[1]) + row.normal[1] * (uy - vy - turn * from[0]);
                // A circle that no longer reaches across the point is a radius away at least.
                let open = gap_mm(at, row.normal, moved).unwrap_or(circle.radius);
                MovedGap { linear: open - opening, open }
            })
            .collect()
    }
}

/// A response that knows displacements at the joints only: at the points of contact, of the discs of the pins, at the end of the
/// notch and at the tip of the nose (or the middle of a gate that has the notch). Elsewhere they are no displacements, and nodal
/// forces are left out.
#[derive(Clone, Debug)]
pub(crate) struct AtJoints(Response);

impl AtJoints {
    /// All that it knows, as a response; not for its stress.
    pub fn response(&self) -> &Response {
        &self.0
    }
}

/// Nodes of a body that are watched, and the way to their unknowns.
#[derive(Debug)]
struct Watched {
    /// Rising.
    nodes: Vec<u32>,
    way: Way,
}

/// What is watched of frame and gate: that from which gaps, the turn of the notch and the slide of the pin are read, and, below
/// straps, what keeps the load centres about the pull axis.
fn watched(system: &System, rig: &Rig, axis: &PullAxis) -> [Watched; 2] {
    let mut nodes = [Vec::new(), Vec::new()];
    let of = |side: Side| usize::from(side == Side::Gate);
    for row in &system.rows {
        nodes[of(row.surface)].push(row.node);
    }
    for joint in [Joint::Nose, Joint::Hinge] {
        let (side, _, first) = system.disc(joint);
        let ports = system.part(*side).compliance.ports();
        nodes[of(*side)].extend((0..3).flat_map(|i| ports[*first as usize + i].unknowns()).map(|n| n / 2));
    }
    let (side, turning) = notch_turner(system.outline.lip_on);
    let mesh = system.part(side).body.mesh();
    let edges = mesh.boundary.iter().chain(&mesh.lines);
    let read = edges.filter(|e| e.stretch == turning || e.stretch == Stretch::NotchEnd);
    nodes[of(side)].extend(read.flat_map(|e| e.nodes));
    if matches!((rig.upper, rig.lower), (Loader::Strap { .. }, Loader::Strap { .. })) {
        for (seat, centre) in [(&system.upper, axis.upper), (&system.lower, axis.lower)] {
            let (edge, s) = seat.at_x(centre[0]);
            nodes[0].extend(edge_row(seat, edge, s).iter().map(|(node, _)| *node));
        }
    }
    let [frame, gate] = nodes;
    [(frame, &system.frame), (gate, &system.gate)].map(|(mut nodes, part)| {
        nodes.sort_unstable();
        nodes.dedup();
        let way = part.factor.way_to(nodes.iter().flat_map(|node| [2 * node, 2 * node + 1]));
        Watched { nodes, way }
    })
}

/// The body that has the notch, and the stretch of it that turns as the notch does.
#[must_use]
pub fn notch_turner(lip_on: LipOn) -> (Side, Stretch) {
    match lip_on {
        LipOn::Frame => (Side::Frame, Stretch::NoseTip),
        LipOn::Gate => (Side::Gate, Stretch::GateMid),
    }
}

/// Which forces are likely to act: contacts near the line of the pins, since a pulled gate presses along it, and all that
/// straps and bars make.
fn likely(system: &System, unknowns: &[Unknown]) -> Vec<bool> {
    let seats = &system.outline.seats;
    let (from, to) = (seats.nose_pin.centre, seats.hinge_pin.centre);
    let line = [to[0] - from[0], to[1] - from[1]];
    let length = line[0].hypot(line[1]);
    unknowns
        .iter()
        .map(|unknown| {
            let Source::Row(index) = unknown.source else { return true };
            let [x, y] = unknown.on_frame;
            let along = (x * line[0] + y * line[1]) / length;
            let pressed = if system.rows[index].joint == Joint::Nose { along } else { -along };
            pressed > LIKELY
        })
        .collect()
}

/// A gap at the solved position.
struct MovedGap {
    /// What the row's gap before loading must be for the linear row to give `open`, mm.
    linear: f64,
    /// The gap, mm.
    open: f64,
}

/// The unknown forces of a rig.
fn unknowns_of(system: &System, rig: &Rig, hold: Hold, axis: &PullAxis) -> Vec<Unknown> {
    let mut unknowns = Vec::new();
    if hold.holds() {
        unknowns.extend((0..system.rows.len()).filter_map(|i| row_unknown(system, i)));
    }
    if hold.sticks() {
        unknowns.extend(stick_unknown(system));
    }
    for (seat, loader, sign) in [(&system.upper, rig.upper, 1.0), (&system.lower, rig.lower, -1.0)] {
        let outward = [sign * axis.direction[0], sign * axis.direction[1]];
        match loader {
            Loader::Strap { width_mm, stiffness_n_per_mm2, .. } => {
                let strap = Strap { width_mm, stiffness_n_per_mm2 };
                unknowns.extend(strap_unknowns(seat, strap, load_centre(seat, loader), outward));
            }
            Loader::Bar { diameter_mm, offset_mm } => {
                unknowns.extend(bar_unknowns(seat, (0.5 * diameter_mm, offset_mm), outward));
            }
        }
    }
    unknowns
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::{Materials, library};
    use crate::rig::GateState;
    use crate::system::SystemSettings;
    use geometry::connector::{Connector, GatePlace};

    /// The example on a coarse mesh, pulled by two wide straps.
    fn example() -> (System, Rig) {
        let material = library::find("7075-t6").unwrap().material();
        let materials = Materials { frame: material.clone(), gate: material.clone(), pins: material };
        let settings = SystemSettings { mesh_size_mm: Some(2.0), ..SystemSettings::default() };
        let system = System::try_new(&Connector::example(), GatePlace::Shut, &materials, &settings).unwrap();
        let strap =
            Loader::Strap { width_mm: 40.0, offset_mm: 0.0, stiffness_n_per_mm2: 30.0, strength_kn: None };
        let rig = Rig { upper: strap, lower: strap, load_kn: 10.0, gate: GateState::Closed, friction: 0.15 };
        (system, rig)
    }

    #[test]
    fn a_load_is_answered_alike_whatever_was_solved_before() {
        let (system, rig) = example();
        let mut pull = Pull::new(&system, &rig).unwrap();
        // From below the engagement of the clearance to far above it, and back.
        for load_kn in [0.05, 30.0, 0.4, 5.0, 0.05, 30.0] {
            let (one, other) =
                (pull.respond(load_kn).unwrap(), system.respond(&Rig { load_kn, ..rig }).unwrap());
            assert_eq!(one.rig, other.rig);
            for (a, b) in one.frame_u.iter().zip(&other.frame_u) {
                assert!((a - b).abs() < 1e-9, "{load_kn} kN: {a} {b}");
            }
        }
        assert!(matches!(pull.respond(0.0), Err(RigError::Load { .. })));
    }

    #[test]
    fn at_the_joints_displacements_are_those_of_the_whole_response() {
        let (system, rig) = example();
        let bar = Loader::Bar { diameter_mm: 12.0, offset_mm: 2.0 };
        for rig in [rig, Rig { upper: bar, ..rig }, Rig { gate: GateState::Open, ..rig }] {
            let whole = Pull::new(&system, &rig).unwrap().respond(10.0).unwrap();
            let part = Pull::new(&system, &rig).unwrap().at_joints(10.0).unwrap();
            assert_eq!((&part.response().applied, &part.response().zero), (&whole.applied, &whole.zero));
            let pull = Pull::new(&system, &rig).unwrap();
            for (watched, side) in pull.watched.iter().zip([Side::Frame, Side::Gate]) {
                let (known, all) = (part.response().displacements(side), whole.displacements(side));
                let mut unknowns = watched.nodes.iter().flat_map(|n| [2 * *n as usize, 2 * *n as usize + 1]);
                assert!(unknowns.all(|n| known[n].to_bits() == all[n].to_bits()) && watched.nodes.len() > 20);
            }
        }
    }

    #[test]
    fn a_hook_that_swings_as_a_whole_opens_no_gap() {
        let (system, rig) = example();
        let mut pull = Pull::new(&system, &rig).unwrap();
        let mut response = pull.respond(10.0).unwrap();
        let gaps = |response: &Response| -> Vec<[f64; 2]> {
            pull.moved_gaps(response).iter().map(|gap| [gap.linear, gap.open]).collect()
        };
        let before = gaps(&response);
        // Three degrees more, and a way with it: as a linear motion of both bodies.
        let swing = Motion { x: 0.4, y: -0.3, turn: 0.05 };
        swing.add_to(&system.frame.body.mesh().points, &mut response.frame_u);
        swing.add_to(&system.gate.body.mesh().points, &mut response.gate_u);
        for (motion, by) in [&mut response.frame_motion, &mut response.gate_motion].map(|m| (m, swing)) {
            *motion = Motion { x: motion.x + by.x, y: motion.y + by.y, turn: motion.turn + by.turn };
        }
        assert!(before.iter().any(|gap| gap[1].abs() > 0.01), "{before:?}");
        for (one, other) in before.iter().zip(gaps(&response)) {
            assert!(
                (one[0] - other[0]).abs() < 1e-9 && (one[1] - other[1]).abs() < 1e-9,
                "{one:?} {other:?}"
            );
        }
    }
}
