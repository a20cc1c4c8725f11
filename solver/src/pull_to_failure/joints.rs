//! Nose and hinge of a pull: which surface faces which pin, and what they press on each other now.

use super::border::{Beyond, Border, Equation, PLACES};
use super::face::{Face, Facing, Pressed};
use super::gate_link::{Carried, GateLink, Place};
use super::rub::{Rub, Rubbing};
use crate::plane::Stiffness;
use crate::response::Hold;
use crate::system::{Joint, Port, Side, System};
use geometry::curve::Point;
use geometry::outline::Circle;
use geometry::region::Stretch;

/// How stiff a pin is, as a part of what a layer of the surface's metal as deep as the pin's radius would be: it goes in by less than a
/// thousandth of its radius before the metal flows.
const STIFFNESS: f64 = 30.0;

/// How far along the inner edge a pin that has left the notch is still met, in its diameters.
const BEYOND_MOUTH: f64 = 1.5;

/// Places of a shut gate, and of its hinge pin in the hole, that are looked at, each way.
const STANDS: u32 = 16;
/// How often they are looked at again, closer.
const LOOKS: u32 = 4;

/// The two joints of a gate.
#[derive(Clone, Debug)]
pub(super) struct Joints<'a> {
    pub link: GateLink,
    hinge: Face,
    hinge_radius: f64,
    nose: Face,
    nose_circle: Circle,
    /// Unit vector from the pin into the lip's flank before the pull.
    into_lip: Point,
    /// The frame's disc of the head, where the gate has the notch: the ports of its mean motion.
    head: Option<[&'a Port; 2]>,
    /// Points of the notch's round end, where it is the frame's: they tell where the notch is.
    notch: Vec<Facing>,
    /// Friction at the flank; nothing where the flank has too few points.
    rub: Option<Rub>,
    out_at_rest_mm: f64,
    hinge_play_mm: f64,
}

/// What the joints do now.
#[derive(Clone, Debug)]
pub(super) struct Pressing {
    hinge: Vec<Pressed>,
    nose: Vec<Pressed>,
    /// Friction at the flank.
    pub rubbing: Rubbing,
    /// Force of the frame on the gate, N: at the hinge, at the nose.
    pub on_gate: [Point; 2],
}

/// Where the head is and what holds it there: the border's unknowns of a head in the frame.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Head {
    /// How far it has moved, mm.
    pub moved: Point,
    /// Force on the frame at the head, N.
    pub force: Point,
}

/// What of the joints does not come from the frame's displacements.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct At {
    /// The gate.
    pub gate: Place,
    /// The head, where the gate has the notch.
    pub head: Head,
    /// Where the pin is held from by friction, mm toward the mouth.
    pub anchor_mm: f64,
    /// What the pin pressed with when it was last in balance, N: friction goes by that, so that it is one force in a step.
    pub pressed_n: f64,
    /// A pin that stuck has slipped: it took more than friction can hold.
    pub slips: bool,
}

fn add(sum: &mut Point, by: Point) {
    sum[0] += by[0];
    sum[1] += by[1];
}

fn times([xx, xy, yy]: [f64; 3], [x, y]: Point) -> Point {
    [xx * x + xy * y, xy * x + yy * y]
}

fn product(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

impl Pressing {
    /// How deep a pin has gone in, at most, mm.
    pub fn deepest_mm(&self) -> f64 {
        self.hinge.iter().chain(&self.nose).map(|p| p.depth_mm).fold(0.0, f64::max)
    }
}

impl<'a> Joints<'a> {
    /// The joints of a system, whose notch holds the pin so, under a coefficient of friction.
    pub fn new(system: &'a System, friction: f64, hold: Hold) -> Self {
        let (both_ways, holds) = (matches!(hold, Hold::Blocked(_)), hold.sticks());
        let seats = &system.outline.seats;
        let (nose_side, _, first) = system.disc(Joint::Nose);
        let head = (*nose_side == Side::Frame).then(|| {
            let ports = system.frame.compliance.ports();
            [&ports[*first as usize], &ports[*first as usize + 1]]
        });
        let surface = if head.is_some() { &system.gate } else { &system.frame };
        let stiff = |radius: f64, modulus: f64, breadth: f64| STIFFNESS * modulus * breadth / radius;
        let reach = 2.0 * BEYOND_MOUTH * seats.nose_pin.radius;
        let mouth = {
            let Circle { centre, .. } = seats.notch.end;
            let [x, y] = seats.notch.to_mouth;
            [centre[0] + seats.notch.inside_mouth_mm * x, centre[1] + seats.notch.inside_mouth_mm * y]
        };
        let near = |ends: [Point; 3]| {
            ends.iter().all(|p| (p[0] - mouth[0]).hypot(p[1] - mouth[1]) < reach + seats.nose_pin.radius)
        };
        let breadth = system.connector.nose.lip_breadth_mm;
        let nose = Face::new(
            surface.body.mesh(),
            stiff(seats.nose_pin.radius, surface.body.elastic().youngs_modulus_mpa, breadth),
            |stretch, ends| match stretch {
                Stretch::NotchEnd | Stretch::LipFlank | Stretch::BackFlank => true,
                Stretch::NoseInner | Stretch::NoseTip | Stretch::GateEdge => near(ends),
                _ => false,
            },
        )
        .clear_of(seats.nose_pin);
        let hinge = Face::new(
            system.frame.body.mesh(),
            stiff(
                seats.hinge_pin.radius,
                system.frame.body.elastic().youngs_modulus_mpa,
                system.connector.hinge.lug_breadth_mm,
            ),
            |stretch, _| stretch == Stretch::HingeHole,
        )
        .clear_of(seats.hinge_pin);
        let flank = Face::new(surface.body.mesh(), 0.0, |stretch, _| stretch == Stretch::LipFlank);
        let out = |f: &&Facing| product([f.at[0] - mouth[0], f.at[1] - mouth[1]], seats.notch.to_mouth);
        let ends = (
            flank.points.iter().min_by(|a, b| out(a).total_cmp(&out(b))),
            flank.points.iter().max_by(|a, b| out(a).total_cmp(&out(b))),
        );
        let rub = match ends {
            (Some(facing), Some(toward_mouth)) => {
                Some(Rub { facing: *facing, toward_mouth: *toward_mouth, friction, both_ways, holds })
            }
            _ => None,
        };
        let notch = Face::new(surface.body.mesh(), 0.0, |stretch, _| stretch == Stretch::NotchEnd).points;
        let mut joints = Self {
            link: GateLink::new(system),
            hinge,
            hinge_radius: seats.hinge_pin.radius,
            nose,
            nose_circle: seats.nose_pin,
            into_lip: seats.notch.from_lip.map(|f| -f),
            head,
            notch,
            rub,
            out_at_rest_mm: 0.0,
            hinge_play_mm: seats.hinge_hole.radius - seats.hinge_pin.radius,
        };
        joints.out_at_rest_mm =
            joints.rubbing(&vec![0.0; system.frame.body.unknowns()], &At::default()).out_mm;
        joints
    }

    /// Before the pull.
    pub fn at_rest(&self) -> At {
        At { anchor_mm: self.out_at_rest_mm, ..At::default() }
    }

    /// How far out the pin stands before the pull, as friction measures it, mm.
    pub fn out_at_rest_mm(&self) -> f64 {
        self.out_at_rest_mm
    }

    /// How much longer the line from hinge to notch is than before the pull, less what the gate has stretched, mm: what opens between nose
    /// and gate.
    pub fn opening_mm(&self, u: &[f64], at: &At) -> f64 {
        let link = &self.link;
        let [hinge, nose] = self.marks(u, at.gate, &at.head);
        let now = (nose[0] - hinge[0]).hypot(nose[1] - hinge[1]);
        let before = match self.head {
            Some(_) => {
                (self.nose_circle.centre[0] - link.hinge[0]).hypot(self.nose_circle.centre[1] - link.hinge[1])
            }
            None => link.length_mm,
        };
        now - before - at.gate[3]
    }

    /// The middles of what holds the gate, wherever it is: hinge hole, and notch or head.
    fn marks(&self, u: &[f64], place: Place, head: &Head) -> [Point; 2] {
        let middle = |points: &[Facing]| {
            let mut sum = [0.0; 2];
            let mut length = 0.0;
            for facing in points {
                let at = Self::on_frame(u, facing);
                add(&mut sum, [0, 1].map(|i| facing.length_mm * (at[i] - facing.at[i])));
                length += facing.length_mm;
            }
            sum.map(|s| s / length)
        };
        let by = middle(&self.hinge.points);
        let hinge = [0, 1].map(|i| self.link.hinge[i] + by[i]);
        let nose = match self.head {
            Some(_) => self.nose_circle(place, head).centre,
            None => {
                let by = middle(&self.notch);
                [0, 1].map(|i| self.nose_circle.centre[i] + by[i])
            }
        };
        [hinge, nose]
    }

    /// Room around the pin in its notch, on a frame under these displacements that nothing loads, where gate and hinge pin stand as well as
    /// they can, mm; below zero the pin does not fit.
    pub fn room_mm(&self, u: &[f64]) -> f64 {
        self.roomiest(u).0
    }

    /// How much farther the notch (or head) of a frame under these displacements stands from the hinge than before the pull, mm.
    pub fn apart_mm(&self, u: &[f64]) -> f64 {
        let mut head = Head::default();
        if let Some(ports) = self.head {
            head.moved = ports.map(|port| port.displacement(u));
        }
        let [hinge, nose] = self.marks(u, Place::default(), &head);
        let before = self.marks(&vec![0.0; u.len()], Place::default(), &Head::default());
        (nose[0] - hinge[0]).hypot(nose[1] - hinge[1])
            - (before[1][0] - before[0][0]).hypot(before[1][1] - before[0][1])
    }

    fn roomiest(&self, u: &[f64]) -> (f64, Place, Head) {
        let mut head = Head::default();
        if let Some(ports) = self.head {
            head.moved = ports.map(|port| port.displacement(u));
        }
        let link = &self.link;
        let [hinge, nose] = self.marks(u, Place::default(), &head);
        let hole = [0, 1].map(|i| hinge[i] - link.hinge[i]);
        // The angle at which the gate stands before what holds it.
        let shut = (nose[1] - hinge[1]).atan2(nose[0] - hinge[0]) - link.angle;
        let mut best = (f64::NEG_INFINITY, Place::default(), head);
        let look = |turns: [f64; 2], plays: [f64; 2], best: &mut (f64, Place, Head)| {
            let between = |[low, high]: [f64; 2]| {
                (0..=STANDS).map(move |k| low + (high - low) * f64::from(k) / f64::from(STANDS))
            };
            let mut found = ([0.0; 2], f64::NEG_INFINITY);
            for turn in between(turns) {
                for by in between(plays) {
                    let along = [(link.angle + turn).cos(), (link.angle + turn).sin()];
                    let place = [hole[0] + by * along[0], hole[1] + by * along[1], turn, 0.0];
                    let circle = self.nose_circle(place, &head);
                    let from = |f: &Facing| {
                        let [x, y] = self.surface(u, place, f);
                        (x - circle.centre[0]).hypot(y - circle.centre[1]) - circle.radius + f.inset_mm
                    };
                    let room = self.nose.points.iter().map(from).fold(f64::INFINITY, f64::min);
                    if room > found.1 {
                        found = ([turn, by], room);
                    }
                    if room > best.0 {
                        *best = (room, place, head);
                    }
                }
            }
            found.0
        };
        let play = self.hinge_play_mm;
        let mut reach = [self.nose_circle.radius / link.length_mm, play];
        let mut about = [shut, 0.0];
        // Closer and closer about where there was most room.
        for _ in 0..LOOKS {
            let turns = [about[0] - reach[0], about[0] + reach[0]];
            let plays = [(about[1] - reach[1]).max(-play), (about[1] + reach[1]).min(play)];
            about = look(turns, plays, &mut best);
            reach = reach.map(|r| 4.0 * r / f64::from(STANDS));
        }
        best
    }

    /// After a step: friction holds from where the pin has come to.
    pub fn after(&self, at: &At, pressing: &Pressing) -> At {
        let mut sum = [0.0; 2];
        pressing.nose.iter().for_each(|p| add(&mut sum, p.force));
        let pressed_n = sum[0].hypot(sum[1]);
        let Some(rub) = &self.rub else { return At { pressed_n, ..*at } };
        let sticks = rub.holds && !at.slips;
        let slips = at.slips || (sticks && rub.slips(&pressing.rubbing, pressed_n));
        let anchor_mm = rub.anchor_after(&pressing.rubbing, at.anchor_mm, sticks && !slips);
        At { anchor_mm, pressed_n, slips, ..*at }
    }

    /// Where a point of the nose's surface is.
    fn surface(&self, u: &[f64], place: Place, facing: &Facing) -> Point {
        match self.head {
            None => Self::on_frame(u, facing),
            Some(_) => self.link.carried(place, facing.at).at,
        }
    }

    fn rubbing(&self, u: &[f64], at: &At) -> Rubbing {
        let Some(rub) = &self.rub else { return Rubbing::default() };
        let [from, to] = [&rub.facing, &rub.toward_mouth].map(|f| self.surface(u, at.gate, f));
        let [x, y] = [to[0] - from[0], to[1] - from[1]];
        let direction = [x / x.hypot(y), y / x.hypot(y)];
        let pin = self.touching(at.gate, &at.head).at;
        let out_mm = product([pin[0] - from[0], pin[1] - from[1]], direction);
        rub.at(out_mm, direction, at.anchor_mm, at.pressed_n, rub.holds && !at.slips)
    }

    /// The point of the pin that slides over the flank: a pin turns with its gate. That of a head goes along with its middle.
    fn touching(&self, place: Place, head: &Head) -> Carried {
        let centre = self.nose_circle.centre;
        let before = [0, 1].map(|i| centre[i] + self.nose_circle.radius * self.into_lip[i]);
        match self.head {
            None => self.link.carried(place, before),
            Some(_) => Carried {
                at: [0, 1].map(|i| before[i] + head.moved[i]),
                by: [[0.0; 2]; 4],
                second: [[0.0; 2]; 2],
            },
        }
    }

    /// Unknowns of the border: the gate's place, and those of a head in the frame.
    pub fn unknowns(&self) -> usize {
        if self.head.is_some() { 8 } else { 4 }
    }

    /// The nose pin, or head, where it is.
    pub fn nose_circle(&self, place: Place, head: &Head) -> Circle {
        let centre = match self.head {
            Some(_) => [0, 1].map(|i| self.nose_circle.centre[i] + head.moved[i]),
            None => self.link.carried(place, self.nose_circle.centre).at,
        };
        Circle { centre, ..self.nose_circle }
    }

    fn on_frame(u: &[f64], facing: &Facing) -> Point {
        [0, 1].map(|axis| {
            let moved: f64 =
                facing.nodes.iter().zip(facing.shape).map(|(n, w)| w * u[2 * *n as usize + axis]).sum();
            facing.at[axis] + moved
        })
    }

    /// What presses where everything is now.
    pub fn pressing(&self, u: &[f64], at: &At) -> Pressing {
        let At { gate: place, head, .. } = at;
        let place = *place;
        let hinge_circle = Circle { centre: self.link.hinge_at(place), radius: self.hinge_radius };
        let hinge = self.hinge.pressed(hinge_circle, |f| Self::on_frame(u, f));
        let nose = self.nose.pressed(self.nose_circle(place, head), |f| self.surface(u, place, f));
        let sum = |pressed: &[Pressed]| {
            let mut sum = [0.0; 2];
            pressed.iter().for_each(|p| add(&mut sum, p.force));
            sum
        };
        let (on_hinge_hole, on_notch) = (sum(&hinge), sum(&nose));
        let rubbing = self.rubbing(u, at);
        // Friction takes the surface along with a pin that wants out.
        let on_surface = [0, 1].map(|i| on_notch[i] + rubbing.force * rubbing.direction[i]);
        let at_nose = if self.head.is_some() { on_surface } else { on_surface.map(|f| -f) };
        Pressing { hinge, nose, rubbing, on_gate: [on_hinge_hole.map(|f| -f), at_nose] }
    }

    /// The force of the gate's nose end on the frame, N.
    pub fn nose_on_frame(pressing: &Pressing) -> Point {
        pressing.on_gate[1].map(|f| -f)
    }

    /// Adds the forces on the frame's surfaces and takes their derivatives from the stiffness.
    pub fn add(&self, pressing: &Pressing, forces: &mut [f64], mut stiffness: Option<&mut Stiffness>) {
        self.add_friction(pressing, forces, stiffness.as_deref_mut());
        let faces = [(&self.hinge, &pressing.hinge), (&self.nose, &pressing.nose)];
        for (face, pressed) in faces.into_iter().take(if self.head.is_some() { 1 } else { 2 }) {
            for p in pressed {
                let facing = &face.points[p.point];
                for (i, (n, w)) in facing.nodes.iter().zip(facing.shape).enumerate() {
                    forces[2 * *n as usize] += w * p.force[0];
                    forces[2 * *n as usize + 1] += w * p.force[1];
                    let Some(stiffness) = &mut stiffness else { continue };
                    for (m, v) in facing.nodes.iter().zip(facing.shape).take(i + 1) {
                        let [xx, xy, yy] = p.by.map(|b| w * v * b);
                        stiffness.add_pair(*n, *m, [xx, xy, xy, yy]);
                    }
                }
            }
        }
    }

    /// Adds friction on the frame's flank and takes its derivative from the stiffness.
    fn add_friction(&self, pressing: &Pressing, forces: &mut [f64], mut stiffness: Option<&mut Stiffness>) {
        let (Some(rub), None) = (&self.rub, self.head) else { return };
        let Rubbing { direction: [x, y], force, stiffness: by, .. } = pressing.rubbing;
        let facing = &rub.facing;
        for (i, (n, w)) in facing.nodes.iter().zip(facing.shape).enumerate() {
            forces[2 * *n as usize] += w * force * x;
            forces[2 * *n as usize + 1] += w * force * y;
            let Some(stiffness) = &mut stiffness else { continue };
            for (m, v) in facing.nodes.iter().zip(facing.shape).take(i + 1) {
                let [xx, xy, yy] = [x * x, x * y, y * y].map(|b| by * w * v * b);
                stiffness.add_pair(*n, *m, [xx, xy, xy, yy]);
            }
        }
    }

    /// Adds the force that holds the head to nodal forces.
    pub fn add_head(&self, head: &Head, forces: &mut [f64]) {
        if let Some(ports) = self.head {
            for (port, force) in ports.iter().zip(head.force) {
                port.add_to(force, forces);
            }
        }
    }

    /// A border of the joints' unknowns. `drag`: force per motion of the gate since the last step, N/mm, which keeps a gate that nothing
    /// touches where it is; `since`: the gate's place then.
    pub fn border(&self, u: &[f64], at: &At, pressing: &Pressing, (drag, since): (f64, Place)) -> Border {
        let At { gate: place, head, .. } = *at;
        let size = self.unknowns();
        let mut border = Border {
            unknowns: vec![Beyond { column: vec![0.0; u.len()], moves: Vec::new() }; size],
            equations: vec![Equation { row: vec![0.0; u.len()], inner: Vec::new(), value: 0.0 }; size],
        };
        let hinge = Carried {
            at: self.link.hinge_at(place),
            by: [[1.0, 0.0], [0.0, 1.0], [0.0; 2], [0.0; 2]],
            second: [[0.0; 2]; 2],
        };
        self.carried_circle(&mut border, &self.hinge, &pressing.hinge, &hinge);
        match self.head {
            None => {
                let nose = self.link.carried(place, self.nose_circle.centre);
                self.carried_circle(&mut border, &self.nose, &pressing.nose, &nose);
                if let Some(rub) = &self.rub {
                    // Friction is one more force on the surface, pressed along the flank.
                    let Rubbing { direction: [x, y], force, stiffness, .. } = pressing.rubbing;
                    let along = Pressed {
                        point: 0,
                        depth_mm: 0.0,
                        force: [force * x, force * y],
                        by: [x * x, x * y, y * y].map(|b| stiffness * b),
                    };
                    let flank = Face { points: vec![rub.facing], stiffness };
                    let touching = self.touching(place, &head);
                    self.carried_circle(&mut border, &flank, &[along], &touching);
                }
            }
            Some(ports) => self.carried_face(&mut border, u, at, pressing, ports),
        }
        // The link itself, and the drag.
        border.equations[3].value += self.link.force(place);
        border.equations[3].inner.push((3, self.link.stiffness));
        let scale = [1.0, 1.0, self.link.length_mm.powi(2), 0.0];
        for k in 0..4 {
            border.equations[k].value += drag * scale[k] * (place[k] - since[k]);
            border.equations[k].inner.push((k, drag * scale[k]));
        }
        border
    }

    /// A circle that the gate carries, on a face of the frame.
    fn carried_circle(&self, border: &mut Border, face: &Face, pressed: &[Pressed], carried: &Carried) {
        for p in pressed {
            let facing = &face.points[p.point];
            // Force on the circle is that on the surface turned round; energy grows against it.
            for (k, by) in carried.by.iter().enumerate() {
                if *by == [0.0; 2] {
                    continue;
                }
                border.equations[k].value += product(p.force, *by);
                let turned = times(p.by, *by);
                for (l, other) in carried.by.iter().enumerate() {
                    border.equations[k].inner.push((l, product(turned, *other)));
                }
                for (n, w) in facing.nodes.iter().zip(facing.shape) {
                    for (axis, turned) in turned.iter().enumerate() {
                        let value = -w * turned;
                        border.unknowns[k].column[2 * *n as usize + axis] += value;
                        border.equations[k].row[2 * *n as usize + axis] += value;
                    }
                }
            }
            Self::second(border, p.force, &carried.second);
        }
    }

    /// What a force does on a motion that is not straight: energy's second derivative by turn and stretch.
    fn second(border: &mut Border, force: Point, second: &[Point; 2]) {
        border.equations[2].inner.push((2, product(force, second[0])));
        let mixed = product(force, second[1]);
        border.equations[2].inner.push((3, mixed));
        border.equations[3].inner.push((2, mixed));
    }

    /// A face that the gate carries, on the frame's head.
    fn carried_face(&self, border: &mut Border, u: &[f64], at: &At, pressing: &Pressing, ports: [&Port; 2]) {
        let place = at.gate;
        let head = at.head;
        let Rubbing { direction: [x, y], force, stiffness, .. } = pressing.rubbing;
        let friction = self.rub.as_ref().map(|rub| {
            let by = [x * x, x * y, y * y].map(|b| stiffness * b);
            (rub.facing.at, Pressed { point: 0, depth_mm: 0.0, force: [force * x, force * y], by })
        });
        let points = pressing.nose.iter().map(|p| (self.nose.points[p.point].at, *p)).chain(friction);
        for (before, p) in points {
            let carried = self.link.carried(place, before);
            let minus = p.force.map(|f| -f);
            for (k, by) in carried.by.iter().enumerate() {
                border.equations[k].value += product(minus, *by);
                let turned = times(p.by, *by);
                for (l, other) in carried.by.iter().enumerate() {
                    border.equations[k].inner.push((l, product(turned, *other)));
                }
                for (axis, turned) in turned.iter().enumerate() {
                    border.equations[k].inner.push((4 + axis, -turned));
                    border.equations[4 + axis].inner.push((k, -turned));
                }
            }
            Self::second(border, minus, &carried.second);
            for axis in 0..2 {
                border.equations[4 + axis].value += p.force[axis];
            }
            let [xx, xy, yy] = p.by;
            for (i, j, value) in [(4, 4, xx), (4, 5, xy), (5, 4, xy), (5, 5, yy)] {
                border.equations[i].inner.push((j, value));
            }
        }
        for (axis, port) in ports.into_iter().enumerate() {
            // Force on the head from the notch goes on into the frame.
            border.equations[4 + axis].value += head.force[axis];
            border.equations[4 + axis].inner.push((6 + axis, 1.0));
            // The head is where its disc is.
            border.equations[6 + axis].value = PLACES * (head.moved[axis] - port.displacement(u));
            border.equations[6 + axis].inner.push((4 + axis, PLACES));
            for (unknown, weight) in port.entries() {
                border.equations[6 + axis].row[unknown as usize] -= PLACES * weight;
                border.unknowns[6 + axis].column[unknown as usize] -= weight;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::Materials;
    use crate::system::SystemSettings;
    use geometry::connector::{Connector, GatePlace, LipOn};

    /// Values of the equations, their derivatives by the border's unknowns, and by the displacements.
    fn equations(joints: &Joints<'_>, u: &[f64], at: &At) -> (Vec<f64>, Vec<Vec<f64>>, Vec<Vec<f64>>) {
        let pressing = joints.pressing(u, at);
        let border = joints.border(u, at, &pressing, (1.0, Place::default()));
        let size = border.equations.len();
        let inner = border.equations.iter().map(|e| {
            let mut row = vec![0.0; size];
            e.inner.iter().for_each(|(j, value)| row[*j] += value);
            row
        });
        (
            border.equations.iter().map(|e| e.value).collect(),
            inner.collect(),
            border.equations.iter().map(|e| e.row.clone()).collect(),
        )
    }

    fn shifted(at: &At, unknown: usize, by: f64) -> At {
        let mut at = *at;
        let At { gate, head, .. } = &mut at;
        let all = gate.iter_mut().chain(&mut head.moved).chain(&mut head.force);
        if let Some(value) = all.into_iter().nth(unknown) {
            *value += by;
        }
        at
    }

    #[test]
    fn the_border_holds_the_derivatives_of_its_equations() {
        const STEP: f64 = 1e-7;
        for lip_on in [LipOn::Frame, LipOn::Gate] {
            let mut connector = Connector::example();
            connector.nose.lip_on = lip_on;
            let settings = SystemSettings { unknowns: 5000.0, ..SystemSettings::default() };
            let system =
                System::try_new(&connector, GatePlace::Shut, &Materials::example(), &settings).unwrap();
            let joints = Joints::new(&system, 0.2, Hold::Held);
            let mut u = vec![0.0; system.frame.body.unknowns()];
            u.iter_mut().enumerate().for_each(|(n, u)| *u = 1e-3 * (0.37 * n as f64).sin());
            // Both pins pressed, the nose pin rubbing.
            let sign = if lip_on == LipOn::Frame { -1.0 } else { 1.0 };
            let at = At {
                gate: [0.01, 0.06, 2e-4, sign * 0.01 - 0.22],
                pressed_n: 2000.0,
                anchor_mm: joints.at_rest().anchor_mm - 1e-3,
                ..At::default()
            };
            let (_, inner, rows) = equations(&joints, &u, &at);
            let most = |row: &[f64]| row.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
            assert!(most(&inner[1]) > 1e4 && most(&inner[2]) > 1e5, "{lip_on:?}: nothing presses: {inner:?}");
            let size = joints.unknowns();
            for l in 0..size {
                let [low, high] = [-STEP, STEP].map(|by| equations(&joints, &u, &shifted(&at, l, by)).0);
                for k in 0..size {
                    let slope = (high[k] - low[k]) / (2.0 * STEP);
                    assert!(
                        (slope - inner[k][l]).abs() < 1e-3 * most(&inner[k]).max(1.0),
                        "{lip_on:?}, equation {k} by {l}: {slope} and {}",
                        inner[k][l]
                    );
                }
            }
            for (k, row) in rows.iter().enumerate() {
                let largest = (0..u.len()).max_by(|a, b| row[*a].abs().total_cmp(&row[*b].abs())).unwrap();
                if row[largest] == 0.0 {
                    continue;
                }
                let moved = |by: f64| {
                    let mut u = u.clone();
                    u[largest] += by;
                    equations(&joints, &u, &at).0[k]
                };
                let slope = (moved(STEP) - moved(-STEP)) / (2.0 * STEP);
                assert!(
                    (slope / row[largest] - 1.0).abs() < 2e-3,
                    "{lip_on:?}, equation {k} by displacement {largest}: {slope} and {}",
                    row[largest]
                );
            }
        }
    }
}
