//! A pull until failure, as JSON has it.

use super::ends::ended;
use super::places::place;
use super::{LEFT_OUT, bent, headline, set_found, shares, warnings};
use crate::caution::CAUTION;
use crate::numbers::unsigned_zero;
use crate::{failure_modes, notes, rigs};
use schemars::JsonSchema;
use serde::Serialize;
use solver::plastic::{CurveBasis, DuctilityBasis};
use solver::pull_to_failure::{End, Hook, Reached};
use study::model::Model;
use study::pull_to_failure::{Bent, Pulled, SetFound, Shutting};

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-pull-1";

/// A pull until failure, in words and numbers.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Document {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// Title of the connector, from its model file.
    connector: String,
    /// Hash of its inputs (model, mesh and what was asked, by value) and of the program's version.
    #[schemars(extend("pattern" = "^[0-9a-f]{12}$"))]
    inputs: String,
    /// State of the gate and what pulls, in words.
    rig: String,
    /// What is to be known of the values that were used, in words: ranges, unknown metals, what was assumed.
    assumed: Vec<String>,
    /// The curve of the frame's metal.
    metal: MetalInWords,
    /// What ended the pull, and what carried the load, in a sentence.
    sentence: String,
    /// What the gate's share does beyond first yield, in a sentence; null where it hardly changes.
    share_sentence: Option<String>,
    /// True where the pull was stopped before everything was done.
    stopped: bool,
    /// What ended the pull.
    end: EndInWords,
    /// Loads at which something shows.
    marks: MarksInWords,
    /// Every step with the gate, from rest on.
    steps: Vec<StepInWords>,
    /// How far the two bars of a hook without a gate may turn against each other before friction no longer keeps straps on them, degrees; null with a
    /// gate that carries, and where they never turn so far.
    #[schemars(range(min = 0))]
    keeps_to_deg: Option<f64>,
    /// Highest load up to there, kN; null likewise.
    #[schemars(range(min = 0))]
    keeps_to_kn: Option<f64>,
    /// The open hook after a lost gate; null where the pull ended before the gate was lost, so that none was sought: `end` is then neither `part` nor
    /// `gate_lost`. After these null means that no equilibrium without the gate was found.
    hook: Option<HookInWords>,
    /// Whether the gate shuts after unloading from every load of the pull with it; null without a gate that carries, and where that could not be
    /// told.
    always_shuts: Option<bool>,
    /// Where on the way up the gate no longer shuts after unloading; null unless `always_shuts` is false.
    no_longer_shuts: Option<NoLongerShutsInWords>,
    /// The load that left the permanent stretch that was found; null unless asked for.
    set_found: Option<SetFoundInWords>,
    /// The connector unloaded from a load; null unless asked for.
    unloaded: Option<UnloadedInWords>,
    /// The forecast of the same case on the same mesh, lowest first.
    forecast: Vec<LimitInShort>,
    /// How large and how long the solution was.
    counts: Counts,
    /// What of these numbers is not a result, in sentences.
    warnings: Vec<String>,
    /// What the model leaves out, in sentences.
    left_out: [&'static str; 6],
    /// What the numbers are not.
    caution: &'static str,
}

/// On what the curve of the frame's metal stands.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct MetalInWords {
    /// Its name.
    name: String,
    /// On what the curve beyond yield stands.
    curve: CurveStandsOn,
    /// Plastic strain at the greatest force of a bar of it.
    #[schemars(extend("exclusiveMinimum" = 0))]
    uniform_strain: f64,
    /// Plastic strain at which it tears in plain tension; null where it is not known.
    #[schemars(extend("exclusiveMinimum" = 0))]
    ductility: Option<f64>,
    /// On what that stands; null where it is not known.
    ductility_stands_on: Option<DuctilityStandsOn>,
}

/// On what a curve stands.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
enum CurveStandsOn {
    /// A tested lot of the same alloy.
    TestedLot,
    /// Yield, ultimate and elongation.
    Elongation,
}

/// On what a ductility stands.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
enum DuctilityStandsOn {
    /// Reduction of area at fracture.
    ReductionOfArea,
    /// Elongation.
    Elongation,
}

/// What ended a pull.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct EndInWords {
    /// In few words.
    what: String,
    /// What kind of end it is.
    kind: EndKind,
    /// The failure that it is, as a forecast names it; null where it is none.
    failure: Option<&'static str>,
    /// The load there, kN.
    #[schemars(range(min = 0))]
    load_kn: f64,
    /// What the part of the gate line holds along the line of the pins, kN; null where no such part ended it.
    #[schemars(extend("exclusiveMinimum" = 0))]
    holds_along_gate_kn: Option<f64>,
}

/// Kinds of ends.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
enum EndKind {
    /// A part of the gate line at the force that it holds.
    Part,
    /// The pin left the notch.
    GateLost,
    /// The load fell.
    Opens,
    /// Ductility was used up.
    Tears,
    /// The hook has opened by a right angle: nothing lies in it any more.
    Opened,
    /// Friction no longer holds what pulls on the turned bars of a hook: it is not followed beyond.
    Slides,
    /// A strap at its strength.
    Strap,
    /// The bench's stroke.
    Stroke,
    /// The load that was asked for.
    Asked,
    /// It was stopped.
    Stopped,
    /// No further equilibrium was found.
    NoFurther,
    /// More steps than any pull needs.
    Steps,
}

/// Loads at which something shows, kN; null where it did not.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct MarksInWords {
    /// The gate begins to carry.
    #[schemars(range(min = 0))]
    engages_kn: Option<f64>,
    /// The frame yields away from nose and lug.
    #[schemars(range(min = 0))]
    yields_kn: Option<f64>,
    /// False where it does so beside a contact or a sharp corner, where a finer mesh yields sooner; null where it does not yield.
    yields_trusted: Option<bool>,
    /// The stretch is 0.2 mm beyond the line through first yield along the slope there.
    #[schemars(range(min = 0))]
    offset_kn: Option<f64>,
    /// The load rises half as steeply as at first yield.
    #[schemars(range(min = 0))]
    knee_kn: Option<f64>,
    /// The highest load with the gate.
    #[schemars(range(min = 0))]
    peak_kn: f64,
}

/// A step.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct StepInWords {
    /// Load, kN.
    load_kn: f64,
    /// How much farther apart the load centres are than before the pull, mm.
    stretch_mm: f64,
    /// How far the grips have moved apart, mm.
    stroke_mm: f64,
    /// Pull along the axis over the gate, kN.
    gate_kn: f64,
    /// Pull along the axis over the spine, kN.
    spine_kn: f64,
    /// Part of the load that goes over the gate.
    gate_fraction: f64,
    /// Pull in the gate along the line of its pins, kN.
    gate_line_kn: f64,
    /// What the notch has opened by along the line of the pins, mm.
    nose_opening_mm: f64,
    /// How far the nose pin stands toward the mouth, mm.
    pin_out_mm: f64,
    /// By how much the two bars have turned against each other at the spine, degrees.
    opened_deg: f64,
    /// Largest plastic strain of the frame away from nose and lug.
    #[schemars(range(min = 0))]
    plastic_strain: f64,
    /// Where, in words; null where nothing has yielded.
    plastic_at: Option<String>,
    /// False where that is beside a contact or a sharp corner, where it depends on how fine the mesh is; null where nothing has
    /// yielded.
    plastic_trusted: Option<bool>,
    /// Largest part of the metal's ductility used up; null where it is not known.
    #[schemars(range(min = 0))]
    ductility_used: Option<f64>,
    /// Where, in words; null where none is.
    ductility_at: Option<String>,
    /// Work turned into heat, J.
    heat_j: f64,
    /// Iterations.
    iterations: usize,
}

/// The open hook.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct HookInWords {
    /// Load right after the gate was lost, kN.
    #[schemars(range(min = 0))]
    first_kn: f64,
    /// Highest load, kN.
    #[schemars(range(min = 0))]
    peak_kn: f64,
    /// How far the two bars may turn against each other before friction no longer keeps straps on them, degrees.
    #[schemars(range(min = 0))]
    keeps_to_deg: f64,
    /// Highest load up to there, kN; null where the bars have turned farther from the first.
    #[schemars(range(min = 0))]
    keeps_to_kn: Option<f64>,
    /// What ended it.
    end: EndInWords,
    /// Its steps.
    steps: Vec<StepInWords>,
}

/// Where a gate no longer shuts.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct NoLongerShutsInWords {
    /// The load, kN.
    #[schemars(range(min = 0))]
    at_kn: f64,
    /// Loads of the two steps between which it lies, kN.
    between_kn: [f64; 2],
    /// Permanent stretch there, mm.
    set_mm: f64,
    /// Room that is left after unloading from the two steps, mm; below zero the pin does not pass.
    room_mm: [f64; 2],
    /// Room before the pull, mm.
    room_before_mm: f64,
    /// How much farther the notch then stands from the hinge, mm; below zero nearer.
    apart_mm: f64,
}

/// The load that left a permanent stretch.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct SetFoundInWords {
    /// In a sentence.
    sentence: String,
    /// What was found, mm.
    #[schemars(extend("exclusiveMinimum" = 0))]
    set_mm: f64,
    /// The highest load that the connector has seen, kN.
    #[schemars(range(min = 0))]
    at_kn: f64,
    /// The least and the most that it may have been, kN.
    range_kn: [f64; 2],
    /// How far the yield strength may lie off, each way, as a part of it.
    #[schemars(range(min = 0))]
    yield_scatter: f64,
    /// True where the load had passed its highest already.
    past_the_highest: bool,
}

/// A connector that was pulled to a load and unloaded.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct UnloadedInWords {
    /// In a sentence.
    sentence: String,
    /// The load that it was unloaded from, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    from_kn: f64,
    /// Permanent stretch, mm.
    set_mm: f64,
    /// Whether the gate shuts; null without a gate that carries.
    shuts: Option<bool>,
    /// Room that is left for the pin, mm; null without a gate that carries.
    room_mm: Option<f64>,
    /// The same before the pull, mm.
    room_before_mm: Option<f64>,
    /// How much farther the notch stands from the hinge, mm; null without a gate that carries.
    apart_mm: Option<f64>,
    /// Highest residual stress of the bars, after von Mises, MPa.
    #[schemars(range(min = 0))]
    residual_mpa: f64,
    /// Where, in words.
    residual_at: String,
    /// False where that is beside a contact or a sharp corner, where it depends on how fine the mesh is.
    residual_trusted: bool,
    /// A second pull, up to the same stretch.
    again: Vec<StepInWords>,
}

/// A limit of the forecast.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct LimitInShort {
    /// The part, as a forecast names it.
    what: &'static str,
    /// Load on the connector, kN.
    #[schemars(range(min = 0))]
    at_kn: f64,
}

/// How large and how long a solution was.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct Counts {
    /// Unknowns of frame and gate.
    unknowns: usize,
    /// Steps, those of the hook among them.
    steps: usize,
    /// Iterations of all steps.
    iterations: usize,
    /// Steps that were tried in vain, and cut into halves.
    cut: usize,
}

impl Document {
    /// Tells of a pull. `inputs`: the hash of everything that it depends on.
    #[must_use]
    pub fn new(pulled: &Pulled<'_>, model: &Model, inputs: &str) -> Self {
        let (ready, course) = (pulled.ready, &pulled.course);
        let marks = course.marks;
        let steps = |all: &[Reached]| all.iter().map(|s| StepInWords::new(pulled, s)).collect();
        let hook_steps = course.hook.as_ref().map_or(0, |hook| hook.steps.len());
        Self {
            format: FORMAT,
            connector: model.title.clone(),
            inputs: inputs.to_owned(),
            rig: rigs::without_load(&model.rig),
            assumed: notes::notes(model),
            metal: MetalInWords {
                name: model.materials.frame.name.clone(),
                curve: match ready.curve.basis {
                    CurveBasis::Lot(_) => CurveStandsOn::TestedLot,
                    CurveBasis::Elongation => CurveStandsOn::Elongation,
                },
                uniform_strain: ready.curve.uniform_strain,
                ductility: ready.ductility.map(|d| d.tension_strain),
                ductility_stands_on: ready.ductility.map(|d| match d.basis {
                    DuctilityBasis::ReductionOfArea => DuctilityStandsOn::ReductionOfArea,
                    DuctilityBasis::Elongation => DuctilityStandsOn::Elongation,
                }),
            },
            sentence: headline(pulled),
            share_sentence: shares(pulled),
            stopped: pulled.stopped,
            end: EndInWords::new(&course.end, pulled.last()),
            marks: MarksInWords {
                engages_kn: marks.engages_kn,
                yields_kn: marks.yields_kn,
                yields_trusted: pulled.first_plastic().map(|s| ready.trusts(course.steps[s].plastic_at)),
                offset_kn: marks.offset_kn,
                knee_kn: marks.knee_kn,
                peak_kn: marks.peak_kn,
            },
            steps: steps(&course.steps),
            keeps_to_deg: pulled.open_keeps_kn().map(|_| pulled.keeps_to_deg()),
            keeps_to_kn: pulled.open_keeps_kn(),
            hook: course.hook.as_ref().and_then(|hook| HookInWords::new(pulled, hook)),
            always_shuts: match pulled.shutting {
                Shutting::Always => Some(true),
                Shutting::Until(_) => Some(false),
                Shutting::NoGate | Shutting::Unknown => None,
            },
            no_longer_shuts: pulled.no_longer_shuts().map(|found| NoLongerShutsInWords {
                at_kn: found.at_kn,
                between_kn: found.between_kn,
                set_mm: found.set_mm,
                room_mm: found.room_mm,
                room_before_mm: found.before_mm,
                apart_mm: found.apart_mm,
            }),
            set_found: pulled.set_found.as_ref().map(SetFoundInWords::new),
            unloaded: pulled.bent.as_ref().map(|of| UnloadedInWords::new(pulled, of)),
            forecast: ready
                .limits
                .limits
                .iter()
                .filter_map(|l| Some(LimitInShort { what: failure_modes::name(l.what), at_kn: l.at_kn? }))
                .collect(),
            counts: Counts {
                unknowns: ready.system.unknowns(),
                steps: course.steps.len() + hook_steps,
                iterations: course.iterations,
                cut: course.cut,
            },
            warnings: warnings(pulled),
            left_out: LEFT_OUT,
            caution: CAUTION,
        }
    }
}

impl StepInWords {
    fn new(pulled: &Pulled<'_>, s: &Reached) -> Self {
        Self {
            load_kn: unsigned_zero(s.load_kn),
            stretch_mm: unsigned_zero(s.stretch_mm),
            stroke_mm: unsigned_zero(s.stroke_mm),
            gate_kn: unsigned_zero(s.gate_kn),
            spine_kn: unsigned_zero(s.spine_kn),
            gate_fraction: unsigned_zero(s.gate_fraction),
            gate_line_kn: unsigned_zero(s.gate_line_kn),
            nose_opening_mm: unsigned_zero(s.nose_opening_mm),
            pin_out_mm: unsigned_zero(s.pin_out_mm),
            opened_deg: unsigned_zero(s.opened_deg),
            plastic_strain: s.plastic_strain,
            plastic_at: (s.plastic_strain > 0.0).then(|| place(pulled, s.plastic_at)),
            plastic_trusted: (s.plastic_strain > 0.0).then(|| pulled.ready.trusts(s.plastic_at)),
            ductility_used: s.ductility_used,
            ductility_at: s.ductility_used.filter(|used| *used > 0.0).map(|_| place(pulled, s.ductility_at)),
            heat_j: unsigned_zero(s.heat_j),
            iterations: s.iterations,
        }
    }
}

impl EndInWords {
    fn new(end: &End, at: &Reached) -> Self {
        Self {
            what: ended(end),
            kind: match end {
                End::Part(_) => EndKind::Part,
                End::GateLost => EndKind::GateLost,
                End::Maximum => EndKind::Opens,
                End::Torn => EndKind::Tears,
                End::Opened => EndKind::Opened,
                End::Slides => EndKind::Slides,
                End::Strap(_) => EndKind::Strap,
                End::Stroke => EndKind::Stroke,
                End::Asked => EndKind::Asked,
                End::Stopped => EndKind::Stopped,
                End::NoFurther(_) => EndKind::NoFurther,
                End::Steps => EndKind::Steps,
            },
            failure: end.failure().map(failure_modes::name),
            load_kn: at.load_kn,
            holds_along_gate_kn: match end {
                End::Part(capacity) => Some(1e-3 * capacity.force_n),
                _ => None,
            },
        }
    }
}

impl HookInWords {
    fn new(pulled: &Pulled<'_>, hook: &Hook) -> Option<Self> {
        Some(Self {
            first_kn: hook.steps.first()?.load_kn,
            peak_kn: hook.peak_kn(),
            keeps_to_deg: pulled.keeps_to_deg(),
            keeps_to_kn: pulled.hook_keeps_kn(),
            end: EndInWords::new(&hook.end, hook.steps.last()?),
            steps: hook.steps.iter().map(|s| StepInWords::new(pulled, s)).collect(),
        })
    }
}

impl SetFoundInWords {
    fn new(found: &SetFound) -> Self {
        Self {
            sentence: set_found(found),
            set_mm: found.set_mm,
            at_kn: found.at_kn,
            range_kn: found.range_kn,
            yield_scatter: found.scatter,
            past_the_highest: found.past_the_highest,
        }
    }
}

impl UnloadedInWords {
    fn new(pulled: &Pulled<'_>, of: &Bent) -> Self {
        let unloaded = &of.unloaded;
        Self {
            sentence: bent(pulled, of),
            from_kn: unloaded.from_kn,
            set_mm: unloaded.set_mm,
            shuts: unloaded.shuts.map(|s| s.shuts()),
            room_mm: unloaded.shuts.map(|s| s.room_mm),
            room_before_mm: unloaded.shuts.map(|s| s.before_mm),
            apart_mm: unloaded.shuts.map(|s| s.apart_mm),
            residual_mpa: unloaded.residual_mpa,
            residual_at: place(pulled, unloaded.residual_at),
            residual_trusted: pulled.ready.trusts(unloaded.residual_at),
            again: unloaded.again.iter().map(|s| StepInWords::new(pulled, s)).collect(),
        }
    }
}
