//! Why a file gives no reading, and what to do.

use crate::numbers::{plain, typed};
use lab::force_unit::ForceUnit;
use lab::trace::TraceError;
use lab::trace::clock::RATES_HZ;

/// Two files that are laid over each other need one cell each.
pub const NOT_TWO_CELLS: &str =
    "--same-pull lays the cells of exactly two files over each other; give two, each a trace over time";

/// Files that cannot be laid over each other.
#[must_use]
pub fn no_overlap(first: &str, second: &str) -> String {
    format!(
        "{first} and {second} do not go together as two cells on one pull do: they differ by more than a quarter, scatter by more than 5 %, hardly \
         overlap, or one has no clock; without --same-pull each is told by itself"
    )
}

/// The units of a load.
fn units() -> String {
    ForceUnit::ALL.map(ForceUnit::sign).join(", ")
}

/// A unit that is none.
#[must_use]
pub fn no_unit(found: &str) -> String {
    format!("found {found}; allowed: {}", units())
}

/// Counts that are no number.
#[must_use]
pub fn no_counts(found: &str) -> String {
    format!("found {found}; allowed: a number, such as 8388")
}

/// A rate that is none.
#[must_use]
pub fn no_rate(found: &str) -> String {
    let [low, high] = RATES_HZ.map(plain);
    format!("found {found}; allowed: samples a second, {low} to {high}, such as 100")
}

/// A scale that is none.
#[must_use]
pub fn no_scale(found: &str) -> String {
    format!("found {found}; allowed: a number that is not zero, such as 4123.5")
}

fn list(columns: &[String]) -> String {
    columns.join(", ")
}

/// A decimal mark that is none.
#[must_use]
pub fn no_decimal(found: &str) -> String {
    format!("found {found}; allowed: point, comma")
}

/// A number of a recording that is none.
#[must_use]
pub fn no_part(found: &str) -> String {
    format!("found {found}; allowed: a whole number from 1")
}

/// How what is open is settled: by which words.
struct Settled {
    unit: &'static str,
    rate: &'static str,
    column: &'static str,
    decimal: &'static str,
    scale: &'static str,
    counts: &'static str,
    part: &'static str,
}

/// On the command line.
const BY_OPTIONS: Settled = Settled {
    unit: "--unit",
    rate: "--rate",
    column: "--column",
    decimal: "--decimal point or --decimal comma",
    scale: "--counts-per-unit",
    counts: "--counts-per-unit, --zero-counts and --unit",
    part: "--part",
};

/// On the page, where fields stand under the file.
const BY_FIELDS: Settled = Settled {
    unit: "the field Unit",
    rate: "the field Samples a second",
    column: "the field Column",
    decimal: "the field Decimal mark",
    scale: "the field Counts of a unit",
    counts: "the fields Counts of a unit, Counts without load and Unit",
    part: "the field Recording:",
};

/// The reason, with what to do.
#[must_use]
pub fn error(error: &TraceError) -> String {
    settled(error, &BY_OPTIONS)
}

/// The same on the page.
#[must_use]
pub fn error_on_a_page(error: &TraceError) -> String {
    settled(error, &BY_FIELDS)
}

/// A file without numbers is told to be none of those that the page takes.
#[must_use]
pub fn neither(file: &str, error: &TraceError) -> String {
    format!("{file} is neither a model file nor a trace of a load cell: {}", error_on_a_page(error))
}

fn settled(error: &TraceError, by: &Settled) -> String {
    let Settled { unit, rate, column: by_column, decimal, scale, counts, part } = by;
    match error {
        TraceError::Empty => "nothing stands in the file".to_owned(),
        TraceError::NoText => {
            "the file holds no text; give what the logger exports as text, such as CSV".to_owned()
        }
        TraceError::NoValues => {
            "no lines of numbers are found; give a table with a load in each line".to_owned()
        }
        TraceError::TooFew { found } => {
            format!(
                "only {found} loads are found; a curve needs three at least; for peaks alone give a list with a name, a peak and a unit in each line"
            )
        }
        TraceError::CommaTwice { line, pieces, columns } => format!(
            "line {line}: {pieces} pieces between commas, but {columns} columns: the comma stands both between the values and in them; export with a \
             semicolon or a decimal point"
        ),
        TraceError::HeadingWidth { line, named, found } => format!(
            "line {line}: {found} cells, but the heading names {named} columns; mend the heading, or export with another separator"
        ),
        TraceError::PeaksOrCurve { values } => format!(
            "{values} loads of one size in no order, without names and without a clock: are they peaks of several pulls, or a curve? For peaks give \
             each a name in front of it, such as A-1;24.1;kN; of a curve say the samples a second with {rate}"
        ),
        TraceError::TwoRates { line, hz } => format!(
            "line {line} says {} samples a second where an earlier one says {}; say which it is with {rate}",
            plain(hz[1]),
            plain(hz[0])
        ),
        TraceError::UnknownTime { line, found } => format!(
            "line {line}: {found} is no time that is read; allowed: seconds, or times such as 12:05:07.25 with or without a date; {rate} counts samples \
             instead"
        ),
        TraceError::TooLong { line, seconds } => format!(
            "line {line}: {} s after the first sample; allowed: up to 1,000,000 s; cut the file to the pull, or count samples with {rate}",
            plain(*seconds)
        ),
        TraceError::NoPull { change_kn } => format!(
            "no pull is found: the load changes by no more than {} kN; say the unit with {unit} if that is wrong",
            plain((1e4 * change_kn).round() / 1e4)
        ),
        TraceError::TwoWays { line, found } => format!(
            "line {line}: {found} can be read two ways; say which mark is the decimal one with {decimal}, or export with \
             another separator"
        ),
        TraceError::NoLoad { columns } => {
            format!("none of the columns ({}) is a load; name it with {by_column}", list(columns))
        }
        TraceError::WhichLoad { columns } => {
            format!("any of the columns {} may be the load; name it with {by_column}", list(columns))
        }
        TraceError::NoUnit { column } => {
            format!("column {column} has no unit; say it with {unit}: {}", units())
        }
        TraceError::TwoUnits { line, units } => format!(
            "line {line} says {} where the heading says {}; say which it is with {unit}",
            units[1].sign(),
            units[0].sign()
        ),
        TraceError::NoSuchColumn { wanted, columns } => {
            format!(
                "there is no column {wanted}; allowed: {}, or a number from 1 to {}",
                list(columns),
                columns.len()
            )
        }
        TraceError::NoNumbers { column } => {
            format!("column {column} holds no numbers; name another with {by_column}")
        }
        TraceError::NoScale { column } => format!(
            "column {column} holds raw counts, and nothing says how many are one unit of load; give {counts}"
        ),
        TraceError::BadScale { line: 0 } => format!("{scale} must not be zero"),
        TraceError::BadScale { line } => {
            format!("line {line}: counts of a unit of load must be a number other than zero; give {scale}")
        }
        TraceError::BadCell { line, column, found } => format!(
            "line {line}, column {column}: found {found}; allowed: a number, or nothing, - or OL where there is none; take the line out or mend it"
        ),
        TraceError::OtherLength { line, found, wanted } => {
            let cells = if *found == 1 { "cell" } else { "cells" };
            format!(
                "line {line}: {found} {cells} where other lines have {wanted}; take the line out or mend it"
            )
        }
        TraceError::SeveralParts { lines } => {
            let lines: Vec<String> = lines.iter().map(ToString::to_string).collect();
            format!(
                "the file holds {} recordings, from lines {} on; choose one with {part} 1 to {}",
                lines.len(),
                lines.join(", "),
                lines.len()
            )
        }
        TraceError::NoSuchPart { wanted, parts } => {
            format!("there is no part {wanted}; the file holds {parts}")
        }
        TraceError::TimeGoesBack { line, to_s, from_s } => format!(
            "line {line}: the clock goes back from {} to {} s after the first sample; take out what is not of this pull, or count samples with {rate}",
            plain(*from_s),
            plain(*to_s)
        ),
        TraceError::NotALoad { line, kn } => format!(
            "line {line}: {} kN is no load of a pull bench; allowed: up to 5000 kN; say the unit with {unit}, or the decimal mark with {decimal}",
            typed(*kn)
        ),
        TraceError::AllMissing => "no line holds a load: all are marked as missing or as too high".to_owned(),
    }
}
