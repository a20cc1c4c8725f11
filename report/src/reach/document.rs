//! Where a connector holds a load, as JSON has it.

use super::{AT_ITS_MIDDLE, headline, no_reach, pair, sentence, setting};
use crate::caution::CAUTION;
use crate::{building, failure_modes, locations, notes};
use schemars::JsonSchema;
use serde::Serialize;
use solver::rig::GateState;
use solver::strength::Ends;
use study::model::{Model, as_typed};
use study::reach::{LoadIs, Reach, ReachOfGate, Tried, Verdict};

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-reach-1";

/// Where a load is held, in words and numbers.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Document {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// Title of the connector, from its model file.
    connector: String,
    /// What is to be known of the values that were used, in words: ranges, unknown metals, what was assumed.
    assumed: Vec<String>,
    /// Coefficient of friction that the rig relies on.
    #[schemars(range(min = 0, max = 1))]
    friction: f64,
    /// What all of it comes to, in a sentence.
    sentence: String,
    /// What no setting says of itself: that every load is that of the middle.
    middle: &'static str,
    /// Gate closed, half shut and open.
    #[schemars(extend("minItems" = 3, "maxItems" = 3))]
    gates: Vec<GateInWords>,
    /// What the numbers are not.
    caution: &'static str,
}

/// All settings with the gate in one state.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct GateInWords {
    /// State of the gate, as its key has it.
    #[schemars(extend("enum" = ["closed", "half", "open"]))]
    gate: &'static str,
    /// How far the pin is engaged, mm; null unless half shut.
    #[schemars(extend("exclusiveMinimum" = 0))]
    engaged_mm: Option<f64>,
    /// The load that the settings are held against, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    load_kn: f64,
    /// Where that load comes from.
    load_is: LoadOrigin,
    /// The gate in a sentence, with the nearest miss.
    sentence: String,
    /// Settings that hold the load.
    holds: usize,
    /// Settings that do not.
    does_not_hold: usize,
    /// Settings in which friction does not keep the loads; they count as neither.
    not_kept: usize,
    /// Place in `settings`, from 0, of the one that comes nearest to the load without holding it; null when there is none.
    nearest_miss: Option<usize>,
    /// Place in `settings` of the one that holds the load with least to spare; null when there is none.
    least_to_spare: Option<usize>,
    /// What fits nowhere on its bars, in words.
    too_wide: Vec<String>,
    /// Why nothing was tried with the gate so; null when something was.
    not_tried: Option<String>,
    /// Every setting that was tried.
    settings: Vec<SettingInWords>,
}

/// Where a load comes from.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
enum LoadOrigin {
    /// It was asked for.
    Asked,
    /// It is marked for a closed gate.
    MarkedClosed,
    /// It is marked for an open gate.
    MarkedOpen,
}

/// What a setting comes to.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
enum VerdictInWords {
    /// Nothing breaks up to the load.
    Holds,
    /// Something breaks, or the pull ends, below the load.
    DoesNotHold,
    /// Friction does not keep the loads there.
    NotKept,
    /// It could not be solved.
    NotSolved,
}

/// A setting.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct SettingInWords {
    /// What pulls and where it lies, in words.
    setting: String,
    /// What makes this setting of the model, each to be put behind `--set`, in the place of any other set of the gate and of what
    /// pulls: `forecast` with all of them tells of the same pull.
    sets: Vec<String>,
    /// Coefficient of friction needed to stay, upper and lower end.
    #[schemars(inner(range(min = 0)))]
    friction_needed: [f64; 2],
    /// Whether the friction that the rig relies on is enough, to within the 0.005 to which coefficients are told.
    kept: bool,
    /// What it comes to beside the load.
    verdict: VerdictInWords,
    /// Highest load of the pull, kN; null when it could not be solved.
    #[schemars(range(min = 0))]
    peak_kn: Option<f64>,
    /// The load up to which nothing breaks, kN; null when it could not be solved.
    #[schemars(range(min = 0))]
    holds_kn: Option<f64>,
    /// The part that fails first; null when it could not be solved.
    fails_first: Option<&'static str>,
    /// How the pull ends; null when it could not be solved.
    ends: Option<Ends>,
    /// Where the frame tears in the end, in words; null when the strap goes first, or when it could not be solved.
    tears_at: Option<String>,
    /// Why it could not be solved; null when it was.
    not_solved: Option<String>,
}

impl Document {
    /// Tells where a model holds a load.
    #[must_use]
    pub fn new(found: &Reach, model: &Model) -> Self {
        Self {
            format: FORMAT,
            connector: model.title.clone(),
            assumed: notes::notes(model),
            friction: found.friction,
            sentence: headline(found),
            middle: AT_ITS_MIDDLE,
            gates: found.gates.iter().map(|gate| GateInWords::new(gate, found.friction)).collect(),
            caution: CAUTION,
        }
    }
}

impl GateInWords {
    fn new(gate: &ReachOfGate, friction: f64) -> Self {
        let place =
            |of: Option<&Tried>| of.and_then(|of| gate.settings().position(|tried| std::ptr::eq(tried, of)));
        Self {
            gate: gate.word,
            engaged_mm: match gate.state {
                Some(GateState::Half { engaged_mm }) => Some(engaged_mm),
                _ => None,
            },
            load_kn: gate.load.kn,
            load_is: match gate.load.is {
                LoadIs::Asked => LoadOrigin::Asked,
                LoadIs::MarkedClosed => LoadOrigin::MarkedClosed,
                LoadIs::MarkedOpen => LoadOrigin::MarkedOpen,
            },
            sentence: sentence(gate, friction),
            holds: gate.count(Verdict::Holds),
            does_not_hold: gate.count(Verdict::DoesNotHold),
            not_kept: gate.count(Verdict::NotKept),
            nearest_miss: place(gate.nearest_miss()),
            least_to_spare: place(gate.least_to_spare()),
            too_wide: gate.pairs.iter().filter(|(_, fits)| !fits).map(|(of, _)| pair(*of)).collect(),
            not_tried: gate.tried.as_ref().err().map(no_reach),
            settings: gate.settings().map(|tried| SettingInWords::new(gate, tried)).collect(),
        }
    }
}

impl SettingInWords {
    fn new(gate: &ReachOfGate, tried: &Tried) -> Self {
        let holds = tried.holds.as_ref().ok();
        Self {
            setting: setting(tried),
            sets: tried.keys(gate.word).iter().map(as_typed).collect(),
            friction_needed: tried.friction_needed,
            kept: tried.kept,
            verdict: match gate.verdict(tried) {
                Verdict::Holds => VerdictInWords::Holds,
                Verdict::DoesNotHold => VerdictInWords::DoesNotHold,
                Verdict::NotKept => VerdictInWords::NotKept,
                Verdict::NotSolved => VerdictInWords::NotSolved,
            },
            peak_kn: holds.map(|holds| holds.peak_kn),
            holds_kn: holds.map(|holds| holds.holds_kn),
            fails_first: holds.map(|holds| failure_modes::name(holds.fails_first)),
            ends: holds.map(|holds| holds.ends),
            tears_at: holds.and_then(|holds| holds.tears_at).map(locations::frame),
            not_solved: tried.holds.as_ref().err().map(building::there),
        }
    }
}
