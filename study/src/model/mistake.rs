//! What can be wrong with a model file.
//!
//! Each mistake carries the place, the key, what was found and what is allowed, as data; what to do instead follows where it
//! is clear. All mistakes of a file are found together, in the order of its lines: somebody who types thirty numbers from a
//! caliper should not have to run the program thirty times.

use super::dimension::Dimension;
use super::hint::Hint;
use super::keys::Key;
use super::misfit::Misfit;
use super::quantity::QuantityError;
use super::raw::{Place, Syntax, Value};
use std::fmt;

/// What is wrong with one value.
#[derive(Clone, Debug, PartialEq)]
pub enum Problem {
    /// The text is not TOML.
    NotToml(Syntax),
    /// A `--set` that names no key.
    NoKey,
    /// A key that no model file has.
    UnknownKey,
    /// A key that must be there.
    Missing(&'static Key),
    /// A value where a table is wanted.
    NotATable(Value),
    /// A value of the wrong form.
    WrongForm(WrongForm),
    /// A text that is not a quantity.
    Quantity(QuantityError),
    /// A number outside its range, or not finite.
    OutOfRange {
        /// The number, in the base unit of its dimension.
        found: f64,
        /// Smallest allowed value.
        low: f64,
        /// Largest allowed value.
        high: f64,
        /// What it measures.
        dimension: Dimension,
    },
    /// A word that is not one of the allowed ones.
    UnknownWord {
        /// The word.
        found: String,
        /// The allowed words.
        allowed: Vec<&'static str>,
    },
    /// A key that has no meaning beside the others.
    Unused(Unused),
    /// Two keys that give the same value, one by what a caliper reads.
    BothGiven([&'static Key; 2]),
    /// Numbers that do not fit each other.
    DoesNotFit(Misfit),
    /// A load across the connector.
    LoadAcross,
}

/// A value of the wrong form.
#[derive(Clone, Debug, PartialEq)]
pub enum WrongForm {
    /// Something else where a text is wanted.
    NoText(Value),
    /// A text that is empty, too long, on several lines, or holds control letters.
    OddText {
        /// The text.
        text: String,
        /// How many letters it has.
        letters: usize,
    },
    /// Something else where a number is wanted.
    NoNumber {
        /// What was found.
        found: Value,
        /// What the number measures.
        wanted: Dimension,
    },
    /// A table that is no number with its range.
    NoRange(Value),
    /// A list where one number or four are wanted.
    CornerList(Value),
    /// A number with a long dash for its minus, outside quotes.
    LongDash(String),
    /// A number with its unit outside quotes.
    UnquotedQuantity(String),
    /// A word outside quotes.
    UnquotedWord(String),
}

/// Why a key has no meaning beside the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unused {
    /// The breadth of a round bar.
    RoundBreadth,
    /// The flange of a bar without flanges.
    NoFlanges,
    /// The web of a bar without one.
    NoWeb,
    /// A key of a strap, beside a bench bar.
    OfStrap,
    /// The diameter of a bench bar, beside a strap.
    OfBar,
}

/// A mistake and its place.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelMistake {
    /// The file, as it was named.
    pub file: String,
    /// Where in it, or on the command line.
    pub place: Place,
    /// The key; empty when the file as a whole is meant.
    pub key: String,
    /// What is wrong.
    pub problem: Problem,
    /// What to do instead.
    pub hint: Option<Hint>,
    /// The range as it was written, where the value is one: what is wrong is then told of its middle or one of its ends.
    pub range: Option<Value>,
}

/// All mistakes of a model, at least one, in order of place.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelErrors(pub Vec<ModelMistake>);

impl std::error::Error for ModelErrors {}

impl fmt::Display for ModelErrors {
    /// For logs and failing tests: keys and types, one mistake a line.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for mistake in &self.0 {
            writeln!(f, "{} {:?} {:?}", mistake.key, mistake.place, mistake.problem)?;
        }
        Ok(())
    }
}
