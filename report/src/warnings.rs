//! What the reader of findings must know, in sentences.

use crate::building::engagement;
use crate::rigs::end_word;
use solver::findings::Warning;

/// What may let go of the load, as sentences.
pub fn hazards(all: &[Warning]) -> impl Iterator<Item = String> {
    all.iter().filter(|one| is_hazard(one)).map(warning)
}

/// What makes the numbers less sure, as sentences: first that they are not settled, which the others build on.
pub fn doubts(all: &[Warning]) -> impl Iterator<Item = String> {
    let of = |unsettled: bool| {
        all.iter()
            .filter(move |one| !is_hazard(one) && matches!(one, Warning::Unsettled { .. }) == unsettled)
            .map(warning)
    };
    of(true).chain(of(false))
}

/// Whether it is about the load's hold, not about how sure the numbers are.
const fn is_hazard(warning: &Warning) -> bool {
    match warning {
        Warning::PinNotHeld { .. }
        | Warning::PinBlocked { .. }
        | Warning::HeldByFriction { .. }
        | Warning::SquareToFlank
        | Warning::OnTheCorner { .. }
        | Warning::Slides { .. } => true,
        Warning::EngagementUnknown(_)
        | Warning::Unsettled { .. }
        | Warning::StiffnessMatters(_)
        | Warning::LipsInGate
        | Warning::MeshBudget
        | Warning::CoarseMesh { .. } => false,
    }
}

/// A warning as a sentence or two.
#[must_use]
pub fn warning(warning: &Warning) -> String {
    match warning {
        Warning::EngagementUnknown(reason) => {
            format!("At which load the gate engages could not be found: {}.", engagement(reason))
        }
        Warning::PinNotHeld { lean_deg, friction } => format!(
            "The notch does not hold the pin: the line through the two pins leans {lean_deg:.1} degrees toward the mouth from the \
             flank's normal, more than friction of {friction:.2} holds ({:.1} degrees). Treated as an open gate.",
            friction.atan().to_degrees()
        ),
        Warning::PinBlocked { lean_deg, friction } => format!(
            "The pin leans {lean_deg:.1} degrees into the notch, more than friction of {friction:.2} holds ({:.1} degrees): \
             pulled, it would slide home. It is taken to be kept where it is by what keeps the gate from shutting.",
            friction.atan().to_degrees()
        ),
        Warning::HeldByFriction { needed } => format!(
            "Only friction keeps the pin where it is: a coefficient of {needed:.2} is needed at the flank before the pull bends \
             anything."
        ),
        Warning::SquareToFlank => {
            "The pin line stands square to the flank: nothing but a little friction keeps the pin from sliding.".to_owned()
        }
        Warning::OnTheCorner { friction, held_from_mm } => on_the_corner(*friction, *held_from_mm),
        Warning::Unsettled { gap_change_mm, linearisations } => format!(
            "The gaps were still changing by {gap_change_mm:.4} mm after {linearisations} linearisations; the share is less \
             certain than usual."
        ),
        Warning::Slides { load, needed, friction } => format!(
            "The {} load stays put only with a friction coefficient of {needed:.2}; {friction:.2} may be relied on. It would \
             slide along the bar.",
            end_word(*load)
        ),
        Warning::StiffnessMatters(change) => format!(
            "Halving or doubling the straps' stiffness moves the gate's share by {change:.3}; measure how much your straps \
             stretch."
        ),
        Warning::LipsInGate => {
            "The lips are inside the gate: stresses beside the nose's head are not resolved.".to_owned()
        }
        Warning::MeshBudget => {
            "The mesh ran out of its budget before all triangles were well shaped; use a larger mesh size.".to_owned()
        }
        Warning::CoarseMesh { energy_error_percent, limit_percent } => format!(
            "The mesh is too coarse for this shape and load: where stress is a result, the estimated error is \
             {energy_error_percent:.1} % in the energy norm, above {limit_percent:.0} %. Stresses are rough; a finer mesh \
             (--mesh-size, --accuracy) tells more."
        ),
    }
}

/// Where a pin whose centre is outside the mouth stands, and from which depth friction holds it there.
fn on_the_corner(friction: f64, held_from_mm: Option<f64>) -> String {
    let held = match held_from_mm {
        Some(mm) => format!("friction of {friction:.2} begins to hold it there at {mm:.2} mm engaged"),
        None => format!("friction of {friction:.2} does not hold it there at any depth"),
    };
    format!(
        "The pin's centre is outside the mouth, so the pin stands on the lip's corner and not on its flank: {held}."
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::rig::RigEnd;

    #[test]
    fn hazards_come_first_then_that_the_numbers_are_not_settled() {
        let all = [
            Warning::StiffnessMatters(0.1),
            Warning::MeshBudget,
            Warning::Unsettled { gap_change_mm: 0.01, linearisations: 12 },
            Warning::Slides { load: RigEnd::Upper, needed: 0.5, friction: 0.2 },
        ];
        let told: Vec<String> = hazards(&all).chain(doubts(&all)).collect();
        let order =
            ["The upper load stays put only", "The gaps were still changing", "Halving", "The mesh ran out"];
        assert_eq!(told.len(), order.len(), "{told:?}");
        assert!(told.iter().zip(order).all(|(told, begins)| told.starts_with(begins)), "{told:?}");
    }
}
