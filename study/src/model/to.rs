//! What is put in the place of a value.

/// What is put in the place of a value.
#[derive(Clone, Debug, PartialEq)]
pub enum To {
    /// What was typed, to be read as a value of the file is.
    Typed(String),
    /// A number, in the base unit of the key.
    Number(f64),
}

impl To {
    /// As it is told where a message names its place.
    pub(super) fn text(&self) -> String {
        match self {
            Self::Typed(text) => text.clone(),
            Self::Number(number) => number.to_string(),
        }
    }
}

/// A key, and what is put in the place of its value.
pub type Set = (String, To);

/// A set as it is typed behind `--set`: `nose.tip_mm=14`.
#[must_use]
pub fn as_typed((key, to): &Set) -> String {
    format!("{key}={}", to.text())
}
