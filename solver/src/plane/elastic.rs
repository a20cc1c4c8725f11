//! Linear isotropic elasticity in the plane.

use super::PlaneError;

/// What the third direction does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlaneState {
    /// Free to contract: no stress across the plane. The state of a connector.
    Stress,
    /// Held: no strain across the plane. For verification (an elastic pin).
    Strain,
}

/// An elastic material in a plane state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elastic {
    /// Young's modulus, MPa.
    pub youngs_modulus_mpa: f64,
    /// Poisson's ratio.
    pub poisson_ratio: f64,
    /// Stress or strain.
    pub state: PlaneState,
}

/// Entries of the elasticity matrix `[[direct, cross, 0], [cross, direct, 0], [0, 0, shear]]`, MPa. It turns strains
/// `[xx, yy, xy]` with engineering shear into stresses `[xx, yy, xy]`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moduli {
    /// Stress along x for unit strain along x.
    pub direct: f64,
    /// Stress along x for unit strain along y.
    pub cross: f64,
    /// Shear stress for unit engineering shear.
    pub shear: f64,
}

impl Elastic {
    /// Checks that the material can hold a body together.
    ///
    /// # Errors
    /// [`PlaneError::Material`] unless the modulus is finite and positive and Poisson's ratio in -1 < nu < 0.5.
    pub fn check(&self) -> Result<(), PlaneError> {
        let (e, nu) = (self.youngs_modulus_mpa, self.poisson_ratio);
        if e.is_finite() && e > 0.0 && nu > -1.0 && nu < 0.5 {
            Ok(())
        } else {
            Err(PlaneError::Material { youngs_modulus_mpa: e, poisson_ratio: nu })
        }
    }

    /// The elasticity matrix.
    #[must_use]
    pub fn moduli(&self) -> Moduli {
        let (e, nu) = (self.youngs_modulus_mpa, self.poisson_ratio);
        let shear = e / (2.0 * (1.0 + nu));
        match self.state {
            PlaneState::Stress => {
                let direct = e / (1.0 - nu * nu);
                Moduli { direct, cross: nu * direct, shear }
            }
            PlaneState::Strain => {
                let scale = e / ((1.0 + nu) * (1.0 - 2.0 * nu));
                Moduli { direct: (1.0 - nu) * scale, cross: nu * scale, shear }
            }
        }
    }

    /// Stress across the plane that goes with the in-plane stress `[xx, yy, xy]`, MPa: zero in plane stress.
    #[must_use]
    pub fn across(&self, stress: [f64; 3]) -> f64 {
        match self.state {
            PlaneState::Stress => 0.0,
            PlaneState::Strain => self.poisson_ratio * (stress[0] + stress[1]),
        }
    }
}

impl Moduli {
    /// Stress `[xx, yy, xy]`, MPa, of the strain `[xx, yy, xy]` (engineering shear).
    #[must_use]
    pub fn stress(&self, strain: [f64; 3]) -> [f64; 3] {
        [
            self.direct * strain[0] + self.cross * strain[1],
            self.cross * strain[0] + self.direct * strain[1],
            self.shear * strain[2],
        ]
    }

    /// Stress times the strain it causes, MPa: twice the energy per volume.
    #[must_use]
    pub fn work(&self, stress: [f64; 3]) -> f64 {
        let determinant = self.direct * self.direct - self.cross * self.cross;
        let [x, y, shear] = stress;
        (self.direct * (x * x + y * y) - 2.0 * self.cross * x * y) / determinant + shear * shear / self.shear
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plane_stress_tension_contracts_by_poissons_ratio() {
        let steel = Elastic { youngs_modulus_mpa: 200e3, poisson_ratio: 0.3, state: PlaneState::Stress };
        let stress = steel.moduli().stress([1e-3, -0.3e-3, 0.0]);
        assert!((stress[0] - 200.0).abs() < 1e-10 && stress[1].abs() < 1e-10);
        // sigma * epsilon = 200 * 1e-3.
        assert!((steel.moduli().work([200.0, 0.0, 0.0]) - 0.2).abs() < 1e-14);
    }

    #[test]
    fn plane_strain_tension_is_stiffer_by_one_less_nu_squared() {
        let steel = Elastic { youngs_modulus_mpa: 200e3, poisson_ratio: 0.3, state: PlaneState::Strain };
        // sigma_x alone: epsilon_x = (1 - nu^2) sigma / E.
        assert!((steel.moduli().work([200.0, 0.0, 0.0]) - 0.2 * 0.91).abs() < 1e-14);
        assert!((steel.across([100.0, 50.0, 7.0]) - 45.0).abs() < 1e-12);
    }

    #[test]
    fn shear_modulus_is_the_same_in_both_states() {
        for state in [PlaneState::Stress, PlaneState::Strain] {
            let steel = Elastic { youngs_modulus_mpa: 260.0, poisson_ratio: 0.3, state };
            assert!((steel.moduli().shear - 100.0).abs() < 1e-12);
        }
    }

    #[test]
    fn impossible_materials_are_refused() {
        let check = |e: f64, nu: f64| {
            Elastic { youngs_modulus_mpa: e, poisson_ratio: nu, state: PlaneState::Stress }.check()
        };
        for (e, nu) in [(0.0, 0.3), (-1.0, 0.3), (f64::INFINITY, 0.3), (1.0, 0.5), (1.0, -1.0)] {
            assert_eq!(check(e, nu), Err(PlaneError::Material { youngs_modulus_mpa: e, poisson_ratio: nu }));
        }
        for (e, nu) in [(f64::NAN, 0.3), (1.0, f64::NAN)] {
            assert!(matches!(check(e, nu), Err(PlaneError::Material { .. })), "{e} {nu}");
        }
        for nu in [-0.999, 0.0, 0.499] {
            assert_eq!(check(1.0, nu), Ok(()));
        }
    }
}
