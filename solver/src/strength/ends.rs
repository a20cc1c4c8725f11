//! How a pull ends.

use schemars::JsonSchema;
use serde::Serialize;

/// How a pull ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Ends {
    /// A part breaks, and the open hook cannot hold what is on it.
    Breaks,
    /// The frame opens and tears.
    Opens,
    /// The strap breaks first.
    Strap,
}
