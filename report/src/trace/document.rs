//! Traces as JSON has them.

use super::pull::{at_least, headline, missed, missed_kn, remarks};
use super::{Found, Told, TwoCells, agreement, understood};
use crate::caution::CAUTION_OF_RECORDS;
use lab::trace::kinks::Kink;
use lab::trace::pull::{Ending, Pull};
use lab::trace::recording::Channel;
use schemars::JsonSchema;
use serde::Serialize;

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-trace-1";

/// Traces of load cells, in words and numbers.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Document {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// The files, in the order in which they were named.
    files: Vec<FileInWords>,
    /// How two cells on one pull agree; null unless there are two.
    agreement: Option<AgreementInWords>,
    /// What the numbers are not.
    caution: &'static str,
}

/// A file.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct FileInWords {
    /// Its name.
    file: String,
    /// SHA-256 of its bytes, hexadecimal.
    #[schemars(regex(pattern = "^[0-9a-f]{64}$"))]
    hash: String,
    /// What was understood of it and on what evidence, in words.
    understood: Vec<String>,
    /// What each of its cells says; empty for a list of peaks.
    cells: Vec<CellInWords>,
    /// Peaks of several pulls; empty for a trace over time.
    peaks: Vec<PeakInWords>,
}

/// A line of a list of peaks.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct PeakInWords {
    /// What it is called.
    name: String,
    /// Line, from 1.
    line: usize,
    /// Load, kN.
    peak_kn: f64,
    /// Unit in the file.
    unit: &'static str,
}

/// What a cell says of a pull. Loads in kN less what the cell shows without load, times in s from the first sample.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct CellInWords {
    /// Its column.
    column: String,
    /// Unit in the file.
    unit: &'static str,
    /// Values that were read.
    samples: usize,
    /// Values that are missing.
    missing: usize,
    /// The pull in a sentence.
    sentence: String,
    /// What the cell shows before the pull, kN; null where that is not known, since the file begins under load or rises from its first
    /// samples on: then nothing is taken off.
    zero_kn: Option<f64>,
    /// What it shows after the pull less that, kN; null where the file does not tell.
    drift_kn: Option<f64>,
    /// Scatter from sample to sample, kN.
    noise_kn: f64,
    /// Highest load, kN.
    peak_kn: f64,
    /// The same as it was read, kN.
    peak_as_read_kn: f64,
    /// Its line in the file, from 1.
    peak_line: u32,
    /// Its time; null without a clock.
    peak_s: Option<f64>,
    /// Why the peak is a lower bound, in words; empty where it is none.
    at_least: Vec<String>,
    /// What else is to be known of the pull, in words: a peak of a single sample, several pulls, loads below zero, a zero that moved.
    remarks: Vec<String>,
    /// How much higher the load may have been between samples at most, kN; null where no bound is known.
    missed_kn: Option<f64>,
    /// Why that much, or why no bound is known.
    missed: String,
    /// The device's own highest load, kN; null where the file does not state one.
    device_peak_kn: Option<f64>,
    /// How the pull ended.
    ending: EndingInWords,
    /// Slope of the rise from a fifth to four fifths of the peak, kN/s; null without a clock.
    rate_kn_s: Option<f64>,
    /// Where the rise becomes steeper low down, as when a gate takes up its part; null where it does not.
    engagement: Option<KinkInWords>,
    /// Where the rise becomes half as steep; null where it does not.
    knee: Option<KinkInWords>,
    /// Sudden falls that were made up for.
    slips: Vec<SlipInWords>,
    /// Stretches of even load.
    holds: Vec<HoldInWords>,
    /// Work of the bench over its way, J; null without a way.
    work_j: Option<f64>,
}

/// A change of slope.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct KinkInWords {
    /// Load there, kN.
    load_kn: f64,
    /// Slope behind it over slope before it.
    slopes: f64,
    /// Time; null without a clock.
    time_s: Option<f64>,
}

/// A slip.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct SlipInWords {
    /// Time; null without a clock.
    time_s: Option<f64>,
    /// Load before it, kN.
    from_kn: f64,
    /// Load after it, kN.
    to_kn: f64,
}

/// A hold.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct HoldInWords {
    /// When it began, s.
    from_s: Option<f64>,
    /// How long, s.
    seconds: f64,
    /// Mean load, kN.
    load_kn: f64,
    /// By how much the load fell, kN.
    fell_kn: f64,
}

/// How a pull ended.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum EndingInWords {
    /// A sudden fall.
    Fell {
        /// Load before it, kN.
        from_kn: f64,
        /// Load after it, kN.
        to_kn: f64,
        /// Time between, s; null without a clock.
        within_s: Option<f64>,
    },
    /// The load was let off.
    LetOff,
    /// The file ends under load.
    UnderLoad {
        /// Load at the end, kN.
        load_kn: f64,
    },
}

/// How two cells agree.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct AgreementInWords {
    /// The cells.
    #[schemars(extend("minItems" = 2, "maxItems" = 2))]
    cells: [String; 2],
    /// In a sentence.
    sentence: String,
    /// Mean of second over first above a quarter of the peak.
    ratio: f64,
    /// Standard deviation of that ratio.
    scatter: f64,
    /// Samples that were compared.
    samples: usize,
    /// What is added to the second clock, s; null where both have one.
    shift_s: Option<f64>,
    /// Mean of both peaks, kN; null where one of them is a lower bound.
    peak_kn: Option<f64>,
    /// Half their difference, kN; null where one of them is a lower bound.
    peak_give_or_take_kn: Option<f64>,
}

impl Document {
    /// Tells of files.
    #[must_use]
    pub fn new(told: &[Told], cells: Option<&TwoCells>) -> Self {
        Self {
            format: FORMAT,
            files: told.iter().map(FileInWords::new).collect(),
            agreement: cells.map(|of| {
                let peak = (!of.agreement.at_least).then(|| of.agreement.peak_kn());
                AgreementInWords {
                    cells: of.names.clone(),
                    sentence: agreement(of),
                    ratio: of.agreement.ratio,
                    scatter: of.agreement.scatter,
                    samples: of.agreement.samples,
                    shift_s: of.agreement.shift_s,
                    peak_kn: peak.map(|p| p.0),
                    peak_give_or_take_kn: peak.map(|p| p.1),
                }
            }),
            caution: CAUTION_OF_RECORDS,
        }
    }
}

impl FileInWords {
    fn new(told: &Told) -> Self {
        let (mut cells, mut peaks, mut words) = (Vec::new(), Vec::new(), Vec::new());
        match &told.found {
            Found::Pull(recording, pulls) => {
                words = understood(recording, pulls);
                cells = pulls.iter().zip(&recording.channels).map(|(p, c)| CellInWords::new(p, c)).collect();
            }
            Found::Peaks(found) => {
                peaks = found
                    .iter()
                    .map(|p| PeakInWords {
                        name: p.name.clone(),
                        line: p.line,
                        peak_kn: p.kn,
                        unit: p.unit.sign(),
                    })
                    .collect();
            }
        }
        Self { file: told.file.clone(), hash: told.hash.clone(), understood: words, cells, peaks }
    }
}

impl CellInWords {
    fn new(pull: &Pull, channel: &Channel) -> Self {
        let time = |sample: usize| channel.times_s.as_ref().map(|t| t[sample]);
        let kink = |k: Kink| KinkInWords { load_kn: k.kn, slopes: k.slopes, time_s: time(k.sample) };
        Self {
            column: channel.name.clone(),
            unit: channel.unit.sign(),
            samples: channel.kn.len(),
            missing: channel.missing,
            sentence: headline(pull),
            zero_kn: pull.quiet.as_ref().ok().map(|q| q.zero_kn),
            drift_kn: pull.quiet.as_ref().ok().and_then(|q| q.drift_kn),
            noise_kn: pull.noise_kn,
            peak_kn: pull.peak.kn,
            peak_as_read_kn: pull.peak.read_kn,
            peak_line: pull.peak.line,
            peak_s: pull.peak.time_s,
            at_least: at_least(pull),
            remarks: remarks(pull),
            missed_kn: missed_kn(pull),
            missed: missed(pull),
            device_peak_kn: pull.device.map(|d| d.0),
            ending: match pull.ending {
                Ending::Broke { from_kn, to_kn, within_s, .. } => {
                    EndingInWords::Fell { from_kn, to_kn, within_s }
                }
                Ending::LetOff => EndingInWords::LetOff,
                Ending::UnderLoad { kn } => EndingInWords::UnderLoad { load_kn: kn },
            },
            rate_kn_s: pull.rate_kn_s,
            engagement: pull.engagement.map(kink),
            knee: pull.knee.map(kink),
            slips: pull
                .slips
                .iter()
                .map(|s| SlipInWords { time_s: time(s.sample), from_kn: s.from_kn, to_kn: s.to_kn })
                .collect(),
            holds: pull
                .holds
                .iter()
                .map(|h| HoldInWords {
                    from_s: time(h.samples[0]),
                    seconds: h.seconds,
                    load_kn: h.kn,
                    fell_kn: h.fell_kn,
                })
                .collect(),
            work_j: pull.energy_j,
        }
    }
}
