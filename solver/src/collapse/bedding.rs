//! How the pin beds into its notch: force, patch and strain as its travel grows.
//!
//! One implicit step from the undeformed notch: of all displacements that let the pin travel by `travel_mm` after it touched,
//! over the gaps that a circle leaves in a wider round end and over a flat flank, the one of least dissipation. The contact
//! itself is elastic. Left out: hardening, changes of shape beyond the gaps, what an earlier, narrower patch has already bent.

use super::nose_part::{NosePart, Patch, PlasticError, settled};
use super::programme::{Row, least_dissipation};
use crate::system::gap_mm;
use geometry::outline::Circle;

/// The notch after some travel of the pin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bedding {
    /// Travel of the pin in the direction in which it presses, after it touched, mm.
    pub travel_mm: f64,
    /// Its force along the pull, N.
    pub force_n: f64,
    /// Where it presses: how far the nodes reach that carry force.
    pub patch: Patch,
    /// Equivalent plastic strain, mean weighted by itself over the volume.
    pub mean_strain: f64,
    /// Largest equivalent plastic strain at an integration point: it grows with the fineness of the mesh.
    pub largest_strain: f64,
    /// Factorizations.
    pub iterations: usize,
}

/// Part of the largest force on a node below which a node counts as free.
const FREE: f64 = 0.01;
/// Stiffness of the contact, in strengths of the metal: pin and flank approach elastically by `p r / STIFF` under a pressure
/// of `p` strengths on a pin of radius `r`. Two half planes pressed on half a radius to either side approach by 3 to 4
/// `p r / E` (K. L. Johnson, Contact Mechanics, 1985, from memory), and moduli are 126 (7075-T6) to some 200 times the
/// strength. Without it the force would jump as nodes come to press one by one; three times as stiff moves the example's
/// nominal lip by 0.1 %, and one under a slender pin with clearance by up to 4 %.
const STIFF: f64 = 50.0;
/// Reach of possible contact on the round end, radians.
const ROUND: f64 = 1.7;

impl NosePart {
    /// The notch after `travel_mm` of a pin that stood at `pin` before the pull.
    ///
    /// # Errors
    /// [`PlasticError::NoContact`] when no node faces the pin; [`PlasticError::Unsettled`]; [`PlasticError::Plane`].
    pub fn bedded(
        &mut self,
        pin: Circle,
        strength_mpa: f64,
        travel_mm: f64,
    ) -> Result<Bedding, PlasticError> {
        let foot_mm = self.foot_mm(pin);
        let (pull, per_pull) = self.pressing(foot_mm);
        let along = |n: [f64; 2]| n[0] * pull[0] + n[1] * pull[1];
        let facing: Vec<_> =
            self.surface.iter().filter(|s| s.place > -ROUND && along(s.normal) > 0.05).copied().collect();
        let gap = |node: u32, normal, circle| gap_mm(self.metal.mesh.points[node as usize], normal, circle);
        // Down to the first touch.
        let down = facing
            .iter()
            .filter_map(|s| gap(s.node, s.normal, pin).map(|g| g / along(s.normal)))
            .fold(f64::INFINITY, f64::min);
        if !down.is_finite() {
            return Err(PlasticError::NoContact);
        }
        let seated = Circle {
            centre: [pin.centre[0] + down * pull[0], pin.centre[1] + down * pull[1]],
            radius: pin.radius,
        };
        let (places, rows): (Vec<f64>, Vec<Row>) = facing
            .iter()
            .filter_map(|s| {
                let gap = gap(s.node, s.normal, seated)?;
                let softness = pin.radius / (STIFF * s.share_mm2);
                Some((s.place, Row { softness, ..Row::new(s.node, s.normal, pull, travel_mm, gap) }))
            })
            .unzip();
        let flow = settled(least_dissipation(&self.metal, &rows, &mut self.linear)?)?;
        let most = flow.row_forces.iter().copied().fold(0.0, f64::max);
        let mut patch = Patch { flank_mm: 0.0, arc_deg: 0.0 };
        for (place, force) in places.iter().zip(&flow.row_forces) {
            if *force > FREE * most {
                patch.flank_mm = patch.flank_mm.max(place - foot_mm);
                patch.arc_deg = patch.arc_deg.max(-place.to_degrees());
            }
        }
        let sums = self
            .metal
            .samples
            .iter()
            .zip(&flow.rates)
            .fold([0.0; 2], |[one, two], (s, r)| [one + s.volume * r, two + s.volume * r * r]);
        Ok(Bedding {
            travel_mm,
            force_n: strength_mpa * flow.force_n / per_pull,
            patch,
            mean_strain: sums[1] / sums[0].max(f64::MIN_POSITIVE),
            largest_strain: flow.rates.iter().copied().fold(0.0, f64::max),
            iterations: flow.iterations,
        })
    }
}
