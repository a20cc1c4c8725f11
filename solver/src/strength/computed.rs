//! Small parts whose limits are computed by finite elements, beside the formulas by hand that check them.
//!
//! Rigid, perfectly plastic metal on the part's own shape, pressed by a rigid, smooth pin ([`crate::plastic`]): lip and lugs,
//! whose computed limits decide. The root of the nose is the other way round: its section formula decides, as for every cut of
//! the frame, and the finite elements check it.
//!
//! Left out: hardening, cracks, and what out-of-plane bending of pin and walls does to the patch.

use super::capacity::{Capacity, FAR};
use super::failure_mode::FailureMode;
use super::gate_line::gate_line;
use super::strengths::Strengths;
use crate::collapse::{Flowing, Patch, Press, lip_under_pin, nose_collapse};
use crate::system::System;
use geometry::connector::{Connector, LipOn};

/// Patch that the root of the nose is pressed on, flank in pin radii and degrees of the round end: where the root gives, the
/// patch hardly counts.
const AT_THE_ROOT: (f64, f64) = (0.6, 40.0);

/// A small part's limit by finite elements and by hand, as a force in the gate line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ComputedLimit {
    /// The part.
    pub what: FailureMode,
    /// By finite elements, kN.
    pub computed_kn: f64,
    /// The same on a narrow patch, kN, where that was computed.
    pub narrow_kn: Option<f64>,
    /// The same under a pin that has bedded in deeply, kN, where that was computed.
    pub deep_kn: Option<f64>,
    /// By hand, kN.
    pub by_hand_kn: f64,
    /// Whether the computed limit decides; else the one by hand does.
    pub decides: bool,
    /// Flank that the pin presses on, mm, where it was found.
    pub flank_mm: Option<f64>,
    /// Round end that it presses on, degrees.
    pub arc_deg: Option<f64>,
    /// True where the two lie more than 15 % apart.
    pub far: bool,
}

/// Limits by finite elements of the parts of a gate line that is held, weakest first. `friction` is that of the rig.
///
/// ```
/// # use geometry::connector::{Connector, GatePlace};
/// # use solver::material::Materials;
/// # use solver::system::{System, SystemSettings};
/// # let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
/// # let system = System::try_new(&Connector::example(), GatePlace::Shut, &Materials::example(), &coarse).unwrap();
/// use solver::strength::{Strengths, computed_limits};
///
/// let found = computed_limits(&system, &Strengths::new(&system.connector, &Materials::example()), 0.2);
/// assert!(found.iter().all(|part| part.computed_kn > 5.0 && part.by_hand_kn > 5.0));
/// ```
#[must_use]
pub fn computed_limits(system: &System, strengths: &Strengths, friction: f64) -> Vec<ComputedLimit> {
    let [parts, narrow, deep] = [strengths.press, -1.0, 1.0]
        .map(|press| gate_line(system, &strengths.clone().pressed(press), friction));
    let connector = &strengths.connector(system);
    let force_kn =
        |of: &[Capacity], what: FailureMode| of.iter().find(|p| p.what == what).map(|p| 1e-3 * p.force_n);
    let patch = lip_under_pin(connector, &system.outline, friction, Press::Bedded)
        .ok()
        .and_then(|pressed| pressed.patch);
    let mut all: Vec<ComputedLimit> = parts
        .iter()
        .filter_map(|part| {
            let by_hand = part.by_hand()?;
            let patch = patch.filter(|_| part.what == FailureMode::Lip);
            Some(ComputedLimit {
                what: part.what,
                computed_kn: 1e-3 * part.force_n,
                narrow_kn: force_kn(&narrow, part.what),
                deep_kn: force_kn(&deep, part.what),
                by_hand_kn: by_hand.force_kn,
                decides: true,
                flank_mm: patch.map(|p| p.flank_mm),
                arc_deg: patch.map(|p| p.arc_deg),
                far: by_hand.far,
            })
        })
        .collect();
    all.extend(root(system, connector, strengths, &parts));
    all.sort_by(|a, b| a.computed_kn.total_cmp(&b.computed_kn));
    all
}

/// The root of the nose, where a lip on the frame gives it a mesh.
fn root(
    system: &System,
    connector: &Connector,
    strengths: &Strengths,
    parts: &[Capacity],
) -> Option<ComputedLimit> {
    let nose = &connector.nose;
    let by_hand = parts.iter().find(|p| p.what == FailureMode::NoseRoot)?;
    if nose.lip_on != LipOn::Frame {
        return None;
    }
    let radius = system.outline.seats.nose_pin.radius;
    let patch = Patch { flank_mm: AT_THE_ROOT.0 * radius, arc_deg: AT_THE_ROOT.1 };
    let found =
        nose_collapse(connector, &system.outline, strengths.frame_flow_mpa(), patch, Flowing::Root).ok()?;
    Some(ComputedLimit {
        what: by_hand.what,
        computed_kn: 1e-3 * found.force_n,
        narrow_kn: None,
        deep_kn: None,
        by_hand_kn: 1e-3 * by_hand.force_n,
        decides: false,
        flank_mm: None,
        arc_deg: None,
        far: (by_hand.force_n / found.force_n - 1.0).abs() > FAR,
    })
}
