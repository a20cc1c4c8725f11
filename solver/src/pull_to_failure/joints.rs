//! Nose and hinge of a pull: which surface faces which pin, and what they press on each other now.

use super::face::{Face, Facing, Pressed};
use super::gate_link::{Carried, GateLink, Place};
use super::rub::{Rub, Rubbing};
use crate::plane::Stiffness;
use crate::response::Hold;
use crate::system::{Joint, Port, Side, System};
use geometry::curve::Point;
use geometry::outline::Circle;
use geometry::region::Stretch;

/// How firm a pin is: so many times what a layer of the surface's metal as deep as the pin's radius would be. It goes in by less than a
/// thousandth of its radius before the metal flows.
const FIRMNESS: f64 = 30.0;

/// How far along the inner edge a pin that has left the notch is still met, in its diameters.
const BEYOND_MOUTH: f64 = 1.5;

/// The two joints of a gate.
#[derive(Clone, Debug)]
pub(super) struct Joints<'a> {
    /// The gate between them.
    pub link: GateLink,
    /// The hinge hole, and the radius of its pin, mm.
    pub hinge: Face,
    hinge_radius: f64,
    /// What the nose pin, or head, may press on.
    pub nose: Face,
    /// The nose pin, or head, before the pull.
    pub nose_before: Circle,
    /// Unit vector from the pin into the lip's flank before the pull.
    into_lip: Point,
    /// The frame's disc of the head, where the gate has the notch: the ports of its mean motion.
    pub head: Option<[&'a Port; 2]>,
    /// Points of the notch's round end, where it is the frame's: they tell where the notch is.
    pub notch: Vec<Facing>,
    /// Friction at the flank; nothing where the flank has too few points.
    rub: Option<Rub>,
    out_at_rest_mm: f64,
    /// Room of the hinge pin in its hole, mm.
    pub hinge_play_mm: f64,
}

/// What the joints do now.
#[derive(Clone, Debug)]
pub(super) struct Pressing {
    /// Points of the hinge hole.
    pub hinge: Vec<Pressed>,
    /// Points of the nose's surface.
    pub nose: Vec<Pressed>,
    /// What friction does to the flank: one more force on its surface.
    pub rubbed: Option<Pressed>,
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

fn sum_of<'p>(pressed: impl IntoIterator<Item = &'p Pressed>) -> Point {
    pressed.into_iter().fold([0.0; 2], |[x, y], p| [x + p.force[0], y + p.force[1]])
}

pub(super) fn product(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

impl Pressing {
    /// How deep a pin has gone in, at most, mm.
    pub fn deepest_mm(&self) -> f64 {
        self.hinge.iter().chain(&self.nose).map(|p| p.depth_mm).fold(0.0, f64::max)
    }

    /// The largest force at a point, N.
    pub fn largest_n(&self) -> f64 {
        let all = self.hinge.iter().chain(&self.nose).chain(&self.rubbed);
        all.flat_map(|p| p.force).fold(0.0, |most, f| most.max(f.abs()))
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
        let stiff = |radius: f64, modulus: f64, breadth: f64| FIRMNESS * modulus * breadth / radius;
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
            nose_before: seats.nose_pin,
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

    /// After a step: friction holds from where the pin has come to.
    pub fn after(&self, at: &At, pressing: &Pressing) -> At {
        let [x, y] = sum_of(&pressing.nose);
        let pressed_n = x.hypot(y);
        let Some(rub) = &self.rub else { return At { pressed_n, ..*at } };
        let sticks = rub.holds && !at.slips;
        let slips = at.slips || (sticks && rub.slips(&pressing.rubbing, pressed_n));
        let anchor_mm = rub.anchor_after(&pressing.rubbing, at.anchor_mm, pressed_n, sticks && !slips);
        At { anchor_mm, pressed_n, slips, ..*at }
    }

    /// Where a point of the nose's surface is.
    pub fn surface(&self, u: &[f64], place: Place, facing: &Facing) -> Point {
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
    pub fn touching(&self, place: Place, head: &Head) -> Carried {
        let centre = self.nose_before.centre;
        let before = [0, 1].map(|i| centre[i] + self.nose_before.radius * self.into_lip[i]);
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
            Some(_) => [0, 1].map(|i| self.nose_before.centre[i] + head.moved[i]),
            None => self.link.carried(place, self.nose_before.centre).at,
        };
        Circle { centre, ..self.nose_before }
    }

    /// Where a point of the frame's surface is.
    pub fn on_frame(u: &[f64], facing: &Facing) -> Point {
        [0, 1].map(|axis| {
            let moved: f64 =
                facing.nodes.iter().zip(facing.shape).map(|(n, w)| w * u[2 * *n as usize + axis]).sum();
            facing.at[axis] + moved
        })
    }

    /// What presses where everything is now.
    pub fn pressing(&self, u: &[f64], at: &At) -> Pressing {
        let At { gate: place, head, .. } = *at;
        let hinge_circle = Circle { centre: self.link.hinge_at(place), radius: self.hinge_radius };
        let hinge = self.hinge.pressed(hinge_circle, |f| Self::on_frame(u, f));
        let nose = self.nose.pressed(self.nose_circle(place, &head), |f| self.surface(u, place, f));
        let rubbing = self.rubbing(u, at);
        // Friction takes the surface along with a pin that wants out.
        let rubbed = self.rub.as_ref().map(|rub| rubbing.on(rub.facing));
        let on_surface = sum_of(nose.iter().chain(&rubbed));
        let at_nose = if self.head.is_some() { on_surface } else { on_surface.map(|f| -f) };
        let on_gate = [sum_of(&hinge).map(|f| -f), at_nose];
        Pressing { hinge, nose, rubbed, rubbing, on_gate }
    }

    /// The force of the gate's nose end on the frame, N.
    pub fn nose_on_frame(pressing: &Pressing) -> Point {
        pressing.on_gate[1].map(|f| -f)
    }

    /// Adds the forces on the frame's surfaces and takes their derivatives from the stiffness.
    pub fn add(&self, pressing: &Pressing, forces: &mut [f64], mut stiffness: Option<&mut Stiffness>) {
        let at_nose = pressing.nose.iter().chain(&pressing.rubbed).filter(|_| self.head.is_none());
        for Pressed { facing, force, by, .. } in pressing.hinge.iter().chain(at_nose) {
            for (i, (n, w)) in facing.nodes.iter().zip(facing.shape).enumerate() {
                forces[2 * *n as usize] += w * force[0];
                forces[2 * *n as usize + 1] += w * force[1];
                let Some(stiffness) = &mut stiffness else { continue };
                for (m, v) in facing.nodes.iter().zip(facing.shape).take(i + 1) {
                    let [xx, xy, yy] = by.map(|b| w * v * b);
                    stiffness.add_pair(*n, *m, [xx, xy, xy, yy]);
                }
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
}
