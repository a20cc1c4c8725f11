//! Why something is refused, in its parts: a page shows them apart, a sentence joins them.

use std::fmt;

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// What stands under a key, and what may stand there.
    Found {
        /// What was found.
        found: String,
        /// What is allowed.
        allowed: String,
    },
    /// The same of something that no key stands for.
    FoundIn {
        /// What it is: `the frame`.
        what: String,
        /// What was found there.
        found: String,
        /// What is allowed.
        allowed: String,
    },
    /// A sentence of its own, and what is allowed instead.
    Instead {
        /// The sentence.
        says: String,
        /// What is allowed.
        allowed: String,
    },
    /// A sentence that does not say what it is about: the key before it does.
    OfKey(String),
    /// A sentence that stands by itself.
    Whole(String),
}

impl Reason {
    /// What was found under a key, and what is allowed there.
    #[must_use]
    pub fn found(found: impl Into<String>, allowed: impl Into<String>) -> Self {
        Self::Found { found: found.into(), allowed: allowed.into() }
    }

    /// What was found and what is allowed, where it can be told.
    #[must_use]
    pub fn parts(&self) -> Option<(&str, &str)> {
        match self {
            Self::Found { found, allowed } | Self::FoundIn { found, allowed, .. } => Some((found, allowed)),
            Self::Instead { says, allowed } => Some((says, allowed)),
            Self::OfKey(_) | Self::Whole(_) => None,
        }
    }

    /// The sentence, after its key where it does not say what it is about. Without a key it is told as it is.
    #[must_use]
    pub fn after(&self, key: &str) -> String {
        match self {
            Self::Found { .. } | Self::OfKey(_) if !key.is_empty() => format!("{key}: {self}"),
            _ => self.to_string(),
        }
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Found { found, allowed } => write!(f, "found {found}; allowed: {allowed}"),
            Self::FoundIn { what, found, allowed } => write!(f, "{what}: found {found}; allowed: {allowed}"),
            Self::Instead { says, allowed } => write!(f, "{says}; allowed: {allowed}"),
            Self::OfKey(says) | Self::Whole(says) => f.write_str(says),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Reason;

    #[test]
    fn a_key_stands_before_what_does_not_say_what_it_is_about() {
        let found = Reason::found("1", "2 to 3 mm");
        assert_eq!(found.after("a.b"), "a.b: found 1; allowed: 2 to 3 mm");
        assert_eq!(found.after(""), found.to_string());
        let whole = Reason::Whole("the mesh is too coarse".to_owned());
        assert_eq!((whole.after("a.b"), whole.parts()), (whole.to_string(), None));
        // What was found may hold the words that join the parts.
        let odd = Reason::found("\"x; allowed: y\"", "z");
        assert_eq!(odd.parts(), Some(("\"x; allowed: y\"", "z")));
    }
}
