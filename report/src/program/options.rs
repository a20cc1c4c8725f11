//! Options that are refused, or not taken as they were typed.

use crate::numbers::plain;
use crate::quantities::{mistake, range_in_words, with_unit};
use std::fmt;
use study::model::quantity::{Dimension, QuantityError};

/// Why the value of an option is refused.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// No key and value with an equals sign between.
    NoPair,
    /// No quantity.
    NoQuantity(QuantityError),
    /// A number out of its range, in the base unit of its dimension.
    Outside {
        /// The number.
        found: f64,
        /// The least and the most.
        allowed: [f64; 2],
        /// Of what it is a number.
        dimension: Dimension,
    },
    /// No number at all where a plain one is wanted.
    NoNumber {
        /// What was typed.
        found: String,
        /// The least and the most.
        allowed: [f64; 2],
    },
    /// A comma in a percentage.
    Comma {
        /// What was typed.
        found: String,
    },
    /// No percentage within its range.
    NoPercentage {
        /// What was typed.
        found: String,
        /// The least and the most, percent.
        allowed: [f64; 2],
    },
    /// No day.
    NoDay {
        /// What was typed.
        found: String,
    },
    /// No share, or one outside its range, parts of one.
    NoShare {
        /// What was typed.
        found: String,
        /// The least and the most.
        allowed: [f64; 2],
    },
    /// A file of another kind than fields are written as.
    NoFieldsFile,
    /// A size that no still is made in.
    NoSize {
        /// Those that one is, pixels across and down.
        allowed: &'static [[u32; 2]],
    },
}

impl std::error::Error for Refusal {}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPair => f.write_str("allowed: KEY=VALUE, such as nose.tip_mm=14"),
            Self::NoQuantity(error) => f.write_str(&mistake(error)),
            Self::Outside { found, allowed, dimension } => {
                let allowed = range_in_words(*allowed, *dimension);
                write!(f, "found {}; allowed: {allowed}", with_unit(*found, *dimension))
            }
            Self::NoNumber { found, allowed } => {
                write!(f, "found {found}; allowed: {}", range_in_words(*allowed, Dimension::Ratio))
            }
            Self::Comma { found } => {
                write!(f, "found {found} with a comma; allowed: a decimal point, such as 0.5%")
            }
            Self::NoPercentage { found, allowed: [low, high] } => {
                write!(f, "found {found}; allowed: {} to {} %, such as 2%", plain(*low), plain(*high))
            }
            Self::NoDay { found } => write!(f, "found {found}; allowed: a day such as 2026-05-03"),
            Self::NoShare { found, allowed: [low, high] } => {
                let [least, most] = [low, high].map(|part| plain(100.0 * part));
                let percent = (50.0 * (low + high)).round();
                let [percent, as_part] = [percent, 0.01 * percent].map(plain);
                write!(f, "found {found}; allowed: {least} to {most} %, such as {percent}% or {as_part}")
            }
            Self::NoFieldsFile => f.write_str("allowed: a file name that ends in .vtu"),
            Self::NoSize { allowed } => {
                let sizes: Vec<String> = allowed.iter().copied().map(size).collect();
                write!(f, "allowed: {}, all", sizes.join(", "))
            }
        }
    }
}

/// A size as it is typed: `1920x1080`.
#[must_use]
pub fn size([across, down]: [u32; 2]) -> String {
    format!("{across}x{down}")
}

/// One field file was named for several models.
pub const ONE_FIELDS_FILE: &str =
    "--fields names one file, and there are several models\n  hint: map them one at a time";
/// A still was asked of no model.
pub const NO_MODEL: &str = "there is nothing to show\n  hint: name a model";

/// A note that displacements are enlarged by less than was asked for.
#[must_use]
pub fn less_enlarged(asked: f64, most: f64) -> String {
    format!(
        "Note: --show-shape {asked}: allowed for this pull are up to {most}, beyond which the drawn shape is no connector any \
         more; {most} is used\n"
    )
}
