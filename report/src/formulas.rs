//! The formulas of limits in words, where they are from, and what goes into them.

use solver::strength::{Formula, Limit, Quantity};

/// Where a formula and its factors are from.
#[must_use]
pub const fn source(formula: Formula) -> &'static str {
    match formula {
        Formula::FirstYield => {
            "finite elements, trusted points of the frame away from notch and hinge hole; the gate line taken as \
             whole"
        }
        Formula::FrameStatics => {
            "static limit of a once redundant frame, axial force and moment together in every cut; textbooks. A \
             strap pulls evenly over its width; where the gate carries nothing, as the elastic solution with \
             grips that do not rotate has it"
        }
        Formula::RidingOut => {
            "statics of a pin on a flank with friction; the nose's turn from the elastic solution"
        }
        Formula::StrapAsGiven => "the rig",
        Formula::LipComputed => {
            "limit load by finite elements: perfectly plastic metal under a rigid pin that has bedded in"
        }
        Formula::LipByHand => {
            "plastic bending of a rectangle and shear, sharing the section as on an ellipse; textbooks (the \
             finite elements gave no limit for this shape)"
        }
        Formula::FlankBearing => {
            "bearing strength 1.5 x ultimate, engineering judgement between the handbook's 1.30 and 1.60 (MIL-\
             HDBK-5J table 3.7.6.0, from memory)"
        }
        Formula::HeadShear => "mean shear on two planes, one on each side of the nose; textbooks",
        Formula::NoseRoot => "section limit with axial force and moment together; textbooks",
        Formula::BehindNotch => "section limit with axial force and moment together; textbooks",
        Formula::PinShear => "mean shear on two planes; textbooks",
        Formula::PinYield => {
            "pin of a lug, Bruhn D1 (from memory): moment = force / 2 x (wall / 2 + middle / 4 + clearance)"
        }
        Formula::PinBentThrough => {
            "limit load of a round bar on three supports that can only press; ultimate bending of a pin in double \
             shear with the bearing drawn to the shear planes, Bruhn D1 (from memory)"
        }
        Formula::LugTornOut => {
            "limit load by finite elements, tabulated: perfectly plastic metal under a rigid, smooth pin; by hand \
             Bruhn D1 (from memory), the form with 40 degrees"
        }
        Formula::LugTornAcross => "net section of a lug, Bruhn D1 (from memory)",
        Formula::LugBearing => {
            "bearing strength 1.5 x ultimate, engineering judgement between the handbook's 1.30 and 1.60 (MIL-\
             HDBK-5J table 3.7.6.0, from memory)"
        }
    }
}

/// The same up to its first stop.
#[must_use]
pub fn source_in_short(formula: Formula) -> &'static str {
    source(formula).split([';', ',']).next().unwrap_or_default()
}

/// A formula, of the force in the gate line or of the load.
#[must_use]
pub const fn formula(formula: Formula) -> &'static str {
    match formula {
        Formula::FirstYield => "lowest load at which the largest von Mises stress is the yield strength",
        Formula::FrameStatics => {
            "largest load for which some force of the gate, up to what the gate line holds, keeps every cut \
             inside its section limit"
        }
        Formula::RidingOut => {
            "load at which lean + turn of the nose passes the friction angle with the pin at the mouth"
        }
        Formula::StrapAsGiven => "the strength given for the strap",
        Formula::LipComputed => {
            "ultimate x least dissipation of the part around the notch; by hand 1 / sqrt((arm / plastic moment)^2 \
             + (1 / shear force)^2), plastic moment = ultimate x breadth x height^2 / 4, shear force = ultimate \
             shear x breadth x height"
        }
        Formula::LipByHand => {
            "1 / sqrt((arm / plastic moment)^2 + (1 / shear force)^2), plastic moment = ultimate x breadth x \
             height^2 / 4, shear force = ultimate shear x breadth x height"
        }
        Formula::FlankBearing => "width of pin inside the mouth x lip breadth x bearing strength",
        Formula::HeadShear => "2 x ultimate shear x pi diameter^2 / 4",
        Formula::NoseRoot => {
            "largest pull along the line of the pins that the cut holds, every fibre at the mean of yield and \
             ultimate"
        }
        Formula::BehindNotch => {
            "largest pull along the gate's axis that the rectangle between notch and edge holds, at the mean of \
             yield and ultimate"
        }
        Formula::PinShear => "2 x ultimate shear x pi diameter^2 / 4",
        Formula::PinYield => "2 x yield x pi diameter^3 / 32 / (wall / 2 + middle / 4 + clearance)",
        Formula::PinBentThrough => {
            "force / 2 x arm = ultimate x pin diameter^3 / 6, arm = half of the bearing length of a wall + half \
             of that of the middle + clearance, bearing length = force / 2 / (pin diameter x bearing strength), \
             at most the wall or half of the middle"
        }
        Formula::LugTornOut => {
            "ultimate x thickness x width x factor of hole over width; by hand ultimate shear x 2 x thickness x \
             (hole centre to end - hole / 2 x cos 40 degrees)"
        }
        Formula::LugTornAcross => "ultimate x thickness x (width - hole)",
        Formula::LugBearing => "pin diameter x thickness x bearing strength",
    }
}

/// The formula of a limit: of the load on the connector.
#[must_use]
pub fn of_limit(limit: &Limit) -> String {
    let own = formula(limit.formula);
    if limit.formula.is_of_gate_line() {
        format!("load at which the gate line carries: {own}")
    } else {
        own.to_owned()
    }
}

/// What a number that goes into a limit is.
#[must_use]
pub const fn quantity(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::GateWidth => "gate width",
        Quantity::NotchRadius => "notch radius",
        Quantity::BothCheeks => "thickness of both walls",
        Quantity::FlowStress => "mean of yield and ultimate",
        Quantity::HeadDiameter => "head diameter",
        Quantity::UltimateShearStrength => "ultimate shear strength",
        Quantity::YieldStrength => "yield strength",
        Quantity::ForceAlongPins => "force carried along the line of the pins",
        Quantity::LeanTowardMouth => "lean of the pin line toward the mouth",
        Quantity::GateForce => "gate force then",
        Quantity::AxialForce => "axial force in the weakest cut",
        Quantity::Moment => "moment in the weakest cut",
        Quantity::WeakestCutArea => "area of that cut",
        Quantity::PlasticModulus => "plastic modulus of that cut",
        Quantity::ForceByHand => "force by hand",
        Quantity::CalibratedFlow => "stress at which sections yield through, by calibration",
        Quantity::Calibrated => "times, by calibration",
        Quantity::FlankPressed => "flank that the pin presses on",
        Quantity::RoundEndPressed => "round end that the pin presses on",
        Quantity::PinInsideMouth => "pin centre inside the mouth",
        Quantity::PinWidthInsideMouth => "width of pin inside the mouth",
        Quantity::LipBreadth => "lip breadth",
        Quantity::BearingStrength => "bearing strength",
        Quantity::ArmToClosedEnd => "arm from pin centre to closed end",
        Quantity::LipHeight => "lip height",
        Quantity::UltimateStrength => "ultimate strength",
        Quantity::Thickness => "thickness",
        Quantity::HoleToEnd => "hole centre to end",
        Quantity::HoleDiameter => "hole diameter",
        Quantity::Width => "width",
        Quantity::PinDiameter => "pin diameter",
        Quantity::CutDepth => "depth of the cut",
        Quantity::CutArea => "area of the cut",
        Quantity::PinLineArm => "arm of the pin line",
        Quantity::PullAlongNose => "part of the pull along the nose",
        Quantity::Cheek => "wall of the gate",
        Quantity::BreadthBetweenCheeks => "breadth between the walls",
        Quantity::CheekClearance => "clearance beside it",
        Quantity::PinUltimateStrength => "ultimate strength of the pin",
        Quantity::CheekBearingStrength => "bearing strength of the walls",
        Quantity::BearingStrengthBetweenCheeks => "bearing strength between them",
        Quantity::HalfForceArm => "arm of half the force",
        Quantity::FrictionAngle => "friction angle",
        Quantity::PinDistance => "distance of the pins",
        Quantity::TurnToLeave => "turn that lets the pin out",
        Quantity::TurnWhereFrameOpens => "turn where the frame opens",
        Quantity::SlidesFrom => "begins to slide at",
        Quantity::StrapWidth => "strap width",
        Quantity::StrapStrength => "strap strength",
        Quantity::JudgedFlowStress => "mean of yield and ultimate (engineering judgement)",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_formula_has_its_words_and_its_source_and_every_quantity_a_name_of_its_own() {
        for one in Formula::ALL.iter().copied() {
            assert!(!source(one).is_empty() && !formula(one).is_empty(), "{one:?}");
        }
        let mut names: Vec<&str> = Quantity::ALL.iter().copied().map(quantity).collect();
        names.sort_unstable();
        assert!(names.windows(2).all(|two| two[0] != two[1]), "{names:?}");
    }
}
