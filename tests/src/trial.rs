//! How far a long trial goes. A run goes over few draws or models, the whole run (`bash tests/run.sh --whole`, which sets
//! `PULLMAP_WHOLE=1`) over all; both assert the same of each.

/// Whether this is the whole run.
///
/// # Panics
/// When the variable holds something else than `0` or `1`.
#[must_use]
pub fn is_whole() -> bool {
    match std::env::var("PULLMAP_WHOLE").as_deref() {
        Err(_) | Ok("" | "0") => false,
        Ok("1") => true,
        Ok(other) => panic!("PULLMAP_WHOLE is {other}; allowed: 0, 1"),
    }
}

/// What a trial goes over: the first in a run, the second in the whole run.
#[must_use]
pub fn extent<T>(short: T, whole: T) -> T {
    if is_whole() { whole } else { short }
}

/// Whether the first of two lists is gone through with an entry of the second: all pairs in the whole run, in a run each entry of the
/// first with one of the second, in turn, so that each entry of both is met.
#[must_use]
pub fn has_turn(first: usize, second: usize, seconds: usize) -> bool {
    is_whole() || first % seconds == second
}
