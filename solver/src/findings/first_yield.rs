//! The lowest load at which a trusted point of the frame yields, found on the load path: the gate closes its clearance first,
//! so the stress does not grow in proportion to the load.

use super::peaks::{Joints, Untrusted, nodal_von_mises, trusted_peak};
use crate::response::{Pull, Response, RigError};
use crate::system::{Side, System};

/// The load is found to this part of itself.
const TOLERANCE: f64 = 1e-3;
/// At most this many loads are tried.
const MOST_TRIES: usize = 12;

/// Highest trusted von Mises stress of the frame away from notch and hinge hole, MPa.
#[must_use]
pub fn frame_peak_mpa(system: &System, response: &Response) -> Option<f64> {
    frame_peak_mpa_of(
        system,
        response,
        &system.frame.recovery().nodal_stress(&system.frame.body, &response.frame_u),
    )
}

/// The same of stress at the frame's nodes that is recovered already.
pub(super) fn frame_peak_mpa_of(system: &System, response: &Response, stress: &[[f64; 3]]) -> Option<f64> {
    let untrusted =
        Untrusted::new(system, response, Side::Frame).with_joints(&Joints::new(system, Side::Frame));
    Some(trusted_peak(system.frame.body.mesh(), &nodal_von_mises(stress), &untrusted)?.1)
}

/// First yield of a frame of this yield strength in kN, to 0.1 %; `None` when no point is trusted or the search does not close in.
///
/// `known` is a load and the peak already computed for it.
///
/// # Errors
/// [`RigError`] when a load on the way cannot be balanced.
pub fn first_yield_kn(
    pull: &mut Pull<'_>,
    yield_mpa: f64,
    known: (f64, f64),
) -> Result<Option<f64>, RigError> {
    let system = pull.system();
    let (mut low, mut high) = ((0.0, 0.0), None::<(f64, f64)>);
    let mut place = |(load, peak): (f64, f64)| {
        if peak < yield_mpa {
            low = (load, peak);
        } else {
            high = Some((load, peak));
        }
        (low, high)
    };
    let (mut below, mut above) = place(known);
    for _ in 0..MOST_TRIES {
        let guess = match above {
            Some(above) => {
                // Straight line between the two; kept off the ends so that the bracket always shrinks.
                let part = (yield_mpa - below.1) / (above.1 - below.1);
                below.0 + part.clamp(0.02, 0.98) * (above.0 - below.0)
            }
            None => below.0 * (yield_mpa / below.1.max(1e-9)).clamp(1.05, 50.0),
        };
        let response = pull.respond(guess)?;
        let Some(peak) = frame_peak_mpa(system, &response) else { return Ok(None) };
        if (peak / yield_mpa - 1.0).abs() < TOLERANCE {
            return Ok(Some(guess * yield_mpa / peak));
        }
        (below, above) = place((guess, peak));
        if let Some(above) = above
            && above.0 - below.0 < TOLERANCE * above.0
        {
            return Ok(Some(0.5 * (above.0 + below.0)));
        }
    }
    Ok(None)
}
