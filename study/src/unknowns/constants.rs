//! Constants that all pulls share: what is assumed of them before a pull has told anything, and what a calibration tells.

use super::unknown::{Basis, Changes, Unknown, UnknownOf};
use solver::forecast::{Calibration, Law};
use solver::strength::{Constant, Constants};

/// What is assumed of a constant, as its value or, of a factor, as its logarithm: engineering judgement throughout.
///
/// The lip is a limit load on a plane section, which leaves out what its metal hardens and how it tears; pins in shear and bending are
/// better known; a coefficient of friction is a guess within a factor of two; strengths of data sheets stand for a kind of metal, not
/// for this heat of it.
fn law(of: Constant) -> Law {
    match of {
        Constant::Lip => Law::plus_minus(0.0, 0.30),
        Constant::Pins => Law::plus_minus(0.0, 0.16),
        Constant::Friction => Law::plus_minus(0.0, 0.60),
        Constant::Strength => Law::plus_minus(0.0, 0.12),
        Constant::Flow => Law::Even { low: 0.0, high: 1.0 },
        Constant::Press => Law::Even { low: -1.0, high: 1.0 },
    }
}

/// A constant as it is before a pull has told anything.
#[must_use]
pub fn assumed(of: Constant) -> Unknown {
    unknown(of, Basis::Assumed, law(of), of.scaled(Constants::default().get(of)))
}

/// A constant as pulls have told it, from its least to its largest draw. It is drawn with the others of its calibration.
pub(super) fn told_by(of: Constant, calibration: &Calibration) -> Unknown {
    let middle = of.scaled(calibration.middle().get(of));
    let draws = calibration.draws.iter().map(|draw| of.scaled(draw.get(of)));
    let [low, high] = draws.fold([middle; 2], |[low, high], x| [low.min(x), high.max(x)]);
    unknown(of, Basis::Calibrated, Law::Even { low, high }, middle)
}

/// The draws of a calibration as values of those of these unknowns that are constants, in their order.
#[must_use]
pub fn draws_together(calibration: &Calibration, unknowns: &[Unknown]) -> Vec<Vec<f64>> {
    let constants = |unknown: &Unknown| match unknown.of {
        UnknownOf::Constant(of) => Some(of),
        _ => None,
    };
    let of: Vec<Constant> = unknowns.iter().filter_map(constants).collect();
    calibration.draws.iter().map(|draw| of.iter().map(|of| of.scaled(draw.get(*of))).collect()).collect()
}

/// Scatter of the logarithm of a peak beyond what is drawn: load cell, rate of the bench, what the model leaves out (engineering judgement).
pub const BEYOND: f64 = 0.02;

/// What nothing else accounts for: pulls scatter so beyond all that is drawn ([`BEYOND`]).
pub(super) fn beyond() -> Unknown {
    Unknown {
        of: UnknownOf::Beyond,
        basis: Basis::Assumed,
        law: Law::deviating(0.0, BEYOND),
        middle: 0.0,
        changes: Changes::Loads,
    }
}

fn unknown(of: Constant, basis: Basis, law: Law, middle: f64) -> Unknown {
    Unknown { of: UnknownOf::Constant(of), basis, law, middle, changes: Changes::Constant(of) }
}
