//! One point of a sweep: what is computed there, rounded to what is written.
//!
//! Numbers are rounded to six digits here, before anything is done with them. A row read back from the record of an
//! interrupted sweep is then the very row that was computed, and a resumed sweep writes the same bytes as a whole one.

use crate::case::Case;
use crate::pulled::Pulled;
use solver::findings::{NodalStress, Peak, gate_kn, peaks, spine_kn};
use solver::response::{RigError, section_forces};
use solver::strength::{Ends, FailureMode, LimitKind};
use solver::system::System;

/// What was found at a point, to six digits.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Gate over load, at the load of the rig.
    pub gate_fraction: f64,
    /// Pull carried by the gate, kN.
    pub gate_kn: f64,
    /// Pull carried by the spine, kN.
    pub spine_kn: f64,
    /// Load at which the gate first carries, kN.
    pub gate_engages_at_kn: Option<f64>,
    /// Bending moment of the spine at mid height, N m.
    pub spine_moment_nm: f64,
    /// Highest stress away from notch, hinge hole, contacts and sharp corners, MPa.
    pub peak_mpa: Option<f64>,
    /// Where the frame first yields, kN.
    pub first_yield_kn: Option<f64>,
    /// Where the frame is permanently bent, kN.
    pub bends_at_kn: f64,
    /// Where the frame opens, kN.
    pub opens_at_kn: Option<f64>,
    /// Highest load of the pull, kN.
    pub peak_kn: f64,
    /// The part that fails first.
    pub fails_first: FailureMode,
    /// The load at which it does, kN.
    pub fails_at_kn: f64,
    /// How the pull ends.
    pub ends: Ends,
    /// The limit of each part, in the order of the parts; those of the frame are above.
    pub parts: Vec<PartLimit>,
}

/// The limit of one part.
#[derive(Clone, Debug, PartialEq)]
pub struct PartLimit {
    /// The part.
    pub what: FailureMode,
    /// Load on the connector, kN; absent where no load brings the part there.
    pub at_kn: Option<f64>,
    /// Whether reaching it ends the pull or costs the gate: yielding of a part does not.
    pub fails: bool,
}

impl Found {
    /// The limit of a part that may fail first, kN; absent where no load brings it there.
    #[must_use]
    pub fn limit_kn(&self, what: FailureMode) -> Option<f64> {
        match what {
            FailureMode::FrameOpens => self.opens_at_kn,
            _ => self.parts.iter().find(|p| p.what == what).and_then(|p| p.at_kn),
        }
    }
}

/// To six digits, which is more than any of these numbers is good for.
pub(super) fn rounded(value: f64) -> f64 {
    format!("{value:.5e}").parse().unwrap_or(value)
}

/// Solves one point.
///
/// # Errors
/// A rig that does not fit or does not balance.
pub(super) fn solve_point(system: &System, case: &Case) -> Result<Found, RigError> {
    let Pulled { response, limits: all } = Pulled::of(system, case)?;
    let stress = NodalStress::new(system, &response);
    let peak = peaks(system, &response, &stress.frame, &stress.gate).into_iter().find(Peak::is_away);
    let gate_engages = match system.gate_engages_at_kn(&case.rig) {
        Err(RigError::Engagement(_)) => None,
        other => other?,
    };
    let moment = section_forces(system, &response, &system.outline.frame_stations[0]).moment_nm;
    let gate = gate_kn(system, &response);
    let opens = all.limits.iter().find(|l| l.kind == LimitKind::Opens).and_then(|l| l.at_kn);

    let mut parts: Vec<PartLimit> = all
        .limits
        .iter()
        .filter(|l| !l.what.is_of_frame())
        .map(|l| PartLimit {
            what: l.what,
            at_kn: l.at_kn.map(rounded),
            fails: !matches!(l.kind, LimitKind::Yields | LimitKind::Bends),
        })
        .collect();
    // Lowest first is an order that changes along a sweep.
    parts.sort_by_key(|part| part.what);
    Ok(Found {
        gate_fraction: rounded(gate / case.rig.load_kn),
        gate_kn: rounded(gate),
        spine_kn: rounded(spine_kn(system, &response)),
        gate_engages_at_kn: gate_engages.map(rounded),
        spine_moment_nm: rounded(moment),
        peak_mpa: peak.map(|p| rounded(p.von_mises_mpa)),
        first_yield_kn: all.first_yield_kn.map(rounded),
        bends_at_kn: rounded(all.bends_at_kn),
        opens_at_kn: opens.map(rounded),
        peak_kn: rounded(all.peak_kn),
        fails_first: all.fails_first,
        fails_at_kn: rounded(all.fails_at_kn),
        ends: all.ends,
        parts,
    })
}

#[cfg(test)]
mod tests {
    use super::rounded;

    #[test]
    fn six_digits_come_back_as_they_were() {
        for value in [1.0 / 3.0, 12_345.678_9, -2.0e-7 / 3.0, 0.0] {
            let kept = rounded(value);
            assert!((kept - value).abs() <= 1e-5 * value.abs());
            let back: f64 = serde_json::from_str(&serde_json::to_string(&kept).unwrap()).unwrap();
            assert_eq!(back.to_bits(), kept.to_bits());
        }
    }
}
