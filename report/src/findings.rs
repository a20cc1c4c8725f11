//! What a solve found, in words and units. Serialised as it stands: keys are stable.

use crate::in_use::InUse;
use crate::notes::notes;
use crate::{locations, warnings};
use schemars::JsonSchema;
use serde::Serialize;
use solver::findings::{Beyond, ContactFindings, MeshFindings, Quality, RigFindings, Sections, Share};
use solver::system::Joint;
use study::model::Model;

/// Name and version of the findings format.
pub const FORMAT: &str = "pullmap-findings-2";

/// Everything a map found. Forces in kN, moments in N m, stresses in MPa, lengths in mm, angles in degrees.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Findings {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    pub format: String,
    /// Title of the connector, from its model file.
    pub connector: String,
    /// Mass of frame, gate and pins, g.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub mass_g: f64,
    /// Load along the pull axis, kN, positive when it pulls the two ends apart.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub load_kn: f64,
    /// State of the gate: shut with its pin fully in the notch, with its pin only partly in the notch, or open.
    #[schemars(extend("enum" = ["closed", "half", "open"]))]
    pub gate: String,
    /// What pulls, where.
    pub rig: RigFindings,
    /// Who carries what.
    pub share: Share,
    /// Forces at the pins.
    pub contact: ContactFindings,
    /// Forces over cuts through the parts.
    pub sections: Sections,
    /// Highest stresses, highest first, untrusted ones (beside contacts and sharp corners) and those at the joints (notch, hinge hole)
    /// marked: the hottest place is the first that is trusted and at no joint.
    pub peaks: Vec<Peak>,
    /// Lowest load at which a trusted point of the frame yields, kN, found on the load path; null when there is none.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub first_yield_kn: Option<f64>,
    /// The load in use beside first yield, failure and marking; null where the model tells none, or its limits could not be solved.
    pub in_use: Option<InUse>,
    /// Size of the mesh.
    pub mesh: MeshFindings,
    /// How well the equations are satisfied.
    pub quality: Quality,
    /// What would have given way below the load, as sentences, the first to go first. What else stands here is then that of
    /// metal that never yields. Empty where everything holds, or where it was not asked.
    #[serde(serialize_with = "crate::json::beyond")]
    #[schemars(with = "Vec<String>")]
    pub beyond: Vec<Beyond>,
    /// What the reader must know, in sentences.
    pub warnings: Vec<String>,
}

/// A local maximum of the von Mises stress.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Peak {
    /// The place in words.
    #[serde(rename = "where")]
    pub place: String,
    /// Von Mises stress there, MPa.
    #[schemars(range(min = 0))]
    pub von_mises_mpa: f64,
    /// Position, mm, positive toward the gate from the middle of the window.
    pub x_mm: f64,
    /// Position, mm, positive up from the middle of the window.
    pub y_mm: f64,
    /// False beside contacts, sharp corners and wherever the model's stress has no limit.
    pub trusted: bool,
    /// The joint in whose reach it is, whose yield is a matter of its own; null away from both.
    #[schemars(extend("enum" = ["notch", "hinge hole", null]))]
    pub joint: Option<String>,
}

impl From<&solver::findings::Peak> for Peak {
    fn from(peak: &solver::findings::Peak) -> Self {
        let solver::findings::Peak { place, von_mises_mpa, x_mm, y_mm, trusted, joint } = *peak;
        let joint = joint.map(|joint| match joint {
            Joint::Nose => "notch".to_owned(),
            Joint::Hinge => "hinge hole".to_owned(),
        });
        Self { place: locations::location(place), von_mises_mpa, x_mm, y_mm, trusted, joint }
    }
}

impl Findings {
    /// The findings of a model, with what is to be known about its values behind the warnings, beside its load in use: hazards
    /// before tolerances.
    #[must_use]
    pub fn new(
        found: &solver::findings::Findings,
        model: &Model,
        in_use: Option<study::in_use::InUse>,
    ) -> Self {
        Self {
            format: FORMAT.to_owned(),
            connector: model.title.clone(),
            mass_g: found.mass_g,
            load_kn: found.load_kn,
            gate: found.gate.word().to_owned(),
            rig: found.rig.clone(),
            share: found.share.clone(),
            contact: found.contact.clone(),
            sections: found.sections.clone(),
            peaks: found.peaks.iter().map(Peak::from).collect(),
            first_yield_kn: found.first_yield_kn,
            in_use: in_use.map(InUse::from),
            mesh: found.mesh,
            quality: found.quality,
            beyond: found.beyond.clone(),
            warnings: warnings::hazards(&found.warnings)
                .chain(warnings::doubts(&found.warnings))
                .chain(notes(model))
                .collect(),
        }
    }
}
