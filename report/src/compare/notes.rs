//! What a reader must know about the values of the variants, in sentences.

use super::difference::unlike_pulls;
use super::names::short;
use crate::notes;
use study::compare::{Compared, NoteOf};
use study::model::{Note, Taken};

/// The words of a note, after the name of its variant where it is not of all of them.
fn named(of: NoteOf<'_>, words: String) -> String {
    match of.variant {
        Some(name) => format!("{}: {words}", short(name)),
        None => words,
    }
}

/// What was assumed about the variants, each sentence once.
#[must_use]
pub fn notes<E>(compared: &Compared<E>) -> Vec<String> {
    let pulls = unlike_pulls(compared).then(|| {
        "The loads are not alike: the gate's share, what the spine carries and the hottest place are those of each one's own load; \
         what fails first, forecast and first yield do not depend on it."
            .to_owned()
    });
    let of_values = compared.notes().into_iter().map(|of| named(of, notes::note(of.note)));
    pulls.into_iter().chain(of_values).collect()
}

/// What was taken, each once, as `told` writes it: which key is missing is for the terminal, and a picture's reader has no keys.
#[must_use]
pub fn taken<E>(compared: &Compared<E>, told: fn(Taken) -> String) -> Vec<String> {
    let words = |of: NoteOf<'_>| match of.note {
        Note::Taken(taken) => Some(named(of, told(taken))),
        Note::Range(_) | Note::UnknownMaterial { .. } | Note::Converted(_) | Note::Marked(_) => None,
    };
    compared.taken().into_iter().filter_map(words).collect()
}
