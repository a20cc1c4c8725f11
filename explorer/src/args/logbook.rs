//! Arguments of `log`: what is recorded of pulls, listed, corrected and shared.
//!
//! Values of fields are taken as they are typed: all mistakes of a command are told at once, by the rules of the logbook.

use super::change::Change;
use super::filter::FilterFields;
use clap::{Args, Subcommand};
use lab::logbook::{DEFAULT_FILE, Field};
use std::path::PathBuf;

/// Arguments of `log`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogArguments {
    /// The logbook
    #[arg(long, value_name = "FILE", default_value = DEFAULT_FILE, global = true)]
    pub logbook: PathBuf,
    /// What to do
    #[command(subcommand)]
    pub command: LogCommand,
}

/// What can be done with a logbook.
#[derive(Clone, Debug, PartialEq, Subcommand)]
pub enum LogCommand {
    /// Record a pull to come with its model, and the forecast of it; prints its number
    Plan(LogPlanArguments),
    /// Record a pull, or with its NUMBER the result of one that was planned; prints its number. Marking and rig are those of the model,
    /// the date is now, where nothing else is told
    Add(Box<LogAddArguments>),
    /// List pulls as they are now
    List(LogListArguments),
    /// Hold the forecasts that were recorded before their pulls against what the pulls gave
    Score(LogScoreArguments),
    /// Draw the constants of forecasts (lip, pins, friction, strength, flow) as they may be after these pulls, and keep them under a name
    /// for `forecast --calibration NAME`
    Calibrate(LogCalibrateArguments),
    /// List the calibrations that are kept
    Calibrations(LogCalibrationsArguments),
    /// Show one pull whole, with its forecast and all that was corrected
    Show(LogShowArguments),
    /// Correct values of a pull; what stood there stays on record
    Amend(Box<LogAmendArguments>),
    /// Withdraw a pull that should not count, with the reason: it stays on record, and `lot` and `score` leave it out
    Withdraw(LogWithdrawArguments),
    /// Write pulls to a .csv file for a spreadsheet, or to a .json package with models and traces for sharing
    Export(LogExportArguments),
    /// Take in a .json package, all of it or nothing
    Import(LogImportArguments),
}

/// What is known of a sample.
#[derive(Clone, Debug, Default, PartialEq, Args)]
pub struct SampleFields {
    /// Name of the sample, up to 80 letters
    #[arg(long, value_name = "NAME")]
    pub sample: Option<String>,
    /// What kind of connector it is, in words
    #[arg(long, value_name = "TEXT")]
    pub kind: Option<String>,
    /// Its age, years, 0 to 100
    #[arg(long, value_name = "YEARS", allow_hyphen_values = true)]
    pub age: Option<String>,
    /// Hours of use
    #[arg(long, value_name = "HOURS", allow_hyphen_values = true)]
    pub hours: Option<String>,
    /// How often it was pulled before
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub earlier_pulls: Option<String>,
    /// What is marked along the major axis, gate closed, kN
    #[arg(long, value_name = "KN", allow_hyphen_values = true)]
    pub marking: Option<String>,
    /// The same, gate open, kN
    #[arg(long, value_name = "KN", allow_hyphen_values = true)]
    pub marking_open: Option<String>,
    /// A measured dimension; may be repeated. Example: --measured "bar at mid height=11.8 mm"
    #[arg(long, value_name = "NAME=VALUE")]
    pub measured: Vec<String>,
    /// The rig in free words
    #[arg(long, value_name = "TEXT")]
    pub rig: Option<String>,
}

/// What is known of a rig.
#[derive(Clone, Debug, Default, PartialEq, Args)]
pub struct RigFields {
    /// What pulls at the upper end, such as strap or "bench bar"
    #[arg(long, value_name = "TEXT")]
    pub upper: Option<String>,
    /// Its width or diameter, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub upper_size: Option<String>,
    /// Where it lies, mm from the middle of the window, above 0 toward the gate
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub upper_offset: Option<String>,
    /// What pulls at the lower end
    #[arg(long, value_name = "TEXT")]
    pub lower: Option<String>,
    /// Its width or diameter, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub lower_size: Option<String>,
    /// Where it lies, mm from the middle of the window, above 0 toward the gate
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub lower_offset: Option<String>,
    /// State of the gate: closed, half or open
    #[arg(long, value_name = "STATE")]
    pub gate: Option<String>,
    /// How far the pin of a half-shut gate is engaged, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub engaged: Option<String>,
    /// The model that stands for the sample: a file, or a built-in name. Its text is kept
    #[arg(long, value_name = "MODEL")]
    pub model: Option<String>,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
}

/// What a pull gave.
#[derive(Clone, Debug, Default, PartialEq, Args)]
pub struct ResultFields {
    /// When it was pulled: 2026-05-03, or with its time in UTC, "2026-05-03 14:05"
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    pub date: Option<String>,
    /// The highest load: kN, or with its unit, "5400 lbf". `log add` takes that of the trace where it is not told
    #[arg(long, value_name = "KN", allow_hyphen_values = true)]
    pub peak: Option<String>,
    /// How it ended: broke, opened, "strap broke" or stopped
    #[arg(long, value_name = "OUTCOME")]
    pub outcome: Option<String>,
    /// Where it was found broken, as `explain --where` has it
    #[arg(long = "where", value_name = "PART")]
    pub place: Option<String>,
    /// A photo: its name is kept, and its hash if it can be read
    #[arg(long, value_name = "FILE")]
    pub photo: Option<PathBuf>,
    /// Whatever else there is to say, up to 4000 letters
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    pub remark: Option<String>,
    /// What the load cell wrote, up to 64 MiB; it is kept whole
    #[arg(long, value_name = "FILE")]
    pub trace: Option<PathBuf>,
}

/// Arguments of `log plan`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogPlanArguments {
    /// The model that stands for the sample: a file, or a built-in name. Its rig is that of the pull; its text is kept
    #[arg(value_name = "MODEL")]
    pub model: String,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Forecast with the constants that pulls have told, kept under this name by `log calibrate`
    #[arg(long, value_name = "NAME")]
    pub calibration: Option<String>,
    /// The sample
    #[command(flatten)]
    pub sample: SampleFields,
}

/// Arguments of `log calibrate`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogCalibrateArguments {
    /// The name to keep it under, up to 60 letters. One that is taken is refused: nothing is replaced
    #[arg(value_name = "NAME")]
    pub name: String,
    /// Which pulls
    #[command(flatten)]
    pub filter: FilterFields,
    /// Print JSON instead of text, and write no picture
    #[arg(long)]
    pub json: bool,
    /// Tell what these pulls say, and keep nothing
    #[arg(long)]
    pub dry_run: bool,
    /// Folder for calibration.png, calibration.svg, calibration-phone.png, calibration-phone.svg and calibration.json [default: pullmap-out/calibration-NAME]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// Arguments of `log calibrations`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogCalibrationsArguments {
    /// Print JSON instead of a table
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `log add`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogAddArguments {
    /// Number of a pull that was planned [default: a new pull]
    #[arg(value_name = "NUMBER", value_parser = clap::value_parser!(i64).range(1..))]
    pub number: Option<i64>,
    /// The sample
    #[command(flatten)]
    pub sample: SampleFields,
    /// The rig
    #[command(flatten)]
    pub rig: RigFields,
    /// The result
    #[command(flatten)]
    pub result: ResultFields,
}

/// Arguments of `log amend`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogAmendArguments {
    /// Number of the pull
    #[arg(value_name = "NUMBER", value_parser = clap::value_parser!(i64).range(1..))]
    pub number: i64,
    /// Why
    #[arg(long, value_name = "REASON")]
    pub why: String,
    /// Take a value back that should not have been told; may be repeated
    #[arg(long, value_name = "FIELD", value_parser = fields())]
    pub clear: Vec<String>,
    /// The sample
    #[command(flatten)]
    pub sample: SampleFields,
    /// The rig
    #[command(flatten)]
    pub rig: RigFields,
    /// The result
    #[command(flatten)]
    pub result: ResultFields,
}

/// The fields that may be taken back.
fn fields() -> clap::builder::PossibleValuesParser {
    let words = Field::ALL.into_iter().filter(|field| !field.is_needed()).map(Field::word);
    words.collect::<Vec<_>>().into()
}

/// Arguments of `log list`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogListArguments {
    /// Which pulls
    #[command(flatten)]
    pub filter: FilterFields,
    /// Also pulls that are withdrawn
    #[arg(long)]
    pub withdrawn: bool,
    /// Print JSON instead of a table
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `log score`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogScoreArguments {
    /// Which pulls
    #[command(flatten)]
    pub filter: FilterFields,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `log show`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogShowArguments {
    /// Number of the pull
    #[arg(value_name = "NUMBER", value_parser = clap::value_parser!(i64).range(1..))]
    pub number: i64,
    /// Print JSON instead of text
    #[arg(long)]
    pub json: bool,
    /// Write the trace that is kept to this file, byte for byte
    #[arg(long, value_name = "FILE")]
    pub save_trace: Option<PathBuf>,
    /// Write the text of the model that is kept to this file
    #[arg(long, value_name = "FILE")]
    pub save_model: Option<PathBuf>,
}

/// Arguments of `log withdraw`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogWithdrawArguments {
    /// Number of the pull
    #[arg(value_name = "NUMBER", value_parser = clap::value_parser!(i64).range(1..))]
    pub number: i64,
    /// Why
    #[arg(long, value_name = "REASON")]
    pub why: String,
}

/// Arguments of `log export`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogExportArguments {
    /// The file to write: its name ends in .csv or .json
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Which pulls
    #[command(flatten)]
    pub filter: FilterFields,
    /// Write over a file that is there already
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `log import`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct LogImportArguments {
    /// The package
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
}
