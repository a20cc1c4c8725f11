//! Arguments of the commands that answer one question about a connector: `map`, `forecast`, `explain`, `seats`, `reach`, `levers`.

use super::change::Change;
use super::values::{accuracy, enlargement, load, mesh_size, set_found, steps, vtu_file};
use clap::{Args, ValueEnum};
use lab::logbook::DEFAULT_FILE;
use solver::causes::Place;
use solver::pull_to_failure::DEFAULT_STEPS;
use std::path::PathBuf;

/// Arguments of `map`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct MapArguments {
    /// Models: files, or built-in names (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL", required = true)]
    pub models: Vec<String>,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// The load in use: tell how far first yield, failure and marking lie above it, in kN and as a factor (the same as --set
    /// rig.working_load_kn=KN)
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub working_load: Option<f64>,
    /// Print the findings as JSON on the standard output, and write no files but those of --fields
    #[arg(long)]
    pub json: bool,
    /// Folder for map.png, map.svg and findings.json [default: pullmap-out/MODEL]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// What the colours show
    #[arg(long, value_name = "NAME", default_value = "von-mises")]
    pub field: Field,
    /// Write displacements, stresses and forces to this .vtu file, and an .npz file of the same name
    #[arg(long, value_name = "FILE.vtu", value_parser = vtu_file)]
    pub fields: Option<PathBuf>,
    /// Size of the elements where they are small, mm, 0.1 to 5 [default: chosen for 12,300 to 14,900 unknowns]
    #[arg(long, value_name = "MM", value_parser = mesh_size, allow_hyphen_values = true)]
    pub mesh_size: Option<f64>,
    /// Refine the mesh where its error is largest until trusted peaks move by less than this from one mesh to the next:
    /// 2%, between 0.1% and 20%. Exit code 1 when that is not reached within 200,000 unknowns
    #[arg(long, value_name = "PERCENT", value_parser = accuracy, allow_hyphen_values = true)]
    pub accuracy: Option<f64>,
    /// Vary mesh, straps, clearance, every measure given as a range and every unknown metal, one at a time, and tell what that
    /// does to the numbers
    #[arg(long)]
    pub sensitivity: bool,
    /// Tell how long each step took
    #[arg(long)]
    pub timing: bool,
    /// Draw the deformed outline as well, its displacements this many times enlarged
    #[arg(long, value_name = "N", value_parser = enlargement, allow_hyphen_values = true)]
    pub show_shape: Option<f64>,
}

/// What the colours of a map show.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Field {
    /// Equivalent stress: what yield strength is compared with
    VonMises,
    /// Stress along the pull, tension and compression apart
    PullDirection,
    /// The larger principal stress by size, with its sign
    Principal,
    /// Lines along the principal directions, as thick as the force they carry
    Trajectories,
}

/// Arguments of `forecast`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct ForecastArguments {
    /// Models: files, or built-in names (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL", required = true)]
    pub models: Vec<String>,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// The load in use: tell how far first yield, failure and marking lie above it, in kN and as a factor (the same as --set
    /// rig.working_load_kn=KN)
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub working_load: Option<f64>,
    /// Take the constants that pulls have told, kept under this name by `log calibrate`
    #[arg(long, value_name = "NAME", conflicts_with = "pulled")]
    pub calibration: Option<String>,
    /// The logbook that keeps it
    #[arg(long, value_name = "FILE", default_value = DEFAULT_FILE, requires = "calibration")]
    pub logbook: PathBuf,
    /// Print the forecast as JSON on the standard output, and write no files
    #[arg(long)]
    pub json: bool,
    /// Folder for forecast.png, forecast.svg and forecast.json [default: pullmap-out/MODEL]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Pull it in a simulation as well, as `pull` does, and print both limit by limit, with what makes them differ; takes minutes
    #[arg(long)]
    pub pulled: bool,
    /// End with exit code 1 when, with everything at its middle, a part of any model breaks or its pull ends below this load
    /// in kN
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub at_least: Option<f64>,
}

/// Arguments of `explain`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct ExplainArguments {
    /// The model as entered, and where what was found goes
    #[command(flatten)]
    pub question: QuestionArguments,
    /// Highest load of the pull: kN, or with a unit
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub broke_at: f64,
    /// Where it was found broken, such as lip, "nose pin", "hinge pin", gate, "nose root", spine, "upper corner", or a part as a
    /// forecast names it
    #[arg(long = "where", value_name = "PART", value_parser = report::places::typed)]
    pub place: Option<Place>,
}

/// Arguments of a question about one model: `seats`, `levers`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct QuestionArguments {
    /// The model: a file, or a built-in name (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL")]
    pub model: String,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Print what was found as JSON on the standard output, and write no files
    #[arg(long)]
    pub json: bool,
    /// Folder for the picture, as PNG and SVG, and the JSON, all named as the command [default: pullmap-out/MODEL]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// Arguments of `pull`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct PullArguments {
    /// Which model, and where what was found goes
    #[command(flatten)]
    pub question: QuestionArguments,
    /// End the pull at this load: kN, or with a unit [default: where it fails]
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub until: Option<f64>,
    /// Steps to the end, about, 20 to 240
    #[arg(long, value_name = "N", value_parser = steps, default_value_t = DEFAULT_STEPS, allow_hyphen_values = true)]
    pub steps: u32,
    /// Unload it from this load as well: what stays, whether the gate still shuts, residual stress, and a second pull
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub unload_from: Option<f64>,
    /// It was found bent, its load centres so much farther apart than before, mm, 0.001 to 100: which load has it seen?
    #[arg(long, value_name = "MM", value_parser = set_found, allow_hyphen_values = true)]
    pub set_found: Option<f64>,
    /// Size of the elements where they are small, mm, 0.1 to 5 [default: chosen for about 10,000 unknowns]
    #[arg(long, value_name = "MM", value_parser = mesh_size, allow_hyphen_values = true)]
    pub mesh_size: Option<f64>,
}

/// Arguments of `reach`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct ReachArguments {
    /// Which model, and where what was found goes
    #[command(flatten)]
    pub question: QuestionArguments,
    /// The load to be held: kN, or with a unit [default: what is marked, for each state of the gate]
    #[arg(long, value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub load: Option<f64>,
}
