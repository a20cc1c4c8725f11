//! What would have given way before a load.

use crate::rig::RigEnd;
use crate::strength::FailureMode;

/// What became of the gate line when a frame would have opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GateLineThen {
    /// It still held, or there was none.
    Whole,
    /// It was gone before: the frame was an open hook.
    GoneBefore,
    /// The frame opens at the same load, being no open hook that holds it.
    GoesWithIt,
}

/// What would have given way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gone {
    /// The gate line.
    GateLine {
        /// What it is pulled with along the line of its pins, kN.
        pulled_kn: f64,
        /// Its weakest part.
        weakest: FailureMode,
        /// What that holds, kN.
        holds_kn: f64,
    },
    /// The pin rode out of its notch, somewhere below the load.
    RodeOut,
    /// The frame opened.
    FrameOpened {
        /// True where the notch does not hold the pin: it left first.
        pin_not_held: bool,
        /// The gate line then.
        gate_line: GateLineThen,
    },
    /// A strap broke: without it the connector never sees the load, and its map is right.
    Strap(RigEnd),
}

/// Something that would have given way before a load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beyond {
    /// The load of the map, kN.
    pub load_kn: f64,
    /// Load at which it goes, kN; while nothing yields, for a gate line; the load itself where it is not known.
    pub at_kn: f64,
    /// What goes.
    pub gone: Gone,
}

impl Beyond {
    /// False for a strap.
    #[must_use]
    pub fn is_of_connector(&self) -> bool {
        !matches!(self.gone, Gone::Strap(_))
    }
}

/// Beyond so many times what goes first a map means nothing: metal that never yields would be bent by as much as its parts are
/// thick, and the gaps of the contact no longer settle (engineering judgement).
const MEANINGLESS: f64 = 5.0;

/// What a map of a load still tells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tells {
    /// Stresses as they are: nothing of the connector would have given way.
    All,
    /// Where stresses are high, not how high.
    Where,
    /// Nothing, at so many times the load at which the first part of the connector would have given way.
    Nothing(f64),
}

impl Tells {
    /// What a map of `load_kn` tells, where `beyond` would have given way before it.
    #[must_use]
    pub fn of(beyond: &[Beyond], load_kn: f64) -> Self {
        match beyond.iter().find(|b| b.is_of_connector()) {
            Some(first) if first.at_kn > 0.0 && load_kn > MEANINGLESS * first.at_kn => {
                Self::Nothing(load_kn / first.at_kn)
            }
            Some(_) => Self::Where,
            None => Self::All,
        }
    }
}
