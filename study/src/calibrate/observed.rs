//! What a pull tells of the constants.

use solver::causes::Place;

/// A pull that was done.
#[derive(Clone, Debug, PartialEq)]
pub struct Observed {
    /// What it is known by.
    pub number: i64,
    /// Its highest load, kN.
    pub peak_kn: f64,
    /// Whether the connector broke or opened there; if not it holds at least that.
    pub is_limit: bool,
    /// Where it was found broken, where that was told.
    pub place: Option<Place>,
}
