//! What a part is made of, and what handbooks say about it.

pub mod library;
pub mod lot;

use lot::Lot;
use serde::Serialize;

/// Material of one part. Stresses in MPa at room temperature.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Material {
    /// Name shown to people.
    pub name: String,
    /// Young's modulus, MPa.
    pub youngs_modulus_mpa: f64,
    /// Poisson's ratio.
    pub poisson_ratio: f64,
    /// Density, g/cm^3.
    pub density_g_cm3: f64,
    /// Yield strength, MPa.
    pub yield_mpa: f64,
    /// Ultimate tensile strength, MPa.
    pub ultimate_mpa: f64,
    /// Ultimate shear strength, MPa.
    pub shear_ultimate_mpa: f64,
    /// Elongation after fracture of a tensile bar, a share of its gauge length; unknown where absent.
    pub elongation: Option<f64>,
    /// Reduction of area at fracture of a tensile bar, a share of its area; unknown where absent.
    pub reduction_of_area: Option<f64>,
    /// A lot of this alloy whose first pull is listed, from which the shape of its curve is taken. The name tells it, so it
    /// is not written beside it.
    #[serde(skip)]
    pub lot: Option<&'static Lot>,
}

impl Material {
    /// Makes it so many times as strong: yield, ultimate and shear strength, and with them the curve of its first pull. How
    /// far it stretches stays.
    pub fn scale_strength(&mut self, by: f64) {
        self.yield_mpa *= by;
        self.ultimate_mpa *= by;
        self.shear_ultimate_mpa *= by;
    }
}

/// Materials of the three kinds of part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Materials {
    /// The frame.
    pub frame: Material,
    /// The gate.
    pub gate: Material,
    /// Nose pin and hinge pin.
    pub pins: Material,
}

impl Materials {
    /// Metals for examples and tests: frame and gate of 7075-T6, pins of a quenched steel.
    #[must_use]
    pub fn example() -> Self {
        let [metal, steel] = [library::ALUMINIUM_7075_T6, library::STEEL_4340_180].map(|m| m.material());
        Self { frame: metal.clone(), gate: metal, pins: steel }
    }
}
