//! Which rigs would have reached what is marked on the connector.

use crate::numbers::{kilonewtons, typed};
use schemars::JsonSchema;
use serde::Serialize;
use solver::rig::{Loader, Rig};
use study::explain::{self, Rigs};

/// A kind of rig that reaches a marking.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct ReachedBy {
    /// The rigs, in words.
    pub rig: String,
    /// Highest load of them, kN.
    #[schemars(range(min = 0))]
    pub up_to_kn: f64,
}

/// What reaches a marking.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct MarkingReach {
    /// State of the gate.
    #[schemars(extend("enum" = ["closed", "open"]))]
    pub gate: &'static str,
    /// What is marked, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub marked_kn: f64,
    /// Rigs that reach it and whose straps the friction keeps that the rig relies on; empty when none that was tried does.
    pub reached_by: Vec<ReachedBy>,
    /// Highest load of all rigs that were tried and whose straps friction keeps, kN.
    #[schemars(range(min = 0))]
    pub highest_kn: f64,
    /// The finding in a sentence.
    pub sentence: String,
}

impl From<&explain::MarkingReach> for MarkingReach {
    fn from(found: &explain::MarkingReach) -> Self {
        let (gate, marked_kn, highest_kn) = (found.gate.word(), found.marked_kn, found.highest_kn);
        let told = |r: &explain::ReachedBy| ReachedBy { rig: rigs(&r.rigs), up_to_kn: r.up_to_kn };
        let reached_by: Vec<ReachedBy> = found.reached_by.iter().map(told).collect();
        let sentence = sentence(gate, marked_kn, &reached_by, highest_kn);
        Self { gate, marked_kn, reached_by, highest_kn, sentence }
    }
}

fn rigs(rigs: &Rigs) -> String {
    match rigs {
        Rigs::Together(rig, range) => offsets_in_words(rig, *range),
        Rigs::Placed(rig) => at_in_words(rig),
        Rigs::AtRest(rig) => format!("{}, where they come to rest", at_in_words(rig)),
        Rigs::InTheMiddle(width_mm) => format!("{width_mm:.0} mm straps in the middle"),
    }
}

/// Both loads, without where they lie: "12 mm straps", "a 16 mm strap above and a 12 mm strap below".
fn loads_in_words(rig: &Rig) -> String {
    let one = |load: Loader| match load {
        Loader::Strap { width_mm, .. } => format!("{} mm strap", typed(width_mm)),
        Loader::Bar { diameter_mm, .. } => format!("{} mm bar", typed(diameter_mm)),
    };
    let [above, below] = [one(rig.upper), one(rig.lower)];
    if above == below { format!("{above}s") } else { format!("a {above} above and a {below} below") }
}

/// Both loads and where they lie.
fn at_in_words(rig: &Rig) -> String {
    format!(
        "{}, the upper at {:+.1} and the lower at {:+.1} mm",
        loads_in_words(rig),
        rig.upper.offset_mm(),
        rig.lower.offset_mm()
    )
}

fn offsets_in_words(rig: &Rig, range: [f64; 2]) -> String {
    let load = loads_in_words(rig);
    let diagonal = rig.upper.offset_mm() != rig.lower.offset_mm();
    let which = if diagonal { "whose upper one lies" } else { "that both lie" };
    if range[1] - range[0] < 0.05 {
        return format!("{load} {which} at {:+.1} mm", range[0]);
    }
    format!("{load} {which} from {:+.1} to {:+.1} mm", range[0], range[1])
}

fn sentence(gate: &str, marked_kn: f64, reached_by: &[ReachedBy], highest_kn: f64) -> String {
    let marked = format!("The {} marked for the gate {gate}", kilonewtons(marked_kn));
    if reached_by.is_empty() {
        return format!(
            "{marked} is not reached by any rig that was tried and whose straps friction keeps; the highest \
             ends its pull at {}, whatever part breaks before.",
            kilonewtons(highest_kn)
        );
    }
    let rigs: Vec<String> =
        reached_by.iter().map(|r| format!("{} (up to {})", r.rig, kilonewtons(r.up_to_kn))).collect();
    format!("{marked} would be reached before the pull ends by {}.", rigs.join(", and by "))
}
