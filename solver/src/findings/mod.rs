//! What a solve found, as numbers and types.

mod beyond;
mod build;
mod first_yield;
mod lever_rule;
mod peaks;
mod trusted_error;
mod warning;

pub use beyond::{Beyond, GateLineThen, Gone, Tells};
pub use build::{NodalStress, findings, gate_kn, pin_forces, quick_findings, spine_kn};
pub use first_yield::{first_yield_kn, frame_peak_mpa};
pub use lever_rule::lever_rule;
pub use peaks::{Joints, Untrusted, hottest_mpa, nodal_von_mises, peaks, peaks_of, trusted_peak};
pub use trusted_error::{TrustedError, energy_error_percent};
pub use warning::Warning;

use crate::rig::GateState;
use crate::system::Joint;
use geometry::outline::Location;
use schemars::JsonSchema;
use serde::Serialize;

/// Everything a map found. Forces in kN, moments in N m, stresses in MPa, lengths in mm, angles in degrees.
#[derive(Clone, Debug, PartialEq)]
pub struct Findings {
    /// Mass of frame, gate and pins, g.
    pub mass_g: f64,
    /// Load along the pull axis, kN.
    pub load_kn: f64,
    /// The state of the gate.
    pub gate: GateState,
    /// What pulls, where.
    pub rig: RigFindings,
    /// Who carries what.
    pub share: Share,
    /// Forces at the pins.
    pub contact: ContactFindings,
    /// Forces over cuts through the parts.
    pub sections: Sections,
    /// Highest stresses, highest first, untrusted ones marked.
    pub peaks: Vec<Peak>,
    /// Lowest load at which a trusted point of the frame yields, kN.
    pub first_yield_kn: Option<f64>,
    /// Size of the mesh.
    pub mesh: MeshFindings,
    /// How well the equations are satisfied.
    pub quality: Quality,
    /// What would have given way below the load, the first to go first. What else stands here is then that of metal that never
    /// yields. Empty where everything holds, or where it was not asked.
    pub beyond: Vec<Beyond>,
    /// What the reader must know.
    pub warnings: Vec<Warning>,
}

impl Findings {
    /// The highest stress away from notch, hinge hole, contacts and sharp corners; `None` where none can be trusted.
    #[must_use]
    pub fn hottest(&self) -> Option<&Peak> {
        self.peaks.iter().find(|peak| peak.is_away())
    }

    /// The highest stresses in the notch: the one that can be trusted, and a higher one that cannot.
    #[must_use]
    pub fn in_notch(&self) -> [Option<&Peak>; 2] {
        let first = |trusted| {
            self.peaks.iter().find(|peak| peak.joint == Some(Joint::Nose) && peak.trusted == trusted)
        };
        let result = first(true);
        let higher = |peak: &&Peak| result.is_none_or(|r| peak.von_mises_mpa > r.von_mises_mpa);
        [result, first(false).filter(higher)]
    }
}

/// The two ends of the rig.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct RigFindings {
    /// What pulls up.
    pub upper: RigEndFindings,
    /// What pulls down.
    pub lower: RigEndFindings,
}

/// What pulls at an end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum RigKind {
    /// A strap.
    Strap,
    /// A bench bar.
    Bar,
}

/// One end of the rig: a strap with its width or a bench bar with its diameter.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
#[schemars(extend(
    "if" = { "properties": { "kind": { "const": "strap" } } },
    "then" = { "required": ["width_mm"], "properties": { "diameter_mm": false } },
    "else" = { "required": ["diameter_mm"], "properties": { "width_mm": false } }
))]
pub struct RigEndFindings {
    /// Strap or bar.
    pub kind: RigKind,
    /// Width of the strap, mm; only for a strap.
    #[schemars(with = "f64", extend("exclusiveMinimum" = 0))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub width_mm: Option<f64>,
    /// Diameter of the bench bar, mm; only for a bar.
    #[schemars(with = "f64", extend("exclusiveMinimum" = 0))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diameter_mm: Option<f64>,
    /// Where it was put, mm from the middle of the window, positive toward the gate.
    pub offset_mm: f64,
    /// Where its resultant acts, mm from the middle of the window, positive toward the gate.
    pub resultant_mm: f64,
    /// Coefficient of friction needed there for the rig to stay put, no unit.
    #[schemars(range(min = 0))]
    pub friction_needed: f64,
}

/// Who carries what.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Share {
    /// Component along the pull axis of the force of the gate's nose pin on the frame, kN, positive when the gate is in tension.
    pub gate_kn: f64,
    /// Component along the pull axis of the section force at mid spine, from element forces, kN, positive in tension.
    pub spine_kn: f64,
    /// `gate_kn` over `load_kn` at this load, no unit: a secant, not a slope.
    pub gate_fraction: f64,
    /// Load at which the gate first carries, kN; 0 without clearance; null when it never does.
    #[schemars(range(min = 0))]
    pub gate_engages_at_kn: Option<f64>,
    /// Gate fraction at which the moment at mid spine would vanish, no unit; for comparison only.
    pub lever_rule: f64,
}

/// Forces at the pins.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct ContactFindings {
    /// Size of the force between nose and gate, kN; contact never pulls.
    #[schemars(range(min = 0))]
    pub nose_kn: f64,
    /// Direction of the force on the frame at the nose, degrees counter-clockwise from +x; null without force.
    #[schemars(range(min = -180, max = 180))]
    pub nose_direction_deg: Option<f64>,
    /// Size of the force at the hinge, kN.
    #[schemars(range(min = 0))]
    pub hinge_kn: f64,
}

/// Forces over the named cuts.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Sections {
    /// Across the spine at mid height.
    pub spine_mid: SectionForces,
    /// Across the upper bar at mid width.
    pub upper_mid: SectionForces,
    /// Across the lower bar at mid width.
    pub lower_mid: SectionForces,
    /// Where the nose block ends.
    pub nose_root: SectionForces,
    /// Where the lug block ends.
    pub hinge_root: SectionForces,
    /// Across the gate at mid length.
    pub gate_mid: SectionForces,
}

/// Force and moment over a cut: axial positive in tension, moment positive when it stretches the inner side, shear
/// positive when the upper (or gate-side) part moves toward the gate.
#[derive(Clone, Copy, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub struct SectionForces {
    /// Axial force, kN, positive in tension.
    pub axial_kn: f64,
    /// Shear force, kN, positive when the upper (or gate-side) part moves toward the gate.
    pub shear_kn: f64,
    /// Bending moment about the section's centroid, N m, positive when it stretches the inner side.
    pub moment_nm: f64,
}

/// A local maximum of the von Mises stress.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// Where it is.
    pub place: Location,
    /// Von Mises stress there, MPa.
    pub von_mises_mpa: f64,
    /// Position, mm.
    pub x_mm: f64,
    /// Position, mm.
    pub y_mm: f64,
    /// False beside contacts, sharp corners and wherever the model's stress has no limit.
    pub trusted: bool,
    /// The joint in whose reach it is: to a pin's radius from the edge of notch or hinge hole.
    pub joint: Option<Joint>,
}

impl Peak {
    /// True where the stress is a result, and neither notch nor hinge hole has a part in it.
    #[must_use]
    pub fn is_away(&self) -> bool {
        self.trusted && self.joint.is_none()
    }
}

/// Size of the mesh.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub struct MeshFindings {
    /// Number of six-node triangles in both bodies.
    #[schemars(range(min = 1))]
    pub triangles: usize,
    /// Number of displacement components.
    #[schemars(range(min = 12))]
    pub unknowns: usize,
    /// Smallest corner angle, degrees.
    #[schemars(range(max = 60), extend("exclusiveMinimum" = 0))]
    pub min_angle_deg: f64,
}

/// How well the equations are satisfied. All relative; smaller is better.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Quality {
    /// Imbalance of forces over the load, no unit.
    #[schemars(range(min = 0))]
    pub force_residual: f64,
    /// Imbalance of moments over load times window length, no unit.
    #[schemars(range(min = 0))]
    pub moment_residual: f64,
    /// Violation of the optimality conditions of the contact problem on scaled data, no unit.
    #[schemars(range(min = 0))]
    pub optimality: f64,
    /// Estimated error of the stress field where stress is a result, percent of its energy norm there; null where it is a result
    /// nowhere, and where it was not asked.
    #[schemars(range(min = 0))]
    pub energy_error_percent: Option<f64>,
}
