//! Arguments of the commands about what a bench has recorded: `trace`.

use clap::{Args, ValueEnum};
use lab::force_unit::ForceUnit;
use lab::trace::clock::RATES_HZ;
use lab::trace::number::Decimal;
use std::path::PathBuf;

/// Arguments of `trace`.
#[derive(Clone, Debug, PartialEq, Args)]
pub struct TraceArguments {
    /// Files of load cells, as the logger wrote them
    #[arg(value_name = "FILE", required = true)]
    pub files: Vec<PathBuf>,
    /// Unit of the loads, whatever the file says: N, daN, kN, gf, kgf, tf, lbf, klbf
    #[arg(long, value_name = "UNIT", value_parser = unit)]
    pub unit: Option<ForceUnit>,
    /// Samples a second: times are counted, whatever the file says
    #[arg(long, value_name = "HZ", value_parser = rate, allow_hyphen_values = true)]
    pub rate: Option<f64>,
    /// The column of the load: its name, or its number from 1
    #[arg(long, value_name = "COLUMN")]
    pub column: Option<String>,
    /// The mark between whole and part of the file's numbers
    #[arg(long, value_name = "MARK")]
    pub decimal: Option<DecimalMark>,
    /// Counts of one unit of load, for a file of raw counts
    #[arg(long, value_name = "N", value_parser = scale, allow_hyphen_values = true)]
    pub counts_per_unit: Option<f64>,
    /// Counts without load, for a file of raw counts
    #[arg(long, value_name = "N", value_parser = counts, allow_hyphen_values = true)]
    pub zero_counts: Option<f64>,
    /// Which of several recordings in one file, from 1
    #[arg(long, value_name = "N")]
    pub part: Option<usize>,
    /// The two files are of one pull: lay their clocks over each other and tell how the cells agree
    #[arg(long)]
    pub same_pull: bool,
    /// Print the readings as JSON on the standard output, and write no files
    #[arg(long)]
    pub json: bool,
    /// Folder for trace.png, trace.svg, trace-phone.png, trace-phone.svg and trace.json [default: pullmap-out/FILE]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// The mark between whole and part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum DecimalMark {
    /// 12.5
    Point,
    /// 12,5
    Comma,
}

impl From<DecimalMark> for Decimal {
    fn from(mark: DecimalMark) -> Self {
        match mark {
            DecimalMark::Point => Self::Point,
            DecimalMark::Comma => Self::Comma,
        }
    }
}

fn unit(text: &str) -> Result<ForceUnit, String> {
    ForceUnit::of(text.trim()).ok_or_else(|| report::trace::no_unit(text))
}

fn rate(text: &str) -> Result<f64, String> {
    let hz = text.trim().parse::<f64>().ok().filter(|hz| (RATES_HZ[0]..=RATES_HZ[1]).contains(hz));
    hz.ok_or_else(|| report::trace::no_rate(text))
}

fn scale(text: &str) -> Result<f64, String> {
    let many = text.trim().parse::<f64>().ok().filter(|many| many.is_finite() && *many != 0.0);
    many.ok_or_else(|| report::trace::no_scale(text))
}

fn counts(text: &str) -> Result<f64, String> {
    text.trim().parse::<f64>().ok().filter(|v| v.is_finite()).ok_or_else(|| report::trace::no_counts(text))
}
