//! Words of a comparison.

/// The name of the picture; `field` is the stress that all variants show.
#[must_use]
pub fn name(title: &str, field: &str) -> String {
    format!("{title}: {field} compared")
}
