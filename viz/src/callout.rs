//! A point of a map that is named.

/// A point worth naming.
#[derive(Clone, Debug, PartialEq)]
pub struct Callout {
    /// Where, mm.
    pub at: [f64; 2],
    /// Stress there, MPa.
    pub value_mpa: f64,
    /// Where in words, with any doubt: "spine, inner side beside the lower corner".
    pub words: String,
    /// Whether the number can be relied on.
    pub trusted: bool,
}
