//! Types as JSON has them, for `#[serde(serialize_with = ...)]`: parts and places by their names.

use crate::failure_modes::{self, OPEN_HOOK, supposes};
use crate::{formulas, locations, places, story};
use geometry::outline::FrameLocation;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};
use solver::causes::Place;
use solver::findings::Beyond;
use solver::forecast::Chance;
use solver::strength::{ByHand, ComputedLimit, Ends, FailureMode, Input, Limit, LimitKind, Limits};
use study::explain::NearTie;
use study::forecast::Supposes;

/// A part by its name.
///
/// # Errors
/// Those of the serializer.
pub fn mode<S: Serializer>(mode: &FailureMode, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(failure_modes::name(*mode))
}

/// A part by its name, or none.
///
/// # Errors
/// Those of the serializer.
pub fn maybe_mode<S: Serializer>(mode: &Option<FailureMode>, serializer: S) -> Result<S::Ok, S::Error> {
    mode.map(failure_modes::name).serialize(serializer)
}

/// The word of a place where a connector was found broken, or none.
///
/// # Errors
/// Those of the serializer.
pub fn maybe_word<S: Serializer>(place: &Option<Place>, serializer: S) -> Result<S::Ok, S::Error> {
    place.map(places::word).serialize(serializer)
}

/// The words of all places, or none.
pub fn place_words(_: &mut SchemaGenerator) -> Schema {
    let words: Vec<Option<&str>> = places::words().into_iter().map(Some).chain([None]).collect();
    json_schema!({ "enum": words })
}

/// A place of the frame by its name, or none.
///
/// # Errors
/// Those of the serializer.
pub fn maybe_place<S: Serializer>(at: &Option<FrameLocation>, serializer: S) -> Result<S::Ok, S::Error> {
    at.map(locations::frame).serialize(serializer)
}

/// A part that may have gone first after all.
#[derive(JsonSchema, Serialize)]
pub(crate) struct TieInWords {
    /// The part.
    #[serde(serialize_with = "mode")]
    #[schemars(with = "String")]
    what: FailureMode,
    /// The load at which it would give, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    at_kn: f64,
}

/// A part that may have gone first after all, where there is one.
///
/// # Errors
/// Those of the serializer.
pub fn maybe_tie<S: Serializer>(tie: &Option<NearTie>, serializer: S) -> Result<S::Ok, S::Error> {
    tie.map(|NearTie { what, at_kn }| TieInWords { what, at_kn }).serialize(serializer)
}

/// What would have given way, in sentences.
///
/// # Errors
/// Those of the serializer.
pub fn beyond<S: Serializer>(all: &[Beyond], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(all.iter().map(crate::beyond::in_full))
}

/// A number that went into a limit.
#[derive(JsonSchema, Serialize)]
pub(crate) struct InputInWords {
    /// What it is.
    name: &'static str,
    /// Its value.
    value: f64,
    /// Its unit; empty for a plain number.
    unit: &'static str,
}

impl From<&Input> for InputInWords {
    fn from(input: &Input) -> Self {
        Self { name: formulas::quantity(input.quantity), value: input.value, unit: input.unit }
    }
}

/// The load at which a part reaches its limit.
#[derive(JsonSchema, Serialize)]
pub(crate) struct LimitInWords {
    /// The part, in words.
    what: &'static str,
    /// Load on the connector at the limit, kN; null when no load of this rig brings it there.
    #[schemars(range(min = 0))]
    at_kn: Option<f64>,
    /// How it shows. Only what breaks, opens, slips or is a strap ends a pull.
    kind: LimitKind,
    /// Where formula and factors are from.
    source: &'static str,
    /// The formula, in words.
    formula: String,
    /// What went in.
    inputs: Vec<InputInWords>,
    /// The check by hand, where the limit is computed by finite elements on the part; else null.
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

/// The limit of a small part by finite elements, beside the one by hand.
#[derive(JsonSchema, Serialize)]
pub(crate) struct ComputedInWords {
    /// The part, as the limits name it.
    what: &'static str,
    /// By finite elements, kN.
    #[schemars(range(min = 0))]
    computed_kn: f64,
    /// The same on a narrow patch, kN; null where that was not computed.
    #[schemars(range(min = 0))]
    narrow_kn: Option<f64>,
    /// The same under a pin that has bedded in deeply, kN; null where that was not computed.
    #[schemars(range(min = 0))]
    deep_kn: Option<f64>,
    /// By hand, kN.
    #[schemars(range(min = 0))]
    by_hand_kn: f64,
    /// Whether the computed limit decides; else the one by hand does.
    decides: bool,
    /// Flank of the notch that the pin presses on, mm; null where it was not found.
    #[schemars(range(min = 0))]
    flank_mm: Option<f64>,
    /// Round end of the notch that it presses on, degrees; null where it was not found.
    #[schemars(range(min = 0))]
    arc_deg: Option<f64>,
    /// True where the two lie more than 15 % apart.
    far: bool,
}

/// Computed limits, the part by its name.
///
/// # Errors
/// Those of the serializer.
pub fn computed<S: Serializer>(all: &[ComputedLimit], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(all.iter().map(|limit| ComputedInWords {
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

/// How often a part fails first.
#[derive(JsonSchema, Serialize)]
pub(crate) struct ChanceInWords {
    /// The part, in words.
    what: &'static str,
    /// Share of the draws, 0 to 1.
    #[schemars(range(max = 1), extend("exclusiveMinimum" = 0))]
    chance: f64,
}

/// Chances, the part by its name.
///
/// # Errors
/// Those of the serializer.
pub fn chances<S: Serializer>(all: &[Chance], serializer: S) -> Result<S::Ok, S::Error> {
    let words = |c: &Chance| ChanceInWords { what: failure_modes::name(c.what), chance: c.chance };
    serializer.collect_seq(all.iter().map(words))
}

/// A limit among those of a pull that may go on past the first failure.
#[derive(Serialize)]
struct LimitOfPull {
    #[serde(flatten)]
    limit: LimitInWords,
    /// What its load supposes, where the pull goes on past what fails first; else null.
    supposes: Option<&'static str>,
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
    /// What the pull ends on, at `peak_kn`, where it goes on past what fails first and the hook opens then; else null.
    goes_on_to: Option<&'static str>,
    limits: Vec<LimitOfPull>,
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
            goes_on_to: (limits.goes_on() && limits.ends == Ends::Opens).then_some(OPEN_HOOK),
            limits: limits.limits.iter().map(|limit| LimitOfPull::of(limits, limit)).collect(),
            story: story::story(limits),
            caution: crate::caution::CAUTION,
        }
    }
}

impl LimitOfPull {
    fn of(limits: &Limits, limit: &Limit) -> Self {
        let supposed =
            limit.at_kn.filter(|_| limits.goes_on()).and_then(|kn| Supposes::of(limits, limit.what, kn));
        Self { limit: LimitInWords::from(limit), supposes: supposed.map(supposes) }
    }
}
