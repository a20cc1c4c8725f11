//! From a response to findings.

use super::first_yield::{first_yield_kn, frame_peak_mpa_of};
use super::lever_rule::lever_rule;
use super::peaks::peaks;
use super::trusted_error::{TrustedError, energy_error_percent};
use super::warning::Warning;
use super::{
    ContactFindings, Findings, MeshFindings, Quality, RigEndFindings, RigFindings, RigKind, Sections, Share,
};
use crate::material::Materials;
use crate::response::{
    Hold, Leans, Pull, Response, RigError, Source, corner_turn, cut_resultant, held_from_mm, section_forces,
};
use crate::rig::{GateState, Loader, Rig, RigEnd};
use crate::seats::strap_friction_needed;
use crate::system::{Joint, Side, System};
use geometry::connector::LipOn;

/// The share may move by so much when a strap's stiffness is halved or doubled before the reader is warned.
const STIFFNESS_SHARE: f64 = 0.01;
/// The reader is warned of an estimated error above this, percent in the energy norm: five times that of a default mesh.
const ENERGY_ERROR_PERCENT: f64 = 5.0;

/// Nodal stress of both bodies under a response, [xx, yy, xy] in MPa.
#[derive(Clone, Debug)]
pub struct NodalStress {
    /// In the frame.
    pub frame: Vec<[f64; 3]>,
    /// In the gate.
    pub gate: Vec<[f64; 3]>,
}

impl NodalStress {
    /// Recovers the stress of a response.
    #[must_use]
    pub fn new(system: &System, response: &Response) -> Self {
        Self {
            frame: system.frame.recovery().nodal_stress(&system.frame.body, &response.frame_u),
            gate: system.gate.recovery().nodal_stress(&system.gate.body, &response.gate_u),
        }
    }
}

/// Forces of the gate's nose and hinge on the frame, N.
#[must_use]
pub fn pin_forces(system: &System, response: &Response) -> [[f64; 2]; 2] {
    let mut sums = [[0.0; 2]; 2];
    for applied in &response.applied {
        if let Source::Row(index) | Source::Stick(index) = applied.source {
            let sum = &mut sums[if system.rows[index].joint == Joint::Nose { 0 } else { 1 }];
            sum[0] += applied.on_frame[0];
            sum[1] += applied.on_frame[1];
        }
    }
    sums
}

/// Pull carried by the gate, kN: the part along the pull axis of the force of the gate's nose pin on the frame, positive
/// in tension.
#[must_use]
pub fn gate_kn(system: &System, response: &Response) -> f64 {
    let [nose, _] = pin_forces(system, response);
    let [ax, ay] = response.axis.direction;
    // A gate without force carries nothing, not minus nothing.
    0.0 - 1e-3 * (nose[0] * ax + nose[1] * ay)
}

/// Pull carried by the spine at mid height, kN, from element forces.
#[must_use]
pub fn spine_kn(system: &System, response: &Response) -> f64 {
    let station = &system.outline.frame_stations[0];
    let spine = cut_resultant(system, response, station);
    let [tx, ty] = station.along;
    let [ax, ay] = response.axis.direction;
    // Back to a vector (shear is positive to the right of travel at the spine) and onto the pull axis.
    spine.axial_kn * (tx * ax + ty * ay) + spine.shear_kn * (ty * ax - tx * ay)
}

/// All findings of a response of a connector of these metals.
///
/// ```
/// # use geometry::connector::{Connector, GatePlace};
/// # use solver::material::Materials;
/// # use solver::system::{System, SystemSettings};
/// # let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
/// # let system = System::try_new(&Connector::example(), GatePlace::Shut, &Materials::example(), &coarse).unwrap();
/// use solver::findings::{NodalStress, findings};
/// use solver::rig::Rig;
///
/// let response = system.respond(&Rig::example()).unwrap();
/// let found = findings(&system, &Materials::example(), &response, &NodalStress::new(&system, &response)).unwrap();
/// // Gate and spine carry the pull between them.
/// assert!((found.share.gate_kn + found.share.spine_kn - 10.0).abs() < 0.01);
/// ```
///
/// # Errors
/// [`RigError`] when one of the further loads that first yield and stiffness checks need cannot be solved.
pub fn findings(
    system: &System,
    materials: &Materials,
    response: &Response,
    stress: &NodalStress,
) -> Result<Findings, RigError> {
    build(system, materials, response, stress, true)
}

/// The findings that need no load beside that of the response: as [`findings`], without first yield, the warning about the
/// straps' stiffness and the estimate of the mesh's error, several times faster. For a picture that follows the hand.
///
/// # Errors
/// [`RigError`] when the search for the engagement load cannot be set up.
pub fn quick_findings(
    system: &System,
    materials: &Materials,
    response: &Response,
    stress: &NodalStress,
) -> Result<Findings, RigError> {
    build(system, materials, response, stress, false)
}

fn build(
    system: &System,
    materials: &Materials,
    response: &Response,
    stress: &NodalStress,
    complete: bool,
) -> Result<Findings, RigError> {
    let rig = response.rig;
    let load_n = 1e3 * rig.load_kn;
    let [nose, hinge] = pin_forces(system, response);
    let gate_kn = gate_kn(system, response);
    let stations = &system.outline.frame_stations;
    let spine_kn = spine_kn(system, response);
    let (gate_engages_at_kn, engagement_unknown) = match system.gate_engages_at_kn(&rig) {
        Ok(kn) => (kn, None),
        Err(RigError::Engagement(reason)) => (None, Some(Warning::EngagementUnknown(reason))),
        Err(other) => return Err(other),
    };
    let frame_peak = if complete { frame_peak_mpa_of(system, response, &stress.frame) } else { None };
    let first_yield = match frame_peak {
        Some(peak) => first_yield_kn(
            &mut Pull::new(system, &rig)?.near(response),
            materials.frame.yield_mpa,
            (rig.load_kn, peak),
        )?,
        None => None,
    };
    let mut warnings: Vec<Warning> = engagement_unknown.into_iter().collect();
    warnings.extend(warnings_of(system, response, gate_kn, complete)?);
    let meshes = [system.frame.body.mesh(), system.gate.body.mesh()];
    if meshes.iter().any(|m| !m.refinement_complete) {
        warnings.push(Warning::MeshBudget);
    }
    let both = [Side::Frame, Side::Gate];
    let energy_error_percent = complete
        .then(|| energy_error_percent(&both.map(|side| TrustedError::new(system, response, side))))
        .flatten();
    let coarse = energy_error_percent.filter(|e| *e > ENERGY_ERROR_PERCENT);
    warnings.extend(coarse.map(|energy_error_percent| Warning::CoarseMesh {
        energy_error_percent,
        limit_percent: ENERGY_ERROR_PERCENT,
    }));
    let (force_residual, moment_residual) = residuals(system, response, load_n);
    let direction = (nose[0].hypot(nose[1]) > 1e-9 * load_n).then(|| nose[1].atan2(nose[0]).to_degrees());
    Ok(Findings {
        mass_g: system.mass_g(materials),
        load_kn: rig.load_kn,
        gate: rig.gate,
        rig: RigFindings { upper: rig_end(system, response, true), lower: rig_end(system, response, false) },
        share: Share {
            gate_kn,
            spine_kn,
            gate_fraction: gate_kn / rig.load_kn,
            gate_engages_at_kn,
            lever_rule: lever_rule(system, response),
        },
        contact: ContactFindings {
            nose_kn: 1e-3 * nose[0].hypot(nose[1]),
            nose_direction_deg: direction,
            hinge_kn: 1e-3 * hinge[0].hypot(hinge[1]),
        },
        sections: Sections {
            spine_mid: section_forces(system, response, &stations[0]),
            upper_mid: section_forces(system, response, &stations[1]),
            lower_mid: section_forces(system, response, &stations[2]),
            nose_root: section_forces(system, response, &stations[3]),
            hinge_root: section_forces(system, response, &stations[4]),
            gate_mid: section_forces(system, response, &system.outline.gate_station),
        },
        peaks: peaks(system, response, &stress.frame, &stress.gate),
        first_yield_kn: first_yield,
        mesh: MeshFindings {
            triangles: meshes.iter().map(|m| m.triangles.len()).sum(),
            unknowns: system.unknowns(),
            min_angle_deg: meshes[0].min_angle_deg.min(meshes[1].min_angle_deg),
        },
        quality: Quality {
            force_residual,
            moment_residual,
            optimality: response.info.optimality,
            energy_error_percent,
        },
        beyond: Vec::new(),
        warnings,
    })
}

fn rig_end(system: &System, response: &Response, upper: bool) -> RigEndFindings {
    let (loader, centre) = if upper {
        (response.rig.upper, response.axis.upper)
    } else {
        (response.rig.lower, response.axis.lower)
    };
    let straps = strap_friction_needed(system, &response.rig);
    let (mut force, mut moment) = ([0.0; 2], 0.0);
    let (mut pressing, mut gripping) = ([0.0; 2], [0.0; 2]);
    for applied in &response.applied {
        let mine = match applied.source {
            Source::Fibre(u) | Source::Bar(u) | Source::BarGrip(u) => u == upper,
            Source::Row(_) | Source::Stick(_) => false,
        };
        if !mine {
            continue;
        }
        let [fx, fy] = applied.on_frame;
        force = [force[0] + fx, force[1] + fy];
        moment += (applied.at[0] - centre[0]) * fy - (applied.at[1] - centre[1]) * fx;
        let sum = if matches!(applied.source, Source::BarGrip(_)) { &mut gripping } else { &mut pressing };
        *sum = [sum[0] + fx, sum[1] + fy];
    }
    // Where the line of the resultant crosses the level of the load centre.
    let resultant_mm = centre[0] + moment / force[1];
    let friction_needed = match loader {
        Loader::Strap { .. } => straps[usize::from(!upper)].unwrap_or_default(),
        Loader::Bar { .. } => gripping[0].hypot(gripping[1]) / pressing[0].hypot(pressing[1]),
    };
    let (kind, width_mm, diameter_mm) = match loader {
        Loader::Strap { width_mm, .. } => (RigKind::Strap, Some(width_mm), None),
        Loader::Bar { diameter_mm, .. } => (RigKind::Bar, None, Some(diameter_mm)),
    };
    RigEndFindings {
        kind,
        width_mm,
        diameter_mm,
        offset_mm: loader.offset_mm(),
        resultant_mm,
        friction_needed,
    }
}

/// Imbalance of nodal forces over the load, and of moments over load times window length: of each body, and of frame and
/// gate together under the true lines of the straps.
fn residuals(system: &System, response: &Response, load_n: f64) -> (f64, f64) {
    let mut worst = [0.0_f64; 2];
    let mut take = |f: [f64; 2], m: f64| {
        worst[0] = worst[0].max(f[0].hypot(f[1]) / load_n);
        worst[1] = worst[1].max(m.abs() / (load_n * system.connector.window.inside_length_mm));
    };
    for (part, forces) in [(&system.frame, &response.frame_forces), (&system.gate, &response.gate_forces)] {
        let (mut f, mut m) = ([0.0; 2], 0.0);
        for (p, force) in part.body.mesh().points.iter().zip(forces.chunks_exact(2)) {
            f = [f[0] + force[0], f[1] + force[1]];
            m += p[0] * force[1] - p[1] * force[0];
        }
        take(f, m);
    }
    let (mut f, mut m) = ([0.0; 2], 0.0);
    for applied in &response.applied {
        let total = [applied.on_frame[0] + applied.on_gate[0], applied.on_frame[1] + applied.on_gate[1]];
        f = [f[0] + total[0], f[1] + total[1]];
        m += applied.at[0] * total[1] - applied.at[1] * total[0];
    }
    take(f, m);
    (worst[0], worst[1])
}

fn warnings_of(
    system: &System,
    response: &Response,
    gate_kn: f64,
    complete: bool,
) -> Result<Vec<Warning>, RigError> {
    let rig = response.rig;
    let friction = rig.friction;
    let mut warnings = Vec::new();
    match response.hold {
        Hold::NotHeld(lean) => warnings.push(Warning::PinNotHeld { lean_deg: lean.to_degrees(), friction }),
        Hold::Blocked(lean) => {
            warnings.push(Warning::PinBlocked { lean_deg: lean.abs().to_degrees(), friction })
        }
        Hold::ByFriction(lean) => warnings.push(match Leans::of(lean) {
            Leans::Neither => Warning::SquareToFlank,
            Leans::Out | Leans::In => Warning::HeldByFriction { needed: lean.abs().tan() },
        }),
        Hold::Held | Hold::Open => {}
    }
    if response.hold != Hold::Open && corner_turn(&system.outline.seats) > 0.0 {
        let held_from_mm = held_from_mm(&system.connector, friction);
        warnings.push(Warning::OnTheCorner { friction, held_from_mm });
    }
    if !response.info.settled {
        warnings.push(Warning::Unsettled {
            gap_change_mm: response.info.gap_change_mm,
            linearisations: response.info.linearisations,
        });
    }
    for (load, upper) in [(RigEnd::Upper, true), (RigEnd::Lower, false)] {
        let needed = rig_end(system, response, upper).friction_needed;
        if needed > rig.friction_holds() {
            warnings.push(Warning::Slides { load, needed, friction });
        }
    }
    if complete && let Some(change) = stiffness_change(system, response, gate_kn / rig.load_kn)? {
        warnings.push(Warning::StiffnessMatters(change));
    }
    if system.outline.lip_on == LipOn::Gate && matches!(rig.gate, GateState::Closed | GateState::Half { .. })
    {
        warnings.push(Warning::LipsInGate);
    }
    Ok(warnings)
}

/// How far the share moves when the straps' stiffness is halved or doubled, if that is worth a warning.
fn stiffness_change(system: &System, response: &Response, fraction: f64) -> Result<Option<f64>, RigError> {
    let rig = response.rig;
    let straps = [rig.upper, rig.lower].iter().any(|l| matches!(l, Loader::Strap { .. }));
    if !straps || rig.gate == GateState::Open {
        return Ok(None);
    }
    let mut change = 0.0_f64;
    for factor in [0.5, 2.0] {
        let other = Rig {
            upper: rig.upper.with_stiffness_scaled(factor),
            lower: rig.lower.with_stiffness_scaled(factor),
            ..rig
        };
        let other = Pull::new(system, &other)?.near(response).respond(rig.load_kn)?;
        change = change.max((gate_kn(system, &other) / rig.load_kn - fraction).abs());
    }
    Ok((change > STIFFNESS_SHARE).then_some(change))
}
