//! What can be wrong with a sweep as it was asked for.

use crate::model::hint::Hint;
use crate::model::keys::Idle;
use crate::model::quantity::{Dimension, QuantityError};
use crate::model::{ModelErrors, Problem};
use std::fmt;

/// A slip in what was asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum SweepMistake {
    /// More keys than can be drawn.
    TooManyKeys {
        /// How many.
        found: usize,
    },
    /// No model file has this key.
    UnknownKey {
        /// The key.
        key: String,
        /// What to write instead.
        hint: Option<Hint>,
    },
    /// A table, where a key in it is meant.
    Table {
        /// The table.
        key: String,
    },
    /// A key that no result depends on.
    ChangesNothing {
        /// The key.
        key: String,
        /// Why nothing does.
        because: Idle,
    },
    /// The depth of engagement beside a gate that is never half shut.
    IdleDepth,
    /// One key varied twice.
    Twice {
        /// The key.
        key: String,
    },
    /// A key both set and varied.
    SetAsWell {
        /// The varied key.
        key: String,
        /// The set key.
        set: String,
    },
    /// Values that cannot be read.
    Value {
        /// The key.
        key: String,
        /// The values as typed.
        text: String,
        /// What is wrong.
        problem: ValueProblem,
    },
    /// More points than a slip of the pen should cost.
    TooMany {
        /// How many.
        found: usize,
    },
    /// More points than any sweep may have.
    FarTooMany {
        /// How many, where they can be counted.
        found: Option<usize>,
    },
}

/// What is wrong with the values of a varied key.
#[derive(Clone, Debug, PartialEq)]
pub enum ValueProblem {
    /// Nothing stands where a value is wanted.
    Missing,
    /// A text that is no quantity.
    Quantity(QuantityError),
    /// A number outside the range of its key.
    OutOfRange {
        /// The number, in the base unit of its dimension.
        found: f64,
        /// Smallest and largest allowed value.
        allowed: [f64; 2],
        /// What it measures.
        dimension: Dimension,
    },
    /// A word that the key does not know, and what was meant.
    Word(Problem, Option<Hint>),
    /// A range of fewer than two points.
    TooFewPoints,
    /// A number of points that is no whole number.
    NoWholeNumber,
    /// A range without its number of points.
    NoCount,
    /// A range that begins where it ends.
    EmptyRange,
    /// A list of fewer than two values.
    TooFewValues,
    /// A value that is listed twice, to six digits.
    Twice(String),
}

/// Why there is no plan of a sweep.
#[derive(Clone, Debug)]
pub enum PlanError {
    /// Slips in what was asked for, at least one; and those of the model, where it has any.
    Asked {
        /// What was asked for.
        asked: Vec<SweepMistake>,
        /// The model.
        model: Option<ModelErrors>,
    },
    /// The model is wrong, whatever the values of the sweep.
    Model(ModelErrors),
}

impl From<ModelErrors> for PlanError {
    fn from(errors: ModelErrors) -> Self {
        Self::Model(errors)
    }
}

impl std::error::Error for PlanError {}

impl fmt::Display for PlanError {
    /// For logs and failing tests: types, one mistake a line.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (asked, model) = match self {
            Self::Asked { asked, model } => (asked.as_slice(), model.as_ref()),
            Self::Model(errors) => (&[][..], Some(errors)),
        };
        for mistake in asked {
            writeln!(f, "{mistake:?}")?;
        }
        model.map_or(Ok(()), |errors| errors.fmt(f))
    }
}
