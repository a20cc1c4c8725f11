//! Lots of metal that were pulled until they broke: how stress grew on the way, which no list of strengths tells.

/// A lot that was pulled in plain tension, and what is listed of that pull.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Lot {
    /// Yield strength, MPa.
    pub yield_mpa: f64,
    /// Ultimate tensile strength, MPa.
    pub ultimate_mpa: f64,
    /// Exponent of the power law that fits its curve: by Considère also the strain at the greatest force.
    pub exponent: f64,
    /// Force at fracture over the area of the neck, MPa.
    pub true_fracture_mpa: f64,
    /// Reduction of area: share of the area that the neck had lost at fracture.
    pub reduction_of_area: f64,
    /// Where these values come from.
    pub source: &'static str,
}

/// 7075-T6. The constants of cycles that are listed beside these (977 MPa and 0.106) are those of metal that was strained to and
/// fro: on a first pull it would bear 15 % more than its ultimate strength by them.
pub const ALUMINIUM_7075_T6: Lot = Lot {
    yield_mpa: 469.0,
    ultimate_mpa: 578.0,
    exponent: 0.113,
    true_fracture_mpa: 744.0,
    reduction_of_area: 0.33,
    source: "Dowling tables 12.1 and 14.1, tested lot, from memory",
};

/// 4340, quenched and tempered to 170 ksi; the exponent is that of a lot of 180 ksi.
pub const STEEL_4340: Lot = Lot {
    yield_mpa: 1103.0,
    ultimate_mpa: 1172.0,
    exponent: 0.066,
    true_fracture_mpa: 1634.0,
    reduction_of_area: 0.56,
    source: "Dowling table 9.1, tested lot; the rest SAE J1099, from memory",
};

/// Logarithmic strain where a neck has lost this share of its area: plastic flow keeps the volume.
#[must_use]
pub fn strain_of_neck(reduction_of_area: f64) -> f64 {
    -(-reduction_of_area).ln_1p()
}
