//! What a key that varies may not be, the same for a sweep and a comparison.

/// A key that no result depends on, and why.
#[must_use]
pub fn changes_nothing(key: &str, because: &str) -> String {
    format!(
        "--vary {key}: found a key that changes nothing: {because}; allowed: a key that a result depends on"
    )
}

/// A key that is set as well, or stands for what another one sets.
#[must_use]
pub fn set_as_well(key: &str, set: &str) -> String {
    format!("--vary {key}: found --set {set} as well; allowed: one of the two")
}
