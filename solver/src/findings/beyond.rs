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
