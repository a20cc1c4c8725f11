//! Arguments of the commands that set variants beside each other: `compare`, `sweep`, and `still`, which may.

use super::answers::Field;
use super::change::Change;
use super::still_size::StillSize;
use super::values::{key_and_value, mesh_size, still_size};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// Arguments of `compare`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct CompareArguments {
    /// Models: files, or built-in names; one together with --vary, else two to six
    #[arg(value_name = "MODEL", required = true)]
    pub models: Vec<String>,
    /// Compare these values of one key, two to six. Example: --vary nose.notch_depth_mm=2,4,6
    #[arg(long, value_name = "KEY=VALUE,VALUE", value_parser = key_and_value)]
    pub vary: Option<(String, String)>,
    /// Values that take the place of each model's
    #[command(flatten)]
    pub change: Change,
    /// What the colours show
    #[arg(long, value_name = "NAME", default_value = "von-mises")]
    pub field: Field,
    /// Print the numbers as JSON on the standard output, and write no files
    #[arg(long)]
    pub json: bool,
    /// Folder for compare.png, compare.svg and compare.json [default: pullmap-out/MODEL, or pullmap-out/compare]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// Arguments of `sweep`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct SweepArguments {
    /// The model: a file, or a built-in name (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL")]
    pub model: String,
    /// A key and its values; once or twice. A range with its number of points (nose.notch_depth_mm=2.5..9:40), a list
    /// (nose.notch_depth_mm=2,4,6) or words (rig.gate=closed,open); units as for --set. rig.both.KEY varies both ends
    #[arg(long, value_name = "KEY=VALUES", required = true, value_parser = key_and_value)]
    pub vary: Vec<(String, String)>,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Folder for sweep.csv, sweep.json and the charts [default: pullmap-out/MODEL/sweep-KEY, or sweep-KEY-by-KEY]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Size of the elements where they are small, mm, 0.1 to 5 [default: chosen for about 8,000 unknowns]
    #[arg(long, value_name = "MM", value_parser = mesh_size, allow_hyphen_values = true)]
    pub mesh_size: Option<f64>,
    /// Throw away whatever sweep the folder holds, and begin anew
    #[arg(long)]
    pub restart: bool,
    /// Run more than 100,000 points
    #[arg(long)]
    pub yes: bool,
}

/// Arguments of `still`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct StillArguments {
    /// The model: a file, or a built-in name; two for --kind compare without --vary
    #[arg(value_name = "MODEL", required = true)]
    pub models: Vec<String>,
    /// What it shows [default: compare with --vary or two models, else map]
    #[arg(long, value_name = "KIND")]
    pub kind: Option<StillKind>,
    /// Compare two values of one key. Example: --vary rig.both.offset_mm=0,15
    #[arg(long, value_name = "KEY=VALUE,VALUE", value_parser = key_and_value)]
    pub vary: Option<(String, String)>,
    /// Values that take the place of each model's
    #[command(flatten)]
    pub change: Change,
    /// What the colours show
    #[arg(long, value_name = "NAME", default_value = "von-mises")]
    pub field: Field,
    /// Size in pixels; may be repeated: 1920x1080, 1080x1920, 1080x1080, 3840x2160, 2160x3840, 2160x2160, or all for
    /// the first three [default: all]
    #[arg(long, value_name = "SIZE", value_parser = still_size, value_delimiter = ',')]
    pub size: Vec<StillSize>,
    /// Leave the ground transparent, to be laid over a film
    #[arg(long)]
    pub transparent: bool,
    /// Folder for the stills and still.txt [default: pullmap-out/MODEL, or pullmap-out/compare]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// What a still shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum StillKind {
    /// The stress, who carries the load, and what fails first
    Map,
    /// The load at which each part reaches its limit
    Forecast,
    /// Two variants on one scale
    Compare,
}
