//! What a sweep varies: keys of the key table, each with the values that it takes.

use crate::model::To;
use crate::model::hint::at_both_ends;
use crate::model::keys::{self, Key};
use crate::model::quantity::Dimension;

/// A key that is varied, or the two of both ends of the rig at once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum VariedKey {
    /// A key.
    One(&'static Key),
    /// The same key of both ends: that of the upper one.
    BothEnds(&'static Key),
}

impl VariedKey {
    /// The key of a path as it is typed, `rig.both.x` for two; `None` where no model file has it.
    #[must_use]
    pub fn find(path: &str) -> Option<Self> {
        match path.strip_prefix("rig.both.") {
            Some(rest) => keys::find(&format!("rig.upper.{rest}")).map(Self::BothEnds),
            None => keys::find(path).map(Self::One),
        }
    }

    /// Its path as it is typed: `nose.notch_depth_mm`, `rig.both.offset_mm`.
    #[must_use]
    pub fn path(self) -> String {
        match self {
            Self::One(key) => key.path.clone(),
            Self::BothEnds(upper) => at_both_ends(&upper.path),
        }
    }

    /// The key of the file, of both ends that of the upper one.
    #[must_use]
    pub fn in_file(self) -> &'static Key {
        match self {
            Self::One(key) | Self::BothEnds(key) => key,
        }
    }
}

/// A key and the values that it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Varied {
    /// The key.
    pub key: VariedKey,
    /// Its values, at least two.
    pub values: Values,
}

impl Varied {
    /// What its values measure; `None` for words.
    #[must_use]
    pub fn dimension(&self) -> Option<Dimension> {
        match &self.values {
            Values::Numbers { dimension, .. } => Some(*dimension),
            Values::Words(_) => None,
        }
    }

    /// The unit of its values; empty for words and plain numbers.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        self.dimension().map_or("", Dimension::base_unit)
    }
}

/// The values of a varied key.
#[derive(Clone, Debug, PartialEq)]
pub enum Values {
    /// Numbers, in the base unit of what the key measures.
    Numbers {
        /// What the key measures.
        dimension: Dimension,
        /// In the order of the sweep.
        values: Vec<f64>,
    },
    /// Words.
    Words(Vec<String>),
}

impl Values {
    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        match self {
            Self::Numbers { values, .. } => values.len(),
            Self::Words(words) => words.len(),
        }
    }

    /// True without values; never so in a sweep.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// A value, to be put over the model's.
    #[must_use]
    pub fn to(&self, at: usize) -> To {
        match self {
            Self::Numbers { values, .. } => To::Number(values[at]),
            Self::Words(words) => To::Typed(words[at].clone()),
        }
    }

    /// A value as `--set` would be given it.
    #[must_use]
    pub fn text(&self, at: usize) -> String {
        match self {
            Self::Numbers { values, .. } => values[at].to_string(),
            Self::Words(words) => words[at].clone(),
        }
    }

    /// From the first to the last, where the numbers rise or fall all the way.
    #[must_use]
    pub fn is_in_order(&self) -> bool {
        self.numbers().is_some_and(|values| {
            let goes = |forth: bool| values.windows(2).all(|w| (w[1] > w[0]) == forth);
            goes(true) || goes(false)
        })
    }

    /// The numbers, if they are.
    #[must_use]
    pub fn numbers(&self) -> Option<&[f64]> {
        match self {
            Self::Numbers { values, .. } => Some(values),
            Self::Words(_) => None,
        }
    }
}
