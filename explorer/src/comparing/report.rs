//! The comparison as JSON.

use super::cases::{Case, Compared};
use super::words::difference;
use geometry::outline::FrameLocation;
use report::findings::Peak;
use report::json;
use serde::Serialize;
use solver::findings::Beyond;
use solver::strength::{Ends, FailureMode};

/// Name and version of the format.
pub const FORMAT: &str = "pullmap-compare-2";

/// A comparison. Forces in kN, moments in N m, stresses in MPa.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    /// Always [`FORMAT`].
    pub format: &'static str,
    /// What varies, in words; absent when models are compared.
    pub varied: Option<String>,
    /// The variants, in the order asked for.
    pub variants: Vec<VariantReport>,
    /// Each later variant less the first.
    pub differences: Vec<Difference>,
    /// Variants that could not be computed.
    pub left_out: Vec<LeftOutReport>,
    /// What was assumed about the variants, in words.
    pub assumed: Vec<String>,
    /// The one scale of colours.
    pub legend: Legend,
    /// Hash of all inputs together.
    pub inputs: String,
    /// The line that goes with every strength.
    pub caution: &'static str,
}

/// The scale of colours of the picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Legend {
    /// Lowest stress, MPa.
    pub low_mpa: f64,
    /// Highest stress, MPa.
    pub high_mpa: f64,
}

/// A variant's numbers.
#[derive(Clone, Debug, Serialize)]
pub struct VariantReport {
    /// What it is called.
    pub label: String,
    /// Short name of its model.
    pub model: String,
    /// Hash of its inputs.
    pub inputs: String,
    /// Pull, kN.
    pub load_kn: f64,
    /// Gate over load.
    pub gate_fraction: f64,
    /// What the gate carries, kN.
    pub gate_kn: f64,
    /// What the spine carries, kN.
    pub spine_kn: f64,
    /// Bending moment of the spine at mid height, N m.
    pub spine_moment_nm: f64,
    /// Load at which the gate first carries, kN.
    pub gate_engages_at_kn: Option<f64>,
    /// Highest stress away from contacts and corners.
    pub peak: Option<Peak>,
    /// Lowest load at which the frame yields somewhere, kN.
    pub first_yield_kn: Option<f64>,
    /// Load at which the frame is permanently bent, kN.
    pub bends_at_kn: f64,
    /// The part that fails first.
    #[serde(serialize_with = "json::mode")]
    pub fails_first: FailureMode,
    /// The load at which it does, kN.
    pub fails_at_kn: f64,
    /// Highest load of the pull, kN.
    pub peak_kn: f64,
    /// How the pull ends.
    pub ends: Ends,
    /// Where the frame tears.
    #[serde(serialize_with = "json::maybe_place")]
    pub tears_at: Option<FrameLocation>,
    /// What its load is beyond, in sentences; none where everything holds.
    #[serde(serialize_with = "json::beyond")]
    pub beyond: Vec<Beyond>,
}

/// A variant less the first.
#[derive(Clone, Debug, Serialize)]
pub struct Difference {
    /// Which variant.
    pub label: String,
    /// Of the gate's share.
    pub gate_fraction: f64,
    /// Of what the spine carries, kN.
    pub spine_kn: f64,
    /// Of the load at which the first part fails, kN.
    pub fails_at_kn: f64,
    /// Of the highest load of the pull, kN.
    pub peak_kn: f64,
    /// Of first yield, kN.
    pub first_yield_kn: Option<f64>,
    /// Of the highest trusted stress, MPa.
    pub peak_mpa: Option<f64>,
    /// In words.
    pub sentence: String,
}

/// A variant that is not shown.
#[derive(Clone, Debug, Serialize)]
pub struct LeftOutReport {
    /// What it is called.
    pub label: String,
    /// Why.
    pub reason: String,
}

/// The highest stress of a case away from contacts and corners.
pub(super) fn peak(case: &Case) -> Option<&solver::findings::Peak> {
    case.solved.findings.peaks.iter().find(|peak| peak.trusted)
}

impl VariantReport {
    fn new(case: &Case) -> Self {
        let (findings, limits) = (&case.solved.findings, &case.limits);
        Self {
            label: plain(&case.label),
            model: case.stem.clone(),
            inputs: case.hash.clone(),
            load_kn: findings.load_kn,
            gate_fraction: findings.share.gate_fraction,
            gate_kn: findings.share.gate_kn,
            spine_kn: findings.share.spine_kn,
            spine_moment_nm: findings.sections.spine_mid.moment_nm,
            gate_engages_at_kn: findings.share.gate_engages_at_kn,
            peak: peak(case).map(Peak::from),
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

/// Words for a terminal or a script: without blanks that do not break, and with the minus that everything there has.
#[must_use]
pub fn plain(words: &str) -> String {
    words.replace('\u{a0}', " ").replace('\u{2212}', "-")
}

impl Report {
    /// The report of a comparison; `[low, high]` of the colours in MPa.
    #[must_use]
    pub fn new(compared: &Compared, [low_mpa, high_mpa]: [f64; 2]) -> Self {
        let variants: Vec<VariantReport> = compared.cases.iter().map(VariantReport::new).collect();
        let mut differences = Vec::new();
        if let (Some((first, others)), Some((a, rest))) =
            (compared.cases.split_first(), variants.split_first())
        {
            for (case, b) in others.iter().zip(rest) {
                let less = |x: Option<f64>, y: Option<f64>| Some(y? - x?);
                let hottest = |v: &VariantReport| v.peak.as_ref().map(|peak| peak.von_mises_mpa);
                differences.push(Difference {
                    label: b.label.clone(),
                    gate_fraction: b.gate_fraction - a.gate_fraction,
                    spine_kn: b.spine_kn - a.spine_kn,
                    fails_at_kn: b.fails_at_kn - a.fails_at_kn,
                    peak_kn: b.peak_kn - a.peak_kn,
                    first_yield_kn: less(a.first_yield_kn, b.first_yield_kn),
                    peak_mpa: less(hottest(a), hottest(b)),
                    sentence: plain(&difference(compared.key.as_deref(), first, case)),
                });
            }
        }
        let left_out = compared
            .left_out
            .iter()
            .map(|left| LeftOutReport { label: plain(&left.label), reason: left.reason.clone() })
            .collect();
        Self {
            format: FORMAT,
            varied: compared.key.clone(),
            variants,
            differences,
            left_out,
            assumed: compared.notes(),
            legend: Legend { low_mpa, high_mpa },
            inputs: compared.hash(),
            caution: report::caution::CAUTION,
        }
    }
}
