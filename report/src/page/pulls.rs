//! What the live page says of pulls until failure where it has other means than the command.

use study::pull_to_failure::PullError;

/// What to do about a pull that is refused, where the page offers it.
#[must_use]
pub const fn hint(error: &PullError) -> Option<&'static str> {
    match error {
        PullError::NoElongation => Some(
            "pick a metal of the list, or add its elongation after fracture (a share of the length, 0.11 for 11 %) to the model file and open \
             that again",
        ),
        _ => None,
    }
}

/// A pull that took all the time that the page gives it, minutes, and was stopped.
#[must_use]
pub fn out_of_time(minutes: u64) -> String {
    format!(
        "Stopped after {minutes} minutes, the longest that a pull may take here: what is told goes as far as it had come. The command pullmap \
         pull has no such limit."
    )
}
