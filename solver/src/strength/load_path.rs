//! The elastic load path: what gate, pins and nose do as the load grows. The gate closes its clearance first, so nothing is in
//! proportion to the load; after that everything is nearly straight, and a few solved loads find any force.
//!
//! Loads are solved up to a horizon, the load that opens the frame. Beyond it an elastic solution means little: parts that
//! would only go there are told by the straight line through horizon and half of it.

use crate::findings::pin_forces;
use crate::response::{Pull, Response, RigError, notch_turner};
use crate::system::{Joint, Side, System};
use geometry::curve::Point;
use geometry::region::Stretch;

/// A wanted force is met to this part of itself.
const TOLERANCE: f64 = 1e-3;
/// At most this many loads are solved for one force; the two about it are then joined by a straight line.
const MOST_TRIES: usize = 12;

/// What one solved load showed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Load, kN.
    pub load_kn: f64,
    /// Force between nose and gate, N.
    pub nose_n: f64,
    /// Its part along the pull axis, as a share of the load.
    pub gate_fraction: f64,
    /// How far the nose has turned against the pin line, toward letting the pin out, rad.
    pub turn: f64,
    /// How far the pin has moved in the notch toward the mouth, mm.
    pub slide_mm: f64,
}

/// The load path of a rig, with every load solved so far.
#[derive(Debug)]
pub struct LoadPath<'p, 'a> {
    pull: &'p mut Pull<'a>,
    horizon_kn: f64,
    samples: Vec<Sample>,
    unsettled_from_kn: Option<f64>,
}

impl<'p, 'a> LoadPath<'p, 'a> {
    /// The path of a pull, up to a load above zero.
    ///
    /// # Errors
    /// [`RigError`].
    pub fn new(pull: &'p mut Pull<'a>, horizon_kn: f64) -> Result<Self, RigError> {
        let mut path = Self { pull, horizon_kn, samples: Vec::new(), unsettled_from_kn: None };
        path.solve(0.5 * horizon_kn)?;
        path.solve(horizon_kn)?;
        Ok(path)
    }

    /// The sample at a load, solved if it was not yet.
    ///
    /// # Errors
    /// [`RigError`].
    pub fn solve(&mut self, load_kn: f64) -> Result<Sample, RigError> {
        let place = self.samples.partition_point(|s| s.load_kn < load_kn);
        if let Some(known) = self.samples.get(place).filter(|s| s.load_kn == load_kn) {
            return Ok(*known);
        }
        let at_joints = self.pull.at_joints(load_kn)?;
        let response = at_joints.response();
        if !response.info.settled {
            self.unsettled_from_kn = Some(self.unsettled_from_kn.map_or(load_kn, |kn| kn.min(load_kn)));
        }
        let sample = Sample::new(self.pull.system(), response);
        self.samples.insert(place, sample);
        Ok(sample)
    }

    /// The lowest load so far at which the contact did not settle, kN.
    #[must_use]
    pub fn unsettled_from_kn(&self) -> Option<f64> {
        self.unsettled_from_kn
    }

    /// Samples so far, by rising load.
    #[must_use]
    pub fn samples(&self) -> &[Sample] {
        &self.samples
    }

    /// The load in kN at which `of` reaches `wanted` (above zero, in the unit of `of`): solved to 0.1 % up to the horizon
    /// (within a dozen loads; the two about it are then joined by a straight line), by a straight line beyond. `None` when it
    /// does not grow with the load beyond the horizon.
    ///
    /// # Errors
    /// [`RigError`].
    pub fn load_at(&mut self, wanted: f64, of: &dyn Fn(&Sample) -> f64) -> Result<Option<f64>, RigError> {
        let (half, end) = (self.solve(0.5 * self.horizon_kn)?, self.solve(self.horizon_kn)?);
        if of(&end) <= wanted {
            let slope = (of(&end) - of(&half)) / (end.load_kn - half.load_kn);
            return Ok((slope > 0.0).then(|| end.load_kn + (wanted - of(&end)) / slope));
        }
        let mut tries = 0;
        loop {
            if let Some(hit) = self.samples.iter().find(|s| (of(s) / wanted - 1.0).abs() < TOLERANCE) {
                return Ok(Some(hit.load_kn * wanted / of(hit)));
            }
            // Between the two samples that hold the wanted value between them; nothing acts without load.
            let above = self.samples.partition_point(|s| of(s) < wanted);
            // The horizon lies above, and is a sample.
            let Some(high) = self.samples.get(above) else { return Ok(None) };
            let (low_kn, low) = match above.checked_sub(1) {
                Some(below) => (self.samples[below].load_kn, of(&self.samples[below])),
                None => (0.0, 0.0),
            };
            let part = (wanted - low) / (of(high) - low);
            let (wide, at) = (high.load_kn - low_kn, |part: f64| low_kn + part * (high.load_kn - low_kn));
            // Where the curve bends sharply, as at the end of the clearance, straight lines close in from one side only.
            if tries == MOST_TRIES || wide < TOLERANCE * high.load_kn {
                return Ok(Some(at(part)));
            }
            let straight = part.clamp(0.01, 0.99);
            self.solve(at(if tries % 3 == 2 { 0.5 } else { straight }))?;
            tries += 1;
        }
    }
}

impl Sample {
    /// What a response shows.
    #[must_use]
    pub fn new(system: &System, response: &Response) -> Self {
        let [nose, _] = pin_forces(system, response);
        let [ax, ay] = response.axis.direction;
        let (turn, slide_mm) =
            if response.hold.holds() { relative_motion(system, response) } else { (0.0, 0.0) };
        Self {
            load_kn: response.rig.load_kn,
            nose_n: nose[0].hypot(nose[1]),
            gate_fraction: (0.0 - nose[0] * ax - nose[1] * ay) / (1e3 * response.rig.load_kn),
            turn,
            slide_mm,
        }
    }
}

/// Turn of the notch against the pin line and slide of the pin in the notch, both positive toward the mouth.
fn relative_motion(system: &System, response: &Response) -> (f64, f64) {
    let seats = &system.outline.seats;
    let pin = |joint: Joint| -> Point {
        let (side, _, first) = system.disc(joint);
        let u = if *side == Side::Gate { &response.gate_u } else { &response.frame_u };
        let ports = system.part(*side).compliance.ports();
        [0, 1].map(|i| ports[*first as usize + i].displacement(u))
    };
    let (nose, hinge) = (pin(Joint::Nose), pin(Joint::Hinge));
    let line = between(seats.nose_pin.centre, seats.hinge_pin.centre);
    let line_turn = turn_of(line, between(nose, hinge));
    // The notch turns with the nose's tip (or, inside the gate, with the gate's middle).
    let (side, stretch) = notch_turner(system.outline.lip_on);
    let u = if side == Side::Frame { &response.frame_u } else { &response.gate_u };
    let mesh = system.part(side).body.mesh();
    let of = |n: u32| [u[2 * n as usize], u[2 * n as usize + 1]];
    let edges: Vec<_> = mesh.boundary.iter().chain(&mesh.lines).filter(|e| e.stretch == stretch).collect();
    let notch_turn = match (edges.first(), edges.last()) {
        (Some(first), Some(last)) => {
            let (a, b) = (first.nodes[0], last.nodes[1]);
            turn_of(between(mesh.points[a as usize], mesh.points[b as usize]), between(of(a), of(b)))
        }
        _ => 0.0,
    };
    let notch = &seats.notch;
    let sense = -notch.from_lip[0] * notch.to_mouth[1] + notch.from_lip[1] * notch.to_mouth[0];
    // Closed end of the notch: its own motion there.
    let closed = notch.closed_end();
    let nearest =
        mesh.boundary.iter().filter(|e| e.stretch == Stretch::NotchEnd).flat_map(|e| e.nodes).min_by(
            |a, b| {
                let far = |n: u32| {
                    let [x, y] = between(closed, mesh.points[n as usize]);
                    x.hypot(y)
                };
                far(*a).total_cmp(&far(*b))
            },
        );
    let slide = nearest.map_or(0.0, |n| {
        let moved = between(of(n), nose);
        moved[0] * notch.to_mouth[0] + moved[1] * notch.to_mouth[1]
    });
    (sense.signum() * (line_turn - notch_turn), slide)
}

fn between(a: Point, b: Point) -> Point {
    [b[0] - a[0], b[1] - a[1]]
}

/// Small rotation of a line whose ends move apart by `moved`, rad, counter-clockwise.
fn turn_of(line: Point, moved: Point) -> f64 {
    (line[0] * moved[1] - line[1] * moved[0]) / (line[0] * line[0] + line[1] * line[1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::{Materials, library};
    use crate::response::{Motion, lean};
    use crate::rig::{GateState, Loader, Rig};
    use crate::system::SystemSettings;
    use geometry::connector::{Connector, GatePlace, LipOn};

    #[test]
    fn the_notch_turns_against_the_pin_line_as_its_lean_does() {
        for lip_on in [LipOn::Frame, LipOn::Gate] {
            let mut connector = Connector::example();
            connector.nose.lip_on = lip_on;
            let material = library::find("7075-t6").unwrap().material();
            let materials = Materials { frame: material.clone(), gate: material.clone(), pins: material };
            let settings = SystemSettings { mesh_size_mm: Some(2.0), ..SystemSettings::default() };
            let system = System::try_new(&connector, GatePlace::Shut, &materials, &settings).unwrap();
            let end = Loader::Strap {
                width_mm: 40.0,
                offset_mm: 0.0,
                stiffness_n_per_mm2: 100.0,
                strength_kn: None,
            };
            let rig = Rig { load_kn: 10.0, gate: GateState::Closed, friction: 0.2, upper: end, lower: end };
            let response = system.respond(&rig).unwrap();
            let before = Sample::new(&system, &response).turn;
            // The frame turned by some more about the hinge pin: with it goes the notch, or the nose pin in the gate's notch.
            let turn = 1e-3;
            let about = system.outline.seats.hinge_pin.centre;
            let motion = Motion { x: turn * about[1], y: -turn * about[0], turn };
            let mut turned = response.clone();
            for (p, u) in system.frame.body.mesh().points.iter().zip(turned.frame_u.chunks_exact_mut(2)) {
                let [x, y] = motion.at(*p);
                (u[0], u[1]) = (u[0] + x, u[1] + y);
            }
            let (sin, cos) = f64::sin_cos(turn);
            let rotated = |[x, y]: Point| [cos * x - sin * y, sin * x + cos * y];
            let mut seats = system.outline.seats;
            match lip_on {
                LipOn::Frame => {
                    seats.notch.to_mouth = rotated(seats.notch.to_mouth);
                    seats.notch.from_lip = rotated(seats.notch.from_lip);
                }
                LipOn::Gate => {
                    let [x, y] = rotated(between(about, seats.nose_pin.centre));
                    seats.nose_pin.centre = [about[0] + x, about[1] + y];
                }
            }
            let leans = lean(&seats, lip_on) - lean(&system.outline.seats, lip_on);
            let found = Sample::new(&system, &turned).turn - before;
            assert!((leans.abs() - turn).abs() < 1e-9 && (found - leans).abs() < 1e-9, "{found} for {leans}");
        }
    }
}
