//! The response of a system to a rig: one small convex problem for the forces, one pair of triangular solves for the
//! displacements. Everything is in N and mm.

mod bar;
mod engagement;
mod extent;
mod hold;
mod programme;
mod pull;
mod section_forces;
mod unknowns;

pub use bar::resting_bar;
use extent::Extent;
pub use hold::{Hold, Leans, corner_turn, held_from_mm, hold, hold_of, lean};
pub(crate) use pull::notch_turner;
pub use pull::{LoadLine, Pull};
pub use section_forces::{cut_resultant, section_forces, station_sign};
pub use unknowns::{PullAxis, Source, Strap, Unknown};
pub(crate) use unknowns::{edge_row, strap_fibres};

use crate::contact::engagement::EngagementError;
use crate::contact::quadratic::QuadraticError;
use crate::rig::{GateState, Loader, Rig, RigEnd};
use crate::system::{Joint, Seat, SeatEdge, Side, System};
use geometry::curve::Point;
use thiserror::Error;
use unknowns::load_centre;

/// Gaps that change by less than this between two linearisations are settled, mm.
const SETTLED_MM: f64 = 1e-3;
/// At most this many linearisations.
const MOST_LINEARISATIONS: usize = 5;
/// Clear distance of a strap from the window's sides, mm.
pub const STRAP_CLEARANCE_MM: f64 = 0.5;
/// Clear distance of a strap from the mouth of the notch, mm.
const MOUTH_CLEARANCE_MM: f64 = 0.3;
/// Steepest edge under a strap, degrees.
const STEEPEST_DEG: f64 = 70.0;

/// Why a rig cannot be applied or solved. Displayed as it is held, for logs; people read `report::building`.
#[derive(Clone, Debug, Error)]
#[error("{self:?}")]
pub enum RigError {
    /// The load is not a positive number.
    Load {
        /// Load asked for, kN.
        load_kn: f64,
    },
    /// A strap or bar does not sit on its bar.
    OffSeat {
        /// At which end.
        end: RigEnd,
        /// What pulls there.
        loader: Loader,
        /// Where it starts, mm.
        from_mm: f64,
        /// Where it ends, mm.
        to_mm: f64,
        /// Where it may start, mm.
        low_mm: f64,
        /// Where it may end, mm.
        high_mm: f64,
    },
    /// No set of pressing and pulling forces balances the load.
    NoBalance(QuadraticError),
    /// The engagement load could not be found.
    Engagement(EngagementError),
}

/// Rigid motion: translation in mm at the origin, rotation in rad.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Motion {
    /// Along x, mm.
    pub x: f64,
    /// Along y, mm.
    pub y: f64,
    /// Counter-clockwise, rad.
    pub turn: f64,
}

impl Motion {
    /// Displacement of a point.
    #[must_use]
    pub fn at(self, p: Point) -> Point {
        [self.x - self.turn * p[1], self.y + self.turn * p[0]]
    }

    fn add_to(self, points: &[Point], u: &mut [f64]) {
        for (p, u) in points.iter().zip(u.chunks_exact_mut(2)) {
            let [x, y] = self.at(*p);
            u[0] += x;
            u[1] += y;
        }
    }
}

/// A force that acts on frame or gate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Applied {
    /// What it belongs to.
    pub source: Source,
    /// A point on its line of action, mm.
    pub at: Point,
    /// Force on the frame, N.
    pub on_frame: Point,
    /// Force on the gate, N.
    pub on_gate: Point,
}

/// The loaded connector.
#[derive(Clone, Debug)]
pub struct Response {
    /// The rig.
    pub rig: Rig,
    /// How the notch holds the pin.
    pub hold: Hold,
    /// The pull axis.
    pub axis: PullAxis,
    /// All forces that are not zero.
    pub applied: Vec<Applied>,
    /// Which of the unknown forces of the pull are zero, in its order: where to begin with a pull that differs little.
    pub zero: Vec<bool>,
    /// Nodal forces on the frame, N.
    pub frame_forces: Vec<f64>,
    /// Nodal forces on the gate, N.
    pub gate_forces: Vec<f64>,
    /// Displacements of the frame, mm.
    pub frame_u: Vec<f64>,
    /// Displacements of the gate, mm.
    pub gate_u: Vec<f64>,
    /// Rigid part of the frame's displacement.
    pub frame_motion: Motion,
    /// Rigid part of the gate's displacement.
    pub gate_motion: Motion,
    /// How well the problem was solved.
    pub info: ResponseInfo,
}

impl Response {
    /// Displacements of a body, mm.
    #[must_use]
    pub fn displacements(&self, side: Side) -> &[f64] {
        match side {
            Side::Frame => &self.frame_u,
            Side::Gate => &self.gate_u,
        }
    }
}

/// How well a response was solved.
#[must_use]
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ResponseInfo {
    /// Violation of the optimality conditions on scaled data.
    pub optimality: f64,
    /// Linearisations of the gaps.
    pub linearisations: usize,
    /// Largest change of a pressing gap in the last linearisation, mm.
    pub gap_change_mm: f64,
    /// True when the gaps settled.
    pub settled: bool,
}

impl System {
    /// The pull axis of a rig.
    #[must_use]
    pub fn pull_axis(&self, upper: Loader, lower: Loader) -> PullAxis {
        let (upper, lower) = (load_centre(&self.upper, upper), load_centre(&self.lower, lower));
        let [x, y] = [upper[0] - lower[0], upper[1] - lower[1]];
        let length = x.hypot(y);
        // Level to rounding counts as level, so that mirrored and centred rigs take the plain way.
        let direction = if x.abs() < 1e-9 * length { [0.0, 1.0] } else { [x / length, y / length] };
        PullAxis { lower, upper, direction }
    }

    /// Checks that straps and bars sit where they can.
    ///
    /// # Errors
    /// [`RigError::OffSeat`] and [`RigError::Load`].
    pub fn check_rig(&self, rig: &Rig) -> Result<(), RigError> {
        if !(rig.load_kn.is_finite() && rig.load_kn > 0.0) {
            return Err(RigError::Load { load_kn: rig.load_kn });
        }
        for (end, seat, loader) in
            [(RigEnd::Upper, &self.upper, rig.upper), (RigEnd::Lower, &self.lower, rig.lower)]
        {
            let (low, high) = self.seat_room(seat);
            let (half, offset) = match loader {
                Loader::Strap { width_mm, offset_mm, .. } => (0.5 * width_mm, offset_mm),
                Loader::Bar { offset_mm, .. } => (0.0, offset_mm),
            };
            let (from_mm, to_mm) = (offset - half, offset + half);
            let fits_window = match loader {
                Loader::Strap { .. } => true,
                Loader::Bar { diameter_mm, .. } => 0.5 * diameter_mm < high - low,
            };
            if !(from_mm >= low - 1e-9 && to_mm <= high + 1e-9 && fits_window) {
                return Err(RigError::OffSeat { end, loader, from_mm, to_mm, low_mm: low, high_mm: high });
            }
        }
        Ok(())
    }

    /// Range of x on a seat where a strap may lie, mm.
    #[must_use]
    pub fn seat_room(&self, seat: &Seat) -> (f64, f64) {
        let level = STEEPEST_DEG.to_radians().cos();
        let is_level = |t: Point| t[0].abs() >= level * t[0].hypot(t[1]);
        let (mut low, mut high) = seat.range();
        // Walk in from both ends to where the edge is level enough: to the very place, since where an element's edge ends is
        // a matter of the mesh.
        for edge in &seat.edges {
            if let Some(x) = level_from(edge, [-1.0, 1.0], &is_level) {
                low = low.max(x);
                break;
            }
        }
        for edge in seat.edges.iter().rev() {
            if let Some(x) = level_from(edge, [1.0, -1.0], &is_level) {
                high = high.min(x);
                break;
            }
        }
        let corners = geometry::outline::window_corners(&self.connector.window);
        let (spine, gate) = if seat.sign > 0.0 { (corners[0], corners[1]) } else { (corners[3], corners[2]) };
        low = low.max(spine[0] + STRAP_CLEARANCE_MM);
        high = high.min(gate[0] - STRAP_CLEARANCE_MM);
        if seat.sign > 0.0 && self.nose_disc.0 == Side::Gate {
            let mouth = self
                .rows
                .iter()
                .filter(|r| r.joint == Joint::Nose)
                .map(|r| r.at[0])
                .fold(f64::INFINITY, f64::min);
            high = high.min(mouth - MOUTH_CLEARANCE_MM);
        }
        (low, high)
    }

    /// Loads the connector.
    ///
    /// ```
    /// # use geometry::connector::{Connector, GatePlace};
    /// # use solver::material::Materials;
    /// # use solver::system::{System, SystemSettings};
    /// # let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
    /// # let system = System::try_new(&Connector::example(), GatePlace::Shut, &Materials::example(), &coarse).unwrap();
    /// use solver::findings::gate_kn;
    /// use solver::rig::Rig;
    ///
    /// let response = system.respond(&Rig::example()).unwrap();
    /// // The notch holds its pin, so the gate carries part of the pull.
    /// assert!(response.hold.holds() && gate_kn(&system, &response) > 1.0);
    /// ```
    ///
    /// # Errors
    /// [`RigError`]: a rig that does not fit, or that no forces balance.
    pub fn respond(&self, rig: &Rig) -> Result<Response, RigError> {
        Pull::new(self, rig)?.respond(rig.load_kn)
    }

    /// How straps load the frame when the gate carries nothing, per N of load. Two straps answer in proportion to the load, so
    /// this is the same at every load; beside a bench bar it is that of 10 kN; grips that do not rotate shift a wide strap's resultant toward the spine.
    ///
    /// # Errors
    /// [`RigError`].
    pub fn open_load_lines(&self, rig: &Rig) -> Result<Vec<LoadLine>, RigError> {
        self.check_rig(rig)?;
        Pull::held(self, &Rig { gate: GateState::Open, ..*rig }, Hold::Open)?.strap_pattern()
    }

    /// The response with a gate that carries nothing, if the load is below the one at which it engages.
    fn respond_idle(&self, rig: &Rig, hold: Hold) -> Result<Option<Response>, RigError> {
        if self.gate_engages_at_kn(rig)?.is_some_and(|kn| kn < rig.load_kn) {
            return Ok(None);
        }
        let mut response = Pull::held(self, rig, Hold::Open)?.solve(rig.load_kn, Extent::Whole)?;
        response.hold = hold;
        // The gate hangs loose: drawn with its pins where the frame has carried their seats.
        let carried = |joint: Joint| {
            let rows: Vec<_> =
                self.rows.iter().filter(|r| r.joint == joint && r.surface == Side::Frame).collect();
            let mean = |axis: usize| {
                rows.iter().map(|r| response.frame_u[2 * r.node as usize + axis]).sum::<f64>()
                    / rows.len().max(1) as f64
            };
            [mean(0), mean(1)]
        };
        let (nose, hinge) = (carried(Joint::Nose), carried(Joint::Hinge));
        let (from, to) = (self.outline.seats.hinge_pin.centre, self.outline.seats.gate_end);
        let [x, y] = [to[0] - from[0], to[1] - from[1]];
        let [dx, dy] = [nose[0] - hinge[0], nose[1] - hinge[1]];
        let turn = if self.nose_disc.0 == Side::Gate { (x * dy - y * dx) / (x * x + y * y) } else { 0.0 };
        let motion = Motion { x: hinge[0] + turn * from[1], y: hinge[1] - turn * from[0], turn };
        motion.add_to(&self.gate.body.mesh().points, &mut response.gate_u);
        response.gate_motion = motion;
        Ok(Some(response))
    }
}

/// Steps of the bisection for the place where an edge becomes level: a thousandth of a micrometre.
const HALVINGS: usize = 24;

/// Where an edge, walked from one end (-1 or 1) to the other, first is level, mm along x; `None` when it never is.
fn level_from(edge: &SeatEdge, [from, to]: [f64; 2], is_level: &dyn Fn(Point) -> bool) -> Option<f64> {
    if is_level(edge.tangent(from)) {
        return Some(edge.point(from)[0]);
    }
    if !is_level(edge.tangent(to)) {
        return None;
    }
    let (mut steep, mut level) = (from, to);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (steep + level);
        if is_level(edge.tangent(middle)) { level = middle } else { steep = middle }
    }
    Some(edge.point(level)[0])
}
