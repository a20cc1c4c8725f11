//! A place of both loads, what it is called and what it holds.

use crate::CaseError;
use geometry::outline::FrameLocation;
use solver::seats::Footing;
use solver::strength::{Ends, FailureMode, Limits};

/// A rest this near to the middle is in the middle, however little room there is, mm.
const MIDDLE_MM: f64 = 3.0;
/// Less room than this is all middle, mm.
const ROOM_MM: f64 = 2.0;

/// A third of the room that a load has on its bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Third {
    /// That at the spine.
    Spine,
    /// That in the middle.
    Middle,
    /// That at the gate.
    Gate,
}

/// What a rest is called after: where it lies in the room of its loads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RestName {
    /// Of the upper load.
    pub upper: Third,
    /// Of the lower load.
    pub lower: Third,
}

impl RestName {
    /// Both in the middle.
    pub const MIDDLE: Self = Self { upper: Third::Middle, lower: Third::Middle };

    /// The name of a rest at these offsets, mm, in the room of each load.
    pub(super) fn of(upper_mm: f64, lower_mm: f64, upper: (f64, f64), lower: (f64, f64)) -> Self {
        Self { upper: third(upper_mm, upper), lower: third(lower_mm, lower) }
    }
}

fn third(x: f64, range: (f64, f64)) -> Third {
    let room = range.1 - range.0;
    let middle = 0.0_f64.clamp(range.0, range.1);
    if room < ROOM_MM || (x - middle).abs() < MIDDLE_MM {
        return Third::Middle;
    }
    match (x - range.0) / room {
        part if part < 1.0 / 3.0 => Third::Spine,
        part if part > 2.0 / 3.0 => Third::Gate,
        _ => Third::Middle,
    }
}

/// What a place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlaceName {
    /// A stable rest.
    Rest(RestName),
    /// That of the model.
    AsInTheModel,
    /// Both loads in the middle.
    InTheMiddle {
        /// Whether a rest near it is called so too.
        exactly: bool,
    },
    /// Both loads as near to the gate as they fit.
    NearestToTheGate,
    /// Both loads as near to the spine as they fit.
    NearestToTheSpine,
}

/// What a place holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Holds {
    /// Highest load of the pull, kN.
    pub peak_kn: f64,
    /// The load up to which nothing breaks, kN ([`Limits::holds_kn`]).
    pub holds_kn: f64,
    /// The part that fails first.
    pub fails_first: FailureMode,
    /// How the pull ends.
    pub ends: Ends,
    /// Where the frame tears in the end.
    pub tears_at: Option<FrameLocation>,
}

impl Holds {
    pub(crate) fn of(limits: &Limits) -> Self {
        let &Limits { peak_kn, fails_first, ends, tears_at, .. } = limits;
        Self { peak_kn, holds_kn: limits.holds_kn(), fails_first, ends, tears_at }
    }
}

/// A place of both loads.
#[derive(Clone, Debug)]
pub struct SeatPlace {
    /// What it is.
    pub name: PlaceName,
    /// Offset of the upper load, mm, positive toward the gate.
    pub upper_mm: f64,
    /// Offset of the lower load, mm.
    pub lower_mm: f64,
    /// Distance of the load points, mm.
    pub distance_mm: f64,
    /// How the loads stand there without friction.
    pub footing: Footing,
    /// Friction needed to stay, upper and lower end.
    pub friction_needed: [f64; 2],
    /// Whether the friction that the rig relies on is enough.
    pub held: bool,
    /// Part of all starting places from which the loads run here; stable rests only.
    pub share_of_starting_places: Option<f64>,
    /// What it holds, or why that is not known: the rig does not fit there, say.
    pub holds: Result<Holds, CaseError>,
}

impl SeatPlace {
    /// The larger friction of the two ends.
    #[must_use]
    pub fn needs(&self) -> f64 {
        self.friction_needed[0].max(self.friction_needed[1])
    }
}
