//! Arguments of the commands that end in a page for the browser: `explore` and `verify`.

use super::change::Change;
use clap::Args;
use std::net::IpAddr;
use std::path::PathBuf;

/// Arguments of `explore`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct ExploreArguments {
    /// The model to open with: a file, or a built-in name (broadbar-alu, broadbar-steel, offset-d, oval, pear)
    #[arg(value_name = "MODEL", default_value = "broadbar-alu")]
    pub model: String,
    /// Values that take the place of the model's
    #[command(flatten)]
    pub change: Change,
    /// Port to listen on; 0 takes a free one. Left out: 7855, or a free one when something else holds it
    #[arg(long, value_name = "N")]
    pub port: Option<u16>,
    /// Address to listen on. Any other than the default lets other machines use the page
    #[arg(long, value_name = "A", default_value = "127.0.0.1")]
    pub address: IpAddr,
    /// The logbook whose pulls the page lists, and that it records in [default: pullmap-logbook.sqlite]. With another --address it is
    /// read there, and nothing is recorded
    #[arg(long, value_name = "FILE")]
    pub logbook: Option<PathBuf>,
    /// Show the page in a browser
    #[arg(long)]
    pub open: bool,
}

/// Arguments of `verify`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct VerifyArguments {
    /// Print the results as JSON, and write no file
    #[arg(long)]
    pub json: bool,
    /// Folder for verification.html
    #[arg(long, value_name = "DIR", default_value = "pullmap-out")]
    pub out: PathBuf,
}
