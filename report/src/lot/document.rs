//! A lot's figures, as JSON has them.

use super::against::{Against, finite};
use super::logbook::FromLogbook;
use super::sentences::{
    against_marking, against_others, assumed, at_least, claim, headline, marking, no_claim, note, title,
};
use super::taken::Taken;
use crate::caution::CAUTION_OF_LOTS;
use lab::statistics::{
    self, Belief, Bound, Claim, Farthest, Figures, Moments, NoMaximum, Normal, NormalLot, Plan, Question,
    Rating, SHARES, Weibull,
};
use schemars::JsonSchema;
use serde::Serialize;

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-lot-1";

/// What a lot's pulls allow to be said, in words and numbers.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Document {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// What the lot is called.
    title: String,
    /// What all of it comes to, in a sentence.
    sentence: String,
    /// The pulls, as they were told.
    #[schemars(extend("minItems" = 1))]
    pulls: Vec<OnePull>,
    /// How many broke.
    breaks: usize,
    /// How many ended without a break: lower bounds, never taken as breaks.
    ended: usize,
    /// The lot taken as normal; null where that tells no spread.
    normal: Option<NormalFigures>,
    /// The lot taken as of the Weibull kind; null where that tells no spread.
    weibull: Option<WeibullFigures>,
    /// Why there is neither; null where there is.
    no_figures: Option<WhyNone>,
    /// The break farthest from the mean, which is kept in any case; null where pulls ended without a break, or fewer than three broke.
    farthest: Option<FarthestPull>,
    /// What the pulls say of the marking; null where none was told.
    marking: Option<Marking>,
    /// What they say to the claim; null where none was asked.
    claim: Option<AskedClaim>,
    /// Whether the load asked for is reached; null where none was asked.
    at_least: Option<AtLeast>,
    /// Against the other group; null where none was told.
    against: Option<Against>,
    /// How the lot was taken from the logbook; null where its peaks were told.
    logbook: Option<Taken>,
    /// What must be known beside all this, in words.
    notes: Vec<String>,
    /// What the numbers are not.
    caution: &'static str,
}

/// A pull.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct OnePull {
    /// Its highest load, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    kn: f64,
    /// Whether it ended in a break; where not, it would have held at least its highest load.
    broke: bool,
    /// Name of its sample; null unless it was taken from the logbook.
    sample: Option<String>,
    /// Its number in the logbook; null unless it was taken from there.
    number: Option<i64>,
}

/// Why no spread is told.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
enum WhyNone {
    /// No pull broke.
    NoBreak,
    /// A single one did.
    OneBreak,
    /// All breaks are equal as they are written down.
    AllEqual,
}

/// A lot taken as normal.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct NormalFigures {
    /// Mean, kN; where pulls ended without a break the likeliest.
    mean_kn: f64,
    /// From where to where the lot's mean lies with 95 % confidence, kN; null where that is farther than numbers go.
    mean_interval_kn: [Option<f64>; 2],
    /// Standard deviation with n - 1, kN; where pulls ended without a break the likeliest, which is as that with n.
    #[schemars(extend("exclusiveMinimum" = 0))]
    sd_kn: f64,
    /// Standard deviation with n, of these pulls alone, kN; null where pulls ended without a break.
    sd_of_these_kn: Option<f64>,
    /// Standard deviation with n - 1 over the mean; null where pulls ended without a break.
    coefficient_of_variation: Option<f64>,
    /// Whether bounds are exact, every pull having ended in a break.
    exact: bool,
    /// Loads that shares of the lot break above, with a confidence; below zero where so few pulls allow no load to be claimed.
    bounds: Vec<OneBound>,
    /// Mean minus three standard deviations; null where pulls ended without a break.
    three_sigma: Option<ThreeSigmaFigures>,
}

/// A load that a share of the lot breaks above.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct OneBound {
    /// Share of the lot.
    #[schemars(range(min = 0, max = 1))]
    share: f64,
    /// Confidence.
    #[schemars(range(min = 0, max = 1))]
    confidence: f64,
    /// The load, kN.
    kn: f64,
}

/// Mean minus three standard deviations, by either of them.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct ThreeSigmaFigures {
    /// By that with n - 1.
    by_sd: OneRating,
    /// By that with n.
    by_sd_of_these: OneRating,
}

/// A rating.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct OneRating {
    /// The load, kN.
    kn: f64,
    /// The confidence that shares of the lot break above it.
    confidence: Vec<Confidence>,
}

/// How sure it is that a share of the lot does.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct Confidence {
    /// Share of the lot.
    #[schemars(range(min = 0, max = 1))]
    share: f64,
    /// How sure it is.
    #[schemars(range(min = 0, max = 1))]
    confidence: f64,
}

/// A lot of the Weibull kind, by maximum likelihood.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct WeibullFigures {
    /// Shape.
    shape: f64,
    /// From where to where it lies with 95 % confidence; null where that is farther than numbers go.
    shape_interval: [Option<f64>; 2],
    /// Scale, kN.
    scale_kn: f64,
    /// From where to where it lies with 95 % confidence, kN; null where that is farther than numbers go.
    scale_interval_kn: [Option<f64>; 2],
    /// Logarithm of the likelihood at its maximum, loads in kN.
    ln_likelihood: f64,
    /// Loads that shares of the lot break above.
    exceeded: Vec<ExceededLoad>,
}

/// A load that a share of the lot breaks above.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct ExceededLoad {
    /// Share of the lot.
    #[schemars(range(min = 0, max = 1))]
    share: f64,
    /// The likeliest load, kN.
    kn: f64,
    /// From where to where it lies with 95 % confidence, kN; null where that is farther than numbers go.
    interval_kn: [Option<f64>; 2],
    /// The load that may be claimed with 95 % confidence, kN.
    bound_kn: f64,
}

/// The break farthest from the mean.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct FarthestPull {
    /// Its place in `pulls`, from 0.
    pull: usize,
    /// Its load, kN.
    kn: f64,
    /// How many standard deviations, with n - 1, it lies from the mean.
    sds: f64,
    /// At how many it counts as an outlier (Grubbs' test, two-sided, 5 %).
    critical_sds: f64,
    /// The chance of one as far among so many pulls of a normal lot.
    #[schemars(range(min = 0, max = 1))]
    chance: f64,
    /// Whether it counts as an outlier.
    is_outlier: bool,
    /// Whether it is judged: not of three breaks, nor of breaks that differ by the last digit they are written with only.
    judged: bool,
}

/// What pulls say of a marking where the spread of the lot is taken as known.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct Marking {
    /// The marking, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    kn: f64,
    /// All of it in a sentence.
    sentence: String,
    /// What is assumed, in words.
    assumed: String,
    /// What speaks against the marking or against what is assumed, in words.
    against: Vec<String>,
    /// How many breaks lie below it.
    broke_below: usize,
    /// Standard deviation of the breaks (n - 1) over their mean; null of fewer than two.
    found_spread: Option<f64>,
    /// Whether each confidence is only the least that it may be, since pulls ended without a break.
    at_least: bool,
    /// For each spread.
    by_spread: Vec<SpreadFigures>,
}

/// What pulls say of a marking with a spread.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct SpreadFigures {
    /// Standard deviation of the lot over its mean.
    #[schemars(range(min = 0, max = 1))]
    spread: f64,
    /// The confidence that shares of the lot hold the marking.
    confidence: Vec<Confidence>,
    /// With 95 % confidence no larger share of the lot lies below the marking.
    #[schemars(range(min = 0, max = 1))]
    share_below: f64,
    /// How the breaks speak against the spread; null where they do not.
    spoken_against: Option<SpokenAgainst>,
}

/// How breaks speak against a spread.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
enum SpokenAgainst {
    /// They lie farther apart.
    Wider,
    /// They lie closer together.
    Closer,
}

/// What pulls say to a claim.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct AskedClaim {
    /// The load, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    kn: f64,
    /// The share of the lot that is to break above it.
    #[schemars(range(min = 0, max = 1))]
    share: f64,
    /// The confidence asked for.
    #[schemars(range(min = 0, max = 1))]
    confidence: f64,
    /// Whether it may be claimed.
    stands: bool,
    /// All of it in a sentence.
    sentence: String,
    /// The load that may be claimed with that share and confidence, kN; null where there is none.
    bound_kn: Option<f64>,
    /// The confidence that the pulls give to the very claim; null where some ended without a break, or where there are no figures.
    confidence_now: Option<f64>,
    /// What it takes.
    plan: PlanInWords,
    /// How many breaks it takes in all; null unless `plan` is `pulls`.
    breaks_needed: Option<usize>,
}

/// What a claim takes, with mean and standard deviation as they are.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
enum PlanInWords {
    /// Nothing: it stands.
    Stands,
    /// So many breaks.
    Pulls,
    /// More breaks than are planned.
    TooMany,
    /// No number does: the mean does not reach the load.
    MeanBelow,
    /// No number does: less than the share breaks above the load.
    LotBelow,
    /// Not told, since pulls ended without a break.
    Ended,
    /// Not told, since there are no figures.
    NoFigures,
}

/// A load that was asked for.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct AtLeast {
    /// The load, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    kn: f64,
    /// Whether 95 % of the lot break above it, with 95 % confidence.
    reached: bool,
    /// The same in a sentence.
    sentence: String,
}

fn confidences(of: [f64; 3]) -> Vec<Confidence> {
    SHARES.into_iter().zip(of).map(|(share, confidence)| Confidence { share, confidence }).collect()
}

impl Document {
    /// Tells what a lot's pulls say. `taken`: how they were taken from the logbook, where they were.
    #[must_use]
    pub fn new(found: &Figures, question: &Question, taken: Option<&FromLogbook>) -> Self {
        let breaks = found.lot.breaks_kn().len();
        Self {
            format: FORMAT,
            title: title(found),
            sentence: headline(found),
            pulls: found
                .lot
                .pulls()
                .iter()
                .map(|pull| OnePull {
                    kn: pull.peak_kn,
                    broke: pull.broke,
                    sample: pull.name.clone(),
                    number: pull.number,
                })
                .collect(),
            breaks,
            ended: found.lot.count() - breaks,
            normal: found.normal.as_ref().ok().map(|normal| NormalFigures::new(normal, &found.bounds)),
            weibull: found.weibull.as_ref().ok().map(WeibullFigures::new),
            no_figures: found.normal.as_ref().err().map(|why| match why {
                NoMaximum::NoBreak => WhyNone::NoBreak,
                NoMaximum::OneBreak => WhyNone::OneBreak,
                NoMaximum::AllEqual => WhyNone::AllEqual,
            }),
            farthest: found.farthest.as_ref().map(FarthestPull::new),
            marking: found.belief.as_ref().map(|belief| Marking::new(belief, question, breaks)),
            claim: AskedClaim::new(found, question, breaks),
            at_least: found.at_least.zip(at_least(found)).map(|((kn, reached), sentence)| AtLeast {
                kn,
                reached,
                sentence,
            }),
            against: found.against.as_ref().map(|found| Against::new(found, against_others(found))),
            logbook: taken.map(Taken::new),
            notes: found.notes.iter().map(note).collect(),
            caution: CAUTION_OF_LOTS,
        }
    }
}

impl NormalFigures {
    fn new(normal: &Normal, bounds: &[Bound]) -> Self {
        let broke = match &normal.figures {
            NormalLot::Broke { moments, three_sigma, .. } => Some((moments, three_sigma)),
            NormalLot::Censored { .. } => None,
        };
        let rating = |rating: Rating| OneRating { kn: rating.kn, confidence: confidences(rating.confidence) };
        Self {
            mean_kn: normal.mean_kn(),
            mean_interval_kn: normal.mean_interval_kn().map(finite),
            sd_kn: normal.sd_kn(),
            sd_of_these_kn: broke.map(|(moments, _)| moments.sd_of_these),
            coefficient_of_variation: broke
                .and_then(|(moments, _)| Moments::coefficient_of_variation(moments)),
            exact: broke.is_some(),
            bounds: bounds
                .iter()
                .map(|Bound { share, confidence, kn }| OneBound {
                    share: *share,
                    confidence: *confidence,
                    kn: *kn,
                })
                .collect(),
            three_sigma: broke.map(|(_, three)| ThreeSigmaFigures {
                by_sd: rating(three.by_sd),
                by_sd_of_these: rating(three.by_sd_of_these),
            }),
        }
    }
}

impl WeibullFigures {
    fn new(weibull: &Weibull) -> Self {
        Self {
            shape: weibull.shape.value,
            shape_interval: weibull.shape.interval.map(finite),
            scale_kn: weibull.scale_kn.value,
            scale_interval_kn: weibull.scale_kn.interval.map(finite),
            ln_likelihood: weibull.ln_likelihood,
            exceeded: weibull
                .exceeded
                .iter()
                .map(|of| ExceededLoad {
                    share: of.share,
                    kn: of.load_kn.value,
                    interval_kn: of.load_kn.interval.map(finite),
                    bound_kn: of.bound.kn,
                })
                .collect(),
        }
    }
}

impl FarthestPull {
    fn new(farthest: &Farthest) -> Self {
        Self {
            pull: farthest.index,
            kn: farthest.kn,
            sds: farthest.sds,
            critical_sds: farthest.critical_sds,
            chance: farthest.chance,
            is_outlier: farthest.is_outlier(),
            judged: farthest.judged,
        }
    }
}

impl Marking {
    fn new(belief: &Belief, question: &Question, breaks: usize) -> Self {
        let by_spread = belief.by_spread.iter().map(|by| SpreadFigures {
            spread: by.spread,
            confidence: confidences(by.confidence),
            share_below: by.share_below,
            spoken_against: by.against.map(|way| match way {
                statistics::Against::Wider => SpokenAgainst::Wider,
                statistics::Against::Closer => SpokenAgainst::Closer,
            }),
        });
        Self {
            kn: belief.marking_kn,
            sentence: marking(belief),
            assumed: assumed(belief, question.spread.is_some()),
            against: against_marking(belief, breaks),
            broke_below: belief.broke_below,
            found_spread: belief.found_spread,
            at_least: belief.at_least,
            by_spread: by_spread.collect(),
        }
    }
}

impl AskedClaim {
    fn new(found: &Figures, question: &Question, breaks: usize) -> Option<Self> {
        let asked = question.claim?;
        let told = |sentence, told: Option<&Claim>| Self {
            kn: asked.kn,
            share: asked.share,
            confidence: asked.confidence,
            stands: told.is_some_and(|claim| claim.plan == Plan::Stands),
            sentence,
            bound_kn: told.and_then(|claim| claim.bound).map(|bound| bound.kn),
            confidence_now: told.and_then(|claim| claim.confidence_now),
            plan: match told.map(|claim| claim.plan) {
                Some(Plan::Stands) => PlanInWords::Stands,
                Some(Plan::Pulls(_)) => PlanInWords::Pulls,
                Some(Plan::TooMany) => PlanInWords::TooMany,
                Some(Plan::MeanBelow) => PlanInWords::MeanBelow,
                Some(Plan::LotBelow) => PlanInWords::LotBelow,
                Some(Plan::Ended) => PlanInWords::Ended,
                None => PlanInWords::NoFigures,
            },
            breaks_needed: match told.map(|claim| claim.plan) {
                Some(Plan::Pulls(count)) => Some(count),
                _ => None,
            },
        };
        match (&found.claim, &found.normal) {
            (Some(of), _) => Some(told(claim(of, breaks), Some(of))),
            (None, Err(why)) => Some(told(no_claim(*why, asked.kn), None)),
            (None, Ok(_)) => None,
        }
    }
}
