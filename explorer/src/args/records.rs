//! Arguments of the commands about what a bench has recorded: `trace`.

use clap::{Args, ValueEnum};
use lab::force_unit::ForceUnit;
use lab::trace::Asked;
use lab::trace::clock::RATES_HZ;
use lab::trace::number::Decimal;
use serde::Deserialize;
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

/// What overrules what a trace says of itself, each as it is typed behind its option.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
pub struct TypedAsked {
    /// Unit of the loads.
    pub unit: Option<String>,
    /// Samples a second.
    pub rate: Option<String>,
    /// The column of the load.
    pub column: Option<String>,
    /// The mark between whole and part.
    pub decimal: Option<String>,
    /// Counts of one unit of load.
    pub counts_per_unit: Option<String>,
    /// Counts without load.
    pub zero_counts: Option<String>,
    /// Which of several recordings.
    pub part: Option<String>,
}

impl TypedAsked {
    /// The same as it is read behind the options.
    ///
    /// # Errors
    /// Every value that may not be, after the name of its field.
    pub fn asked(&self) -> Result<Asked, Vec<(&'static str, String)>> {
        let mut wrong = Vec::new();
        let unit = typed(&mut wrong, "unit", self.unit.as_deref(), unit);
        let rate_hz = typed(&mut wrong, "rate", self.rate.as_deref(), rate);
        let decimal = typed(&mut wrong, "decimal", self.decimal.as_deref(), mark);
        let counts_per_unit = typed(&mut wrong, "counts_per_unit", self.counts_per_unit.as_deref(), scale);
        let zero_counts = typed(&mut wrong, "zero_counts", self.zero_counts.as_deref(), counts);
        let part = typed(&mut wrong, "part", self.part.as_deref(), part);
        let column = self.column.clone().filter(|name| !name.trim().is_empty());
        if wrong.is_empty() {
            Ok(Asked { unit, rate_hz, column, decimal, counts_per_unit, zero_counts, part })
        } else {
            Err(wrong)
        }
    }
}

/// A value of a field, where one was typed.
fn typed<T>(
    wrong: &mut Vec<(&'static str, String)>,
    field: &'static str,
    text: Option<&str>,
    read: fn(&str) -> Result<T, String>,
) -> Option<T> {
    let text = text.filter(|text| !text.trim().is_empty())?;
    read(text).map_err(|why| wrong.push((field, why))).ok()
}

fn mark(text: &str) -> Result<Decimal, String> {
    let mark = DecimalMark::from_str(text.trim(), true);
    mark.map(Into::into).map_err(|_| report::trace::no_decimal(text))
}

fn part(text: &str) -> Result<usize, String> {
    text.trim().parse().map_err(|_| report::trace::no_part(text))
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
