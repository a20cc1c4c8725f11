//! Arguments of the commands about a model itself: `new`, `sketch`, `materials`; and of those about the program: `completions`,
//! `manual`.

use super::change::Change;
use clap::Args;
use clap_complete::Shell;
use std::path::PathBuf;

/// Arguments of `new`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct NewArguments {
    /// The file to write
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Take the numbers of this model: a file, or a built-in name
    #[arg(long, value_name = "MODEL", default_value = "broadbar-alu")]
    pub like: String,
    /// Write over a file that is there already
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `sketch`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct SketchArguments {
    /// The model: a file, or a built-in name (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL")]
    pub model: String,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Folder for the drawing [default: pullmap-out/MODEL]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// Arguments of `materials`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct MaterialsArguments {
    /// Print JSON instead of a table
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `completions`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct CompletionsArguments {
    /// The shell that is to complete commands and options
    #[arg(value_name = "SHELL")]
    pub shell: Shell,
}

/// Arguments of `manual`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct ManualArguments {
    /// Folder for the pages, one for each command
    #[arg(long, value_name = "DIR", default_value = "man")]
    pub out: PathBuf,
}
