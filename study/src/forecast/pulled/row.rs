//! One limit as the forecast and the pull have it.

use super::factors::Factors;
use geometry::outline::FrameLocation;
use solver::strength::FailureMode;

/// Forecast and pull disagree where they differ by more than this, as a part of the forecast.
pub const TOLD: f64 = 0.1;

/// What both tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// The frame first yields.
    FirstYield,
    /// The frame is permanently bent: sections yielded through, or a stretch that stays.
    Bends,
    /// The frame opens or tears, with the gate.
    Opens,
    /// The part of the gate line that ended the pull.
    Part(FailureMode),
    /// The pin leaves the notch.
    RidesOut,
    /// What the open hook holds.
    OpenHook,
    /// The gate's share of the load just before the pull's first yield.
    ShareAtYield,
    /// The gate's share at the last step with it.
    ShareAtEnd,
}

impl What {
    /// Whether it is a share of the load, not a load.
    #[must_use]
    pub const fn is_share(self) -> bool {
        matches!(self, Self::ShareAtYield | Self::ShareAtEnd)
    }

    /// Whether the pull finds it without the forecast: a part of the gate line ends it at the force that the forecast gives the part, and
    /// only the share of the load that runs there is the pull's own.
    #[must_use]
    pub const fn is_independent(self) -> bool {
        !matches!(self, Self::Part(_))
    }
}

/// What the pull saw of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Seen {
    /// It happened: the load in kN, or the share.
    At(f64),
    /// It had not happened at this load, the highest of the pull, kN.
    NotUpTo(f64),
}

/// Why the two disagree: the numbers that decide it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// First yield: the metal's curve leaves the straight line below its yield strength, which is measured at a strain of 0.2 %.
    Begins {
        /// Stress at which the curve begins, MPa.
        begins_mpa: f64,
        /// Yield strength, MPa.
        yield_mpa: f64,
        /// Where the pull first yields.
        at: FrameLocation,
        /// Whether the forecast looks for first yield there: it leaves out what is beside contacts and sharp corners.
        looked_at: bool,
    },
    /// Two criteria for the same thing.
    Criterion {
        /// The stretch, mm, that would stay after the load at which the forecast's sections have yielded through; nothing where the pull
        /// does not reach it.
        left_mm: Option<f64>,
    },
    /// The gate's share of the load, whatever its line: as the forecast has it at the two loads, and as the pull has it.
    Share {
        /// Just before the pull's first yield: forecast and pull.
        yields: Option<[f64; 2]>,
        /// At the last step with the gate: forecast and pull.
        end: [f64; 2],
    },
    /// The pin at the end of the pull.
    Pin {
        /// How far it then stands toward the mouth, mm.
        out_mm: f64,
        /// How far it had to go before the pull, mm.
        inside_mm: f64,
    },
    /// The assumptions of a section limit, each with what it does.
    Assumptions(Factors),
}

/// A line of the comparison.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// What.
    pub what: What,
    /// By the forecast: kN, or a share; nothing where no load brings it about.
    pub forecast: Option<f64>,
    /// By the pull.
    pub pull: Seen,
    /// Why they disagree; nothing where they do not, or it cannot be told.
    pub reason: Option<Reason>,
}

impl Row {
    /// By how much the pull lies above the forecast, as a part of it; nothing where only one of them tells a value, and of something that
    /// had not happened only where the forecast says that it should have.
    #[must_use]
    pub fn difference(&self) -> Option<f64> {
        let forecast = self.forecast.filter(|value| *value > 0.0)?;
        match self.pull {
            Seen::At(value) => Some(value / forecast - 1.0),
            Seen::NotUpTo(value) => (value > forecast).then_some(value / forecast - 1.0),
        }
    }

    /// Whether they disagree.
    #[must_use]
    pub fn disagrees(&self) -> bool {
        self.difference().is_some_and(|by| by.abs() > TOLD)
    }
}
