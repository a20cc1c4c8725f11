//! How much plastic strain a metal bears before it tears.

use crate::material::Material;
use crate::material::lot::strain_of_neck;

/// Plastic strain in a neck at fracture over the logarithmic strain of the elongation, where no reduction of area is told. Metals
/// of which both are listed have 2.4 (2024-T4 and annealed stainless steel, from memory) to 6 (quenched steel): the low end.
/// Engineering judgement.
pub const NECK_OVER_ELONGATION: f64 = 2.5;

/// How fast ductility falls with triaxiality: voids grow by the exponential of 1.5 times as much (Rice and Tracey 1969, from memory).
const GROWTH_OF_VOIDS: f64 = 1.5;

/// Triaxiality of plain tension: mean stress over von Mises stress.
const PLAIN_TENSION: f64 = 1.0 / 3.0;

/// Local plastic strain at which a metal tears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ductility {
    /// In plain tension. Taken from a neck, where triaxiality is higher, it is on the low side.
    pub tension_strain: f64,
    /// On what it stands.
    pub basis: DuctilityBasis,
}

/// On what a ductility stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DuctilityBasis {
    /// The reduction of area at fracture of a tensile bar.
    ReductionOfArea,
    /// Its elongation only, by [`NECK_OVER_ELONGATION`]: engineering judgement.
    Elongation,
}

impl Ductility {
    /// Ductility of a metal; `None` where neither its reduction of area nor its elongation is told.
    #[must_use]
    pub fn of(metal: &Material) -> Option<Self> {
        let by_area = metal.reduction_of_area.map(|area| Self {
            tension_strain: strain_of_neck(area),
            basis: DuctilityBasis::ReductionOfArea,
        });
        by_area.or_else(|| {
            metal.elongation.map(|elongation| Self {
                tension_strain: NECK_OVER_ELONGATION * elongation.ln_1p(),
                basis: DuctilityBasis::Elongation,
            })
        })
    }

    /// The plastic strain at which it tears under a triaxiality (mean stress over von Mises stress), after Rice and Tracey.
    #[must_use]
    pub fn at(&self, triaxiality: f64) -> f64 {
        self.tension_strain * (GROWTH_OF_VOIDS * (PLAIN_TENSION - triaxiality)).exp()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::library;

    #[test]
    fn plain_tension_is_what_a_neck_shows() {
        // ln(100/67) = 0.4005: a third of the area gone.
        let ductility = Ductility::of(&library::ALUMINIUM_7075_T6.material()).unwrap();
        assert!((ductility.at(1.0 / 3.0) - 0.400_478).abs() < 1e-6);
        assert_eq!(ductility.basis, DuctilityBasis::ReductionOfArea);
    }

    #[test]
    fn ductility_falls_with_triaxiality() {
        // In shear exp(0.5) = 1.648721 times as much as in plain tension, with all sides pulling twice as much exp(-1.5).
        let ductility = Ductility { tension_strain: 0.3, basis: DuctilityBasis::Elongation };
        assert!((ductility.at(0.0) / 0.3 - 1.648_721).abs() < 1e-6);
        assert!((ductility.at(4.0 / 3.0) / 0.3 - 0.223_130).abs() < 1e-6);
    }

    #[test]
    fn elongation_alone_gives_less_than_a_neck_that_was_measured() {
        let mut compared = 0;
        for book in library::all() {
            let mut metal = book.material();
            let told = Ductility::of(&metal).unwrap();
            metal.reduction_of_area = None;
            let by_elongation = Ductility::of(&metal).unwrap();
            assert_eq!(by_elongation.basis, DuctilityBasis::Elongation);
            if told.basis == DuctilityBasis::ReductionOfArea {
                compared += 1;
                assert!(by_elongation.tension_strain < told.tension_strain, "{}", book.key);
            }
            metal.elongation = None;
            assert_eq!(Ductility::of(&metal), None);
        }
        assert!(compared >= 7);
    }
}
