//! Why no further equilibrium was found, in words.

use solver::plastic::NoStep;

/// Why no further equilibrium was found.
pub(super) fn no_step(reason: &NoStep) -> String {
    match reason {
        NoStep::Folded { triangle } => format!("element {triangle} of the mesh folds over"),
        NoStep::GivesWay => "the frame gives way under what pulls it".to_owned(),
        NoStep::Unsettled { left } if left.is_finite() => {
            format!("forces stay out of balance by {left:.1e} of the largest")
        }
        NoStep::Unsettled { .. } => "the gate or the frame would move too far at once".to_owned(),
        NoStep::CalledOff => "it was called off".to_owned(),
        NoStep::Plane(_) => "the frame is not held, or there is too little memory".to_owned(),
    }
}
