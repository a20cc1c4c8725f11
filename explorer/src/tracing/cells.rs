//! Two cells on one pull.

use lab::trace::agreement::beside;
use report::trace::{Found, Told, TwoCells};

/// The two cells of one file; `None` where there is another file, or another number of cells.
#[must_use]
pub fn one_file(told: &[Told]) -> Option<TwoCells> {
    let [Told { found: Found::Pull(recording, pulls), .. }] = told else { return None };
    let ([first, second], [a, b]) = (&recording.channels[..], &pulls[..]) else { return None };
    let agreement = beside((first, a), (second, b))?;
    Some(TwoCells { names: [first.name.clone(), second.name.clone()], agreement })
}
