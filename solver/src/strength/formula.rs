//! By what a limit is computed, and what goes into it.

use strum::VariantArray;

/// A formula. Where it and its factors are from stands with its words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, VariantArray)]
pub enum Formula {
    /// The lowest load at which the largest trusted von Mises stress is the yield strength.
    FirstYield,
    /// The static limit of the frame, once redundant by its gate.
    FrameStatics,
    /// Statics of a pin on a flank with friction.
    RidingOut,
    /// The strength given for the strap.
    StrapAsGiven,
    /// The limit load of the lip by finite elements.
    LipComputed,
    /// Plastic bending and shear of the lip together, where the finite elements give nothing.
    LipByHand,
    /// Bearing of the pin on the flank.
    FlankBearing,
    /// Shear of the head of the nose on two planes.
    HeadShear,
    /// The section limit of the cut at the root of the nose.
    NoseRoot,
    /// The section limit of the gate between its notch and its edge.
    BehindNotch,
    /// Shear of a pin on two planes.
    PinShear,
    /// First yield of a pin in bending, as the lug method has it.
    PinYield,
    /// The limit load of a round bar on three supports that can only press.
    PinBentThrough,
    /// The limit load of a lug by finite elements, tabulated.
    LugTornOut,
    /// The net section of a lug.
    LugTornAcross,
    /// Bearing of the pin in a lug.
    LugBearing,
}

impl Formula {
    /// All formulas.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// True where it gives the force in the gate line, and not the load on the connector.
    #[must_use]
    pub const fn is_of_gate_line(self) -> bool {
        !matches!(self, Self::FirstYield | Self::FrameStatics | Self::RidingOut | Self::StrapAsGiven)
    }
}

/// What a number that goes into a limit is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, VariantArray)]
pub enum Quantity {
    /// Gate width.
    GateWidth,
    /// Notch radius.
    NotchRadius,
    /// Thickness of both walls.
    BothCheeks,
    /// Mean of yield and ultimate strength.
    FlowStress,
    /// Head diameter.
    HeadDiameter,
    /// Ultimate shear strength.
    UltimateShearStrength,
    /// Yield strength.
    YieldStrength,
    /// Force carried along the line of the pins.
    ForceAlongPins,
    /// Lean of the pin line toward the mouth.
    LeanTowardMouth,
    /// Gate force then.
    GateForce,
    /// Axial force in the weakest cut.
    AxialForce,
    /// Moment in the weakest cut.
    Moment,
    /// Area of that cut.
    WeakestCutArea,
    /// Plastic modulus of that cut.
    PlasticModulus,
    /// The force by hand, along the line of the pins.
    ForceByHand,
    /// The stress at which sections yield through, as a calibration has it.
    CalibratedFlow,
    /// What a calibration says that it holds over what is computed.
    Calibrated,
    /// Flank that the pin presses on.
    FlankPressed,
    /// Round end that the pin presses on.
    RoundEndPressed,
    /// Pin centre inside the mouth.
    PinInsideMouth,
    /// Width of pin inside the mouth.
    PinWidthInsideMouth,
    /// Lip breadth.
    LipBreadth,
    /// Bearing strength.
    BearingStrength,
    /// Arm from pin centre to closed end.
    ArmToClosedEnd,
    /// Lip height.
    LipHeight,
    /// Ultimate strength.
    UltimateStrength,
    /// Thickness.
    Thickness,
    /// Hole centre to end.
    HoleToEnd,
    /// Hole diameter.
    HoleDiameter,
    /// Width.
    Width,
    /// Pin diameter.
    PinDiameter,
    /// Depth of the cut.
    CutDepth,
    /// Area of the cut.
    CutArea,
    /// Arm of the pin line.
    PinLineArm,
    /// Part of the pull along the nose.
    PullAlongNose,
    /// Wall of the gate.
    Cheek,
    /// Breadth between the walls.
    BreadthBetweenCheeks,
    /// Clearance beside it.
    CheekClearance,
    /// Ultimate strength of the pin.
    PinUltimateStrength,
    /// Bearing strength of the walls.
    CheekBearingStrength,
    /// Bearing strength between them.
    BearingStrengthBetweenCheeks,
    /// Arm of half the force.
    HalfForceArm,
    /// Friction angle.
    FrictionAngle,
    /// Distance of the pins.
    PinDistance,
    /// Turn that lets the pin out.
    TurnToLeave,
    /// Turn where the frame opens.
    TurnWhereFrameOpens,
    /// Begins to slide at.
    SlidesFrom,
    /// Strap width.
    StrapWidth,
    /// Strap strength.
    StrapStrength,
    /// Mean of yield and ultimate strength, taken for the flow stress by engineering judgement.
    JudgedFlowStress,
}

impl Quantity {
    /// All quantities.
    pub const ALL: &[Self] = Self::VARIANTS;
}

/// A number that went into a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Input {
    /// What it is.
    pub quantity: Quantity,
    /// Its value.
    pub value: f64,
    /// Its unit; empty for a plain number.
    pub unit: &'static str,
}

/// An input in short.
#[must_use]
pub const fn input(quantity: Quantity, value: f64, unit: &'static str) -> Input {
    Input { quantity, value, unit }
}
