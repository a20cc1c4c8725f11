//! What would have given way before a load.

use serde::Serialize;
use std::fmt;

/// Something that would have given way before a load. As a string, and in JSON, it is a sentence.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(into = "String")]
pub struct Beyond {
    /// Load at which it goes, kN; while nothing yields, for a gate line; the load itself where it is not known.
    pub(crate) at_kn: f64,
    /// What goes: "Before 30 kN the gate line would have gone".
    pub(crate) what: String,
    /// The forces that say so, where the load does not.
    pub(crate) why: Option<String>,
    /// False for a strap: without it the connector never sees the load, and its map is right.
    pub(crate) of_connector: bool,
}

/// Beyond so many times what goes first a map means nothing: metal that never yields would be bent by as much as its parts are
/// thick, and the gaps of the contact no longer settle (engineering judgement).
const MEANINGLESS: f64 = 5.0;

/// What a map of a load still tells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tells {
    /// Stresses as they are: nothing of the connector would have given way.
    All,
    /// Where stresses are high, not how high.
    Where,
    /// Nothing, at so many times the load at which the first part of the connector would have given way.
    Nothing(f64),
}

impl Tells {
    /// What a map of `load_kn` tells, where `beyond` would have given way before it.
    #[must_use]
    pub fn of(beyond: &[Beyond], load_kn: f64) -> Self {
        match beyond.iter().find(|b| b.of_connector) {
            Some(first) if first.at_kn > 0.0 && load_kn > MEANINGLESS * first.at_kn => {
                Self::Nothing(load_kn / first.at_kn)
            }
            Some(_) => Self::Where,
            None => Self::All,
        }
    }

    /// What stresses tell, after "stresses tell"; nothing where they are what they are.
    #[must_use]
    pub fn in_words(self) -> Option<&'static str> {
        match self {
            Self::All => None,
            Self::Where => Some("where, not how much"),
            Self::Nothing(_) => Some("neither where nor how much"),
        }
    }
}

impl Beyond {
    /// What goes, without the forces that say so: a sentence.
    #[must_use]
    pub fn in_short(&self) -> String {
        format!("{}.", self.what)
    }

    /// Whether there is more to say than [`Self::in_short`] does.
    #[must_use]
    pub fn has_more(&self) -> bool {
        self.why.is_some()
    }
}

impl fmt::Display for Beyond {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.why {
            Some(why) => write!(f, "{}: {why}.", self.what),
            None => write!(f, "{}.", self.what),
        }
    }
}

impl From<Beyond> for String {
    fn from(beyond: Beyond) -> Self {
        beyond.to_string()
    }
}
