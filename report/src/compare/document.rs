//! The comparison as JSON.

use super::difference::difference;
use super::left_out::reason;
use super::names::{label, varied};
use super::notes::notes;
use crate::caution::CAUTION;
use crate::letters::plain;
use crate::{json, locations};
use geometry::outline::FrameLocation;
use schemars::JsonSchema;
use serde::Serialize;
use solver::findings::{self, Beyond};
use solver::strength::{Ends, FailureMode};
use std::fmt::Display;
use study::compare::{Compared, SolvedVariant};

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-compare-3";

/// A comparison.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Document {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// The key that varies, in words; null when models are compared.
    varied: Option<String>,
    /// The variants that could be computed, in the order asked for.
    #[schemars(extend("minItems" = 2, "maxItems" = 6))]
    pub(super) variants: Vec<VariantInWords>,
    /// Each later variant less the first, in their order.
    #[schemars(extend("minItems" = 1, "maxItems" = 5))]
    pub(super) differences: Vec<DifferenceInWords>,
    /// Variants that could not be computed.
    #[schemars(extend("maxItems" = 4))]
    pub(super) left_out: Vec<LeftOutInWords>,
    /// What was assumed where nothing is told, in words.
    pub(super) assumed: Vec<String>,
    /// The one scale of colours of the picture.
    legend: Legend,
    /// Hash of the variants' hashes, in order, and of the program's version.
    #[schemars(extend("pattern" = "^[0-9a-f]{12}$"))]
    inputs: String,
    /// What the numbers are not.
    caution: &'static str,
}

/// The scale of colours.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct Legend {
    /// Lowest stress, MPa.
    low_mpa: f64,
    /// Highest stress, MPa.
    high_mpa: f64,
}

/// A variant.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(super) struct VariantInWords {
    /// What it is called.
    pub label: String,
    /// Short name of its model.
    model: String,
    /// Hash of its inputs (model and mesh, by value) and of the program's version.
    #[schemars(extend("pattern" = "^[0-9a-f]{12}$"))]
    inputs: String,
    /// Pull, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    load_kn: f64,
    /// What the gate carries over the pull.
    pub gate_fraction: f64,
    /// What the gate carries, kN.
    gate_kn: f64,
    /// What the spine carries, kN.
    pub spine_kn: f64,
    /// Bending moment of the spine at mid height, N m; above 0 when it stretches the inner side.
    spine_moment_nm: f64,
    /// Load at which the gate first carries, kN; null when it does not.
    #[schemars(range(min = 0))]
    gate_engages_at_kn: Option<f64>,
    /// The highest stress away from notch, hinge hole, contacts and sharp corners. Null when there is none.
    pub peak: Option<PeakInWords>,
    /// Lowest load at which the frame yields somewhere, kN; null where it was not found.
    #[schemars(range(min = 0))]
    pub first_yield_kn: Option<f64>,
    /// Load at which the frame is permanently bent, kN.
    #[schemars(range(min = 0))]
    bends_at_kn: f64,
    /// The part that fails first.
    #[serde(serialize_with = "json::mode")]
    #[schemars(with = "String")]
    pub fails_first: FailureMode,
    /// The load at which it does, kN.
    #[schemars(range(min = 0))]
    pub fails_at_kn: f64,
    /// Highest load of the pull, kN.
    #[schemars(range(min = 0))]
    pub peak_kn: f64,
    /// How the pull ends: a part breaks and the open hook cannot hold what is on it; the frame opens; the strap breaks.
    ends: Ends,
    /// Where the frame tears in the end, in words; null when the strap goes first.
    #[serde(serialize_with = "json::maybe_place")]
    #[schemars(with = "Option<String>")]
    tears_at: Option<FrameLocation>,
    /// What its load is beyond, in sentences: stresses then tell where, not how much. Empty where everything holds.
    #[serde(serialize_with = "json::beyond")]
    #[schemars(with = "Vec<String>")]
    pub beyond: Vec<Beyond>,
}

/// The highest stress away from notch, hinge hole, contacts and sharp corners.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(super) struct PeakInWords {
    /// The place, in words.
    #[serde(rename = "where")]
    place: String,
    /// Von Mises stress there, MPa.
    #[schemars(range(min = 0))]
    pub von_mises_mpa: f64,
    /// Position, mm, from spine to gate.
    x_mm: f64,
    /// Position, mm, up along the major axis.
    y_mm: f64,
    /// Always true here: places where the model's stress has no limit are left out.
    #[schemars(extend("const" = true))]
    trusted: bool,
}

/// A variant less the first.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(super) struct DifferenceInWords {
    /// Which variant.
    label: String,
    /// Of what the gate carries over the pull.
    gate_fraction: f64,
    /// Of what the spine carries, kN.
    spine_kn: f64,
    /// Of the load at which the first part fails, kN.
    fails_at_kn: f64,
    /// Of the highest load of the pull, kN.
    peak_kn: f64,
    /// Of first yield, kN; null where either has none.
    first_yield_kn: Option<f64>,
    /// Of the highest stress away from notch, hinge hole, contacts and sharp corners, MPa; null where either has none.
    peak_mpa: Option<f64>,
    /// In words.
    pub sentence: String,
}

/// A variant that could not be computed.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(super) struct LeftOutInWords {
    /// What it is called.
    pub label: String,
    /// Why.
    pub reason: String,
}

impl Document {
    /// Tells a comparison; `[low, high]` of the picture's colours in MPa.
    #[must_use]
    pub fn new<E: Display>(compared: &Compared<E>, [low_mpa, high_mpa]: [f64; 2]) -> Self {
        let variants: Vec<VariantInWords> = compared.variants.iter().map(VariantInWords::from).collect();
        let differences = match variants.split_first() {
            Some((first, others)) => others
                .iter()
                .enumerate()
                .map(|(at, other)| other.less(first, plain(&difference(compared, at + 1))))
                .collect(),
            None => Vec::new(),
        };
        let left_out = compared
            .left_out
            .iter()
            .map(|left| LeftOutInWords { label: plain(&label(&left.name)), reason: reason(left) })
            .collect();
        Self {
            format: FORMAT,
            varied: varied(compared),
            variants,
            differences,
            left_out,
            assumed: notes(compared),
            legend: Legend { low_mpa, high_mpa },
            inputs: compared.hash(),
            caution: CAUTION,
        }
    }
}

impl From<&SolvedVariant> for VariantInWords {
    fn from(variant: &SolvedVariant) -> Self {
        let (findings, limits) = (&variant.mapped.findings, &variant.limits);
        Self {
            label: plain(&label(&variant.name)),
            model: variant.stem.clone(),
            inputs: variant.hash.clone(),
            load_kn: findings.load_kn,
            gate_fraction: findings.share.gate_fraction,
            gate_kn: findings.share.gate_kn,
            spine_kn: findings.share.spine_kn,
            spine_moment_nm: findings.sections.spine_mid.moment_nm,
            gate_engages_at_kn: findings.share.gate_engages_at_kn,
            peak: findings.hottest().map(PeakInWords::from),
            first_yield_kn: limits.first_yield_kn,
            bends_at_kn: limits.bends_at_kn,
            fails_first: limits.fails_first,
            fails_at_kn: limits.fails_at_kn,
            peak_kn: limits.peak_kn,
            ends: limits.ends,
            tears_at: limits.tears_at,
            beyond: findings.beyond.clone(),
        }
    }
}

impl VariantInWords {
    /// This variant less the first; `sentence` tells the difference.
    fn less(&self, first: &Self, sentence: String) -> DifferenceInWords {
        let less = |first: Option<f64>, other: Option<f64>| Some(other? - first?);
        let peak = |variant: &Self| variant.peak.as_ref().map(|peak| peak.von_mises_mpa);
        DifferenceInWords {
            label: self.label.clone(),
            gate_fraction: self.gate_fraction - first.gate_fraction,
            spine_kn: self.spine_kn - first.spine_kn,
            fails_at_kn: self.fails_at_kn - first.fails_at_kn,
            peak_kn: self.peak_kn - first.peak_kn,
            first_yield_kn: less(first.first_yield_kn, self.first_yield_kn),
            peak_mpa: less(peak(first), peak(self)),
            sentence,
        }
    }
}

impl From<&findings::Peak> for PeakInWords {
    fn from(peak: &findings::Peak) -> Self {
        let findings::Peak { place, von_mises_mpa, x_mm, y_mm, trusted, joint: _ } = *peak;
        Self { place: locations::location(place), von_mises_mpa, x_mm, y_mm, trusted }
    }
}
