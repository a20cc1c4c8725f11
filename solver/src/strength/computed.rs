//! Limit loads of the small parts by finite elements, beside the formulas that decide a forecast.
//!
//! Rigid, perfectly plastic metal on the part's own shape, pressed by a rigid, smooth pin ([`crate::plastic`]). The lip is
//! pressed where the pin beds in: the patch is found, not given. The formulas of [`super::gate_line`] stay what a forecast is
//! made from; where one differs much from what is computed here, that is told.
//!
//! Left out: hardening, cracks, and what out-of-plane bending of pin and walls does to the patch.

use super::ear::ear_lug;
use super::gate::gate_lug;
use super::gate_line::gate_line;
use super::lug::Lug;
use super::section_limit::flow_mpa;
use crate::plastic::{Flowing, NosePart, Patch, PlasticError, lug_factor_tabulated, nose_collapse};
use crate::system::System;
use geometry::connector::LipOn;
use serde::Serialize;

/// Travel of a pin into its notch, in its radii, at which the lip's limit is read: by then the force rises slowly, by some 5 % up
/// to a whole radius on the broad bar (computed; the value itself is engineering judgement).
const BEDDED_IN: f64 = 0.15;
/// Half the angle on which a pin that has bedded into the hole of a lug presses: all of the side that it is pulled to.
const BEDDED_DEG: f64 = 90.0;
/// Half the angle of a narrow patch in a lug (engineering judgement).
const NARROW_DEG: f64 = 60.0;
/// Patch that the root of the nose is pressed on: where the root gives, the patch hardly counts.
const AT_THE_ROOT: Patch = Patch { flank_mm: 1.2, arc_deg: 40.0 };
/// A formula that lies farther than this from the computed limit is told, as a part of it.
const FAR: f64 = 0.15;

/// A small part's limit by finite elements, as a force in the gate line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComputedLimit {
    /// The part, as the limits name it.
    pub what: String,
    /// By finite elements, kN.
    pub computed_kn: f64,
    /// The same on a narrow patch, kN, where that was computed.
    pub narrow_kn: Option<f64>,
    /// By the formula that decides the forecast, kN.
    pub formula_kn: f64,
    /// Flank that the pin presses on, mm, where it was found.
    pub flank_mm: Option<f64>,
    /// Round end that it presses on, degrees.
    pub arc_deg: Option<f64>,
    /// True where the formula lies more than 15 % from the computed limit.
    pub far: bool,
}

/// Limits of lip, nose root and lugs by finite elements, for a gate that is held. Parts of a gate that carries the lips are left
/// out: its notch has not been checked against another calculation.
///
/// # Errors
/// [`PlasticError`]: a part that gives no mesh, or a pin that presses on nothing.
pub fn computed_limits(system: &System) -> Result<Vec<ComputedLimit>, PlasticError> {
    let formulas = gate_line(system);
    let limit = |what: &str, force_n: f64, narrow_n: Option<f64>, patch: Option<Patch>| {
        let formula_n = formulas.iter().find(|f| f.what == what)?.force_n;
        Some(ComputedLimit {
            what: what.to_owned(),
            computed_kn: 1e-3 * force_n,
            narrow_kn: narrow_n.map(|n| 1e-3 * n),
            formula_kn: 1e-3 * formula_n,
            flank_mm: patch.map(|p| p.flank_mm),
            arc_deg: patch.map(|p| p.arc_deg),
            far: (formula_n / force_n - 1.0).abs() > FAR,
        })
    };
    let mut all = Vec::new();
    let (connector, materials) = (&system.connector, &system.materials);
    let (nose, gate) = (&connector.nose, &connector.gate);
    let in_the_frame = nose.lip_on == LipOn::Frame;
    let pin = system.outline.seats.nose_pin;
    // On the lip's corner there is no flank to bed into.
    if in_the_frame && system.outline.seats.pin_inside_mouth_mm() >= 0.0 {
        let (lip, root) = rayon::join(
            || {
                NosePart::new(connector, &system.outline, &[], Flowing::All)?.bedded(
                    pin,
                    materials.frame.ultimate_mpa,
                    BEDDED_IN * pin.radius,
                )
            },
            || {
                let strength = flow_mpa(&materials.frame);
                nose_collapse(connector, &system.outline, strength, AT_THE_ROOT, Flowing::Root)
            },
        );
        let (lip, root) = (lip?, root?);
        // At the mouth a patch cannot be told: the flank ends under the pin.
        let patch = Some(lip.patch).filter(|p| p.flank_mm > 0.0 || p.arc_deg > 0.0);
        all.extend(limit("lip of the notch", lip.force_n, None, patch));
        all.extend(limit("root of the nose", root.force_n, None, None));
    }
    let at = |lug: Lug, strength: f64, deg: f64| {
        let factor = lug_factor_tabulated(lug.hole_mm / lug.width_mm, deg.to_radians());
        factor * strength * lug.thickness_mm * lug.width_mm
    };
    let hinge_mm = connector.hinge.pin_diameter_mm;
    let mut lugs = vec![
        ("gate, torn out at the hinge pin", gate_lug(gate, hinge_mm), materials.gate.ultimate_mpa),
        ("hinge ear, torn out", ear_lug(&connector.hinge), materials.frame.ultimate_mpa),
    ];
    if in_the_frame {
        let lug = gate_lug(gate, nose.pin_diameter_mm);
        lugs.push(("gate, torn out at the nose pin", lug, materials.gate.ultimate_mpa));
    }
    for (what, lug, strength) in lugs {
        all.extend(limit(what, at(lug, strength, BEDDED_DEG), Some(at(lug, strength, NARROW_DEG)), None));
    }
    all.sort_by(|a, b| a.computed_kn.total_cmp(&b.computed_kn));
    Ok(all)
}
