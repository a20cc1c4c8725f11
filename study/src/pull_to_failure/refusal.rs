//! Why a pull cannot be done as it was asked.

use crate::CaseError;
use solver::plastic::NoStep;
use solver::pull_to_failure::End;
use thiserror::Error;

/// Why a pull cannot be done as it was asked. Displayed as it is held: who tells it has the words.
#[derive(Clone, Debug, Error)]
#[error("{self:?}")]
pub enum PullError {
    /// The connector cannot be built, or its rig does not fit.
    Case(#[from] CaseError),
    /// The frame's metal has no curve: neither a tested lot nor an elongation is told of it.
    NoElongation,
    /// No equilibrium was found at the first load.
    NoStep(NoStep),
    /// A load that the pull never reaches.
    NotReached {
        /// The load that was asked for, kN.
        asked_kn: f64,
        /// The highest one, kN.
        highest_kn: f64,
        /// What ended the pull.
        end: End,
    },
    /// A permanent stretch that the pull never leaves.
    SetNotReached {
        /// What was asked for, mm.
        asked_mm: f64,
        /// The most that the pull leaves, mm; below zero nearer together.
        most_mm: f64,
        /// How much farther its notch then stands from the hinge, mm, where that changes most; below zero nearer; zero without a gate.
        apart_mm: f64,
        /// What ended the pull.
        end: End,
    },
    /// The load that left a permanent stretch could not be found: the connector could not be unloaded from some steps.
    SetNotFound {
        /// What was asked for, mm.
        asked_mm: f64,
    },
    /// The connector cannot be unloaded from where it was asked to be.
    NotUnloaded {
        /// From which load, kN.
        from_kn: f64,
        /// Why.
        reason: NoStep,
    },
}
