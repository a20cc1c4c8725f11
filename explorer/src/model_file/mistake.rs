//! What can be wrong with a model file, told so that it can be put right without the manual.
//!
//! Each mistake carries the place, the key, what was found and what is allowed, and says them in that order on one
//! line; a hint follows on a line of its own. All mistakes of a file are reported together, in the order of its lines:
//! somebody who types thirty numbers from a caliper should not have to run the program thirty times.

use super::quantity::{Dimension, QuantityError, range_in_words, with_unit};
use super::raw::{Place, quoted};
use std::fmt;

/// What is wrong with one value.
#[derive(Clone, Debug, PartialEq)]
pub enum Problem {
    /// The file cannot be read; the words of the system.
    Unreadable(String),
    /// The text is not TOML; the words of the parser.
    NotToml(String),
    /// A `--set` that names no key.
    NoKey,
    /// A key that no model file has.
    UnknownKey,
    /// A key that must be there.
    Missing {
        /// What it is.
        about: &'static str,
        /// In which case it must be there; empty when always.
        when: &'static str,
    },
    /// A value where a table is wanted.
    NotATable {
        /// What was found.
        found: String,
    },
    /// A value of the wrong type.
    WrongType {
        /// What was found.
        found: String,
        /// What is allowed.
        allowed: String,
    },
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
    Unused {
        /// Why.
        because: &'static str,
    },
    /// Numbers that do not fit each other.
    DoesNotFit {
        /// What was found, with unit.
        found: String,
        /// What is allowed, with unit.
        allowed: String,
    },
    /// A load across the connector.
    LoadAcross,
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
    pub hint: Option<String>,
}

/// All mistakes of a model, at least one, in order of place.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelErrors(pub Vec<ModelMistake>);

impl std::error::Error for ModelErrors {}

/// Mistakes that are told one by one; a file with more is most likely no model file, or damaged.
const MOST_TOLD: usize = 30;

impl fmt::Display for ModelErrors {
    /// One mistake below the other. Of a file, and of the command line, the first thirty, then how many more.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (typed, written): (Vec<_>, Vec<_>) =
            self.0.iter().partition(|mistake| matches!(mistake.place, Place::Set(..)));
        let mut first = true;
        for (mistakes, of) in [(written, "of the same file"), (typed, "of --set")] {
            let told = mistakes.iter().take(MOST_TOLD).map(ToString::to_string);
            let more = mistakes.len().saturating_sub(MOST_TOLD);
            let s = if more == 1 { "" } else { "s" };
            let rest = (more > 0).then(|| format!("and {} more mistake{s} {of}", in_thousands(more)));
            for line in told.chain(rest) {
                let between = if std::mem::take(&mut first) { "" } else { "\n" };
                write!(f, "{between}{line}")?;
            }
        }
        Ok(())
    }
}

/// A count with a comma before every three digits: 99,969.
fn in_thousands(count: usize) -> String {
    let digits = count.to_string();
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

impl fmt::Display for ModelMistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.place {
            Place::Line(line) => write!(f, "{}:{line}: ", self.file)?,
            Place::File => write!(f, "{}: ", self.file)?,
            Place::Set(_, text) => write!(f, "--set {text}: ")?,
        }
        if !self.key.is_empty() {
            write!(f, "{}: ", self.key)?;
        }
        write!(f, "{}", self.problem)?;
        match &self.hint {
            Some(hint) => write!(f, "\n  hint: {hint}"),
            None => Ok(()),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(words) => write!(f, "cannot be read: {words}"),
            Self::NotToml(words) => write!(f, "not TOML: {words}"),
            Self::NoKey => write!(f, "found no key; allowed: key=value, such as nose.tip_mm=14"),
            Self::UnknownKey => write!(f, "found a key that no model file has"),
            Self::Missing { about, when: "" } => write!(f, "missing. {about}"),
            Self::Missing { about, when } => write!(f, "missing, and needed when {when}. {about}"),
            Self::NotATable { found } => write!(f, "found {found}; allowed: a table of keys"),
            Self::WrongType { found, allowed } | Self::DoesNotFit { found, allowed } => {
                write!(f, "found {found}; allowed: {allowed}")
            }
            Self::Quantity(error) => write!(f, "{error}"),
            Self::OutOfRange { found, low, high, dimension } => {
                let allowed = range_in_words([*low, *high], *dimension);
                write!(f, "found {}; allowed: {allowed}", with_unit(*found, *dimension))
            }
            Self::UnknownWord { found, allowed } => {
                write!(f, "found {}; allowed: {}", quoted(found), allowed.join(", "))
            }
            Self::Unused { because } => write!(f, "found, but it has no meaning here: {because}"),
            Self::LoadAcross => write!(
                f,
                "found a load across the connector, which is not modelled: only pulls along the major axis are"
            ),
        }
    }
}
