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

/// Beyond so many times what goes first a map means nothing: metal that never yields would be bent by as much as its parts are
/// thick, and the gaps of the contact no longer settle (engineering judgement).
const MEANINGLESS: f64 = 5.0;

impl Beyond {
    /// How many times the load is what goes at, where that is so much that a map of it means nothing.
    #[must_use]
    pub fn meaningless_times(&self, load_kn: f64) -> Option<f64> {
        let times = load_kn / self.at_kn;
        (times > MEANINGLESS).then_some(times)
    }

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
