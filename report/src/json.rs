//! Types as JSON has them, for `#[serde(serialize_with = ...)]`: parts and places by their names.

use crate::{failure_modes, formulas, locations, places, story};
use geometry::outline::FrameLocation;
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use solver::causes::Place;
use solver::findings::Beyond;
use solver::forecast::Chance;
use solver::strength::{ByHand, ComputedLimit, Ends, FailureMode, Input, Limit, LimitKind, Limits};
use study::explain::NearTie;

/// A part by its name.
///
/// # Errors
/// Those of the serializer.
pub fn mode<S: Serializer>(mode: &FailureMode, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(failure_modes::name(*mode))
}

/// A part from its name.
///
/// # Errors
/// No part has the name.
pub fn read_mode<'de, D: Deserializer<'de>>(deserializer: D) -> Result<FailureMode, D::Error> {
    let name = String::deserialize(deserializer)?;
    failure_modes::find(&name).ok_or_else(|| D::Error::custom(format!("no part is called {name:?}")))
}

/// The word of a place where a connector was found broken, or none.
///
/// # Errors
/// Those of the serializer.
pub fn maybe_word<S: Serializer>(place: &Option<Place>, serializer: S) -> Result<S::Ok, S::Error> {
    place.map(places::word).serialize(serializer)
}

/// A place of the frame by its name, or none.
///
/// # Errors
/// Those of the serializer.
pub fn maybe_place<S: Serializer>(at: &Option<FrameLocation>, serializer: S) -> Result<S::Ok, S::Error> {
    at.map(locations::frame).serialize(serializer)
}

#[derive(Serialize)]
struct TieWritten {
    #[serde(serialize_with = "mode")]
    what: FailureMode,
    at_kn: f64,
}

/// A part that may have gone first after all, where there is one.
///
/// # Errors
/// Those of the serializer.
pub fn maybe_tie<S: Serializer>(tie: &Option<NearTie>, serializer: S) -> Result<S::Ok, S::Error> {
    tie.map(|NearTie { what, at_kn }| TieWritten { what, at_kn }).serialize(serializer)
}

/// What would have given way, in sentences.
///
/// # Errors
/// Those of the serializer.
pub fn beyond<S: Serializer>(all: &[Beyond], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(all.iter().map(crate::beyond::in_full))
}

#[derive(Serialize)]
struct InputInWords {
    name: &'static str,
    value: f64,
    unit: &'static str,
}

impl From<&Input> for InputInWords {
    fn from(input: &Input) -> Self {
        Self { name: formulas::quantity(input.quantity), value: input.value, unit: input.unit }
    }
}

#[derive(Serialize)]
struct LimitInWords {
    what: &'static str,
    at_kn: Option<f64>,
    kind: LimitKind,
    source: &'static str,
    formula: String,
    inputs: Vec<InputInWords>,
    by_hand: Option<ByHand>,
}

impl From<&Limit> for LimitInWords {
    fn from(limit: &Limit) -> Self {
        Self {
            what: failure_modes::name(limit.what),
            at_kn: limit.at_kn,
            kind: limit.kind,
            source: formulas::source(limit.formula),
            formula: formulas::of_limit(limit),
            inputs: limit.inputs.iter().map(InputInWords::from).collect(),
            by_hand: limit.by_hand,
        }
    }
}

/// Limits, the part by its name.
///
/// # Errors
/// Those of the serializer.
pub fn limits<S: Serializer>(all: &[Limit], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(all.iter().map(LimitInWords::from))
}

/// Computed limits, the part by its name.
///
/// # Errors
/// Those of the serializer.
pub fn computed<S: Serializer>(all: &[ComputedLimit], serializer: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    struct InWords {
        what: &'static str,
        computed_kn: f64,
        narrow_kn: Option<f64>,
        deep_kn: Option<f64>,
        by_hand_kn: f64,
        decides: bool,
        flank_mm: Option<f64>,
        arc_deg: Option<f64>,
        far: bool,
    }
    serializer.collect_seq(all.iter().map(|limit| InWords {
        what: failure_modes::name(limit.what),
        computed_kn: limit.computed_kn,
        narrow_kn: limit.narrow_kn,
        deep_kn: limit.deep_kn,
        by_hand_kn: limit.by_hand_kn,
        decides: limit.decides,
        flank_mm: limit.flank_mm,
        arc_deg: limit.arc_deg,
        far: limit.far,
    }))
}

/// Chances, the part by its name.
///
/// # Errors
/// Those of the serializer.
pub fn chances<S: Serializer>(all: &[Chance], serializer: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    struct InWords {
        what: &'static str,
        chance: f64,
    }
    let words = |c: &Chance| InWords { what: failure_modes::name(c.what), chance: c.chance };
    serializer.collect_seq(all.iter().map(words))
}

/// All limits of a connector, with their story and the line of caution.
#[derive(Serialize)]
pub struct LimitsInWords {
    peak_kn: f64,
    fails_first: &'static str,
    fails_at_kn: f64,
    ends: Ends,
    first_yield_kn: Option<f64>,
    bends_at_kn: f64,
    open_hook_kn: f64,
    tears_at: Option<String>,
    may_tear_at: Option<String>,
    limits: Vec<LimitInWords>,
    story: Vec<String>,
    caution: &'static str,
}

impl From<&Limits> for LimitsInWords {
    fn from(limits: &Limits) -> Self {
        Self {
            peak_kn: limits.peak_kn,
            fails_first: failure_modes::name(limits.fails_first),
            fails_at_kn: limits.fails_at_kn,
            ends: limits.ends,
            first_yield_kn: limits.first_yield_kn,
            bends_at_kn: limits.bends_at_kn,
            open_hook_kn: limits.open_hook_kn,
            tears_at: limits.tears_at.map(locations::frame),
            may_tear_at: limits.may_tear_at.map(locations::frame),
            limits: limits.limits.iter().map(LimitInWords::from).collect(),
            story: story::story(limits),
            caution: crate::caution::CAUTION,
        }
    }
}
