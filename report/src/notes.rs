//! What a reader of the answers must know about the values that were used, in sentences.

use crate::numbers::plain;
use study::model::misfit::LoaderKind;
use study::model::{End, Model, Note, SpreadKind, Taken};

/// A sentence for each uncertain value of a model, then one for each that was taken or is told to no purpose.
#[must_use]
pub fn notes(model: &Model) -> Vec<String> {
    model.notes().into_iter().map(note).collect()
}

/// The sentences for values that were taken because a set left them untold, or that are told to no purpose.
#[must_use]
pub fn all_taken(model: &Model) -> Vec<String> {
    model.taken.iter().map(|taken_one| taken(*taken_one)).collect()
}

/// The sentence of a note.
#[must_use]
pub fn note(note: Note) -> String {
    match note {
        Note::Range(spread) => {
            let (key, used) = (&spread.key, plain(spread.middle));
            match spread.kind {
                SpreadKind::Between(low, high) => {
                    format!("{key} is between {} and {}; the middle {used} is used", plain(low), plain(high))
                }
                SpreadKind::PlusMinus(more) => {
                    format!("{key} is {used} plus or minus {}; {used} is used", plain(more))
                }
                SpreadKind::UnknownMaterial => format!("{key} is known by its kind only; {used} MPa is used"),
            }
        }
        Note::UnknownMaterial { key, metal } => {
            let material = metal.material();
            let [low, high] = metal.yield_mpa.range.unwrap_or([material.yield_mpa; 2]);
            let [least, most] = metal.ultimate_mpa.range.unwrap_or([material.ultimate_mpa; 2]);
            format!(
                "{key} is {}: yield strength between {} and {} MPa, ultimate between {} and {} MPa; the middles {} and {} \
                 are used",
                metal.name,
                plain(low),
                plain(high),
                plain(least),
                plain(most),
                plain(material.yield_mpa),
                plain(material.ultimate_mpa)
            )
        }
        Note::Taken(taken_one) => taken(taken_one),
    }
}

/// The sentence of a value that was taken, or is told to no purpose.
#[must_use]
pub fn taken(taken: Taken) -> String {
    let because = match taken {
        Taken::Size { kind, end, .. } => {
            format!("rig.{}.{} is not given", end.map_or("both", End::word), kind.size_key())
        }
        Taken::HalfEngaged => "rig.engaged_mm is not given".to_owned(),
        Taken::IdleEngaged => "the gate is not half shut (rig.gate=half makes it so)".to_owned(),
    };
    format!("{}, since {because}", taken_in_short(taken))
}

/// The same without the reason.
#[must_use]
pub fn taken_in_short(taken: Taken) -> String {
    match taken {
        Taken::Size { kind, end, size_mm } => {
            let (one, several) = match kind {
                LoaderKind::Strap => ("a strap", "straps"),
                LoaderKind::Bar => ("a bench bar", "bench bars"),
            };
            let size = plain(size_mm);
            match end {
                Some(_) => format!("{one} of {size} mm is taken"),
                None => format!("{several} of {size} mm are taken"),
            }
        }
        Taken::HalfEngaged => "a pin engaged half way into the notch is taken".to_owned(),
        Taken::IdleEngaged => "rig.engaged_mm plays no part".to_owned(),
    }
}

#[cfg(test)]
mod tests;
