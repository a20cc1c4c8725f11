//! From a logbook to a lot: which pulls of it count, and how (`chosen`); by what they are told apart (`groups`); and what makes them no
//! one lot (`unlike`).

mod chosen;
mod groups;
mod unlike;

#[cfg(test)]
mod made;

pub use chosen::{Chosen, lots_of};
pub use groups::{Group, Groups};
pub use unlike::{Unlike, unlike};

use crate::logbook::{Field, Pull};

/// A value of a pull as pulls are told apart by it: of a date its day.
fn value(pull: &Pull, field: Field) -> Option<String> {
    let value = pull.now.get(field)?;
    Some(match field {
        Field::PulledOn => value.get(..10).unwrap_or(&value).to_owned(),
        _ => value.trim().to_owned(),
    })
}

/// Values that pulls have, each with the pulls' places, in the order in which they are met; capital letters or not.
fn by_value(pulls: &[Pull], field: Field) -> Vec<(Option<String>, Vec<usize>)> {
    let mut found: Vec<(Option<String>, Vec<usize>)> = Vec::new();
    let mut places: std::collections::BTreeMap<Option<String>, usize> = std::collections::BTreeMap::new();
    for (i, pull) in pulls.iter().enumerate() {
        let value = value(pull, field);
        let key = value.as_ref().map(|value| value.to_lowercase());
        let place = *places.entry(key).or_insert(found.len());
        match found.get_mut(place) {
            Some((_, all)) => all.push(i),
            None => found.push((value, vec![i])),
        }
    }
    found
}
