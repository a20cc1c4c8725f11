//! What a reader of the answers must know about the values that were used, in sentences.

use crate::numbers::{plain, typed};
use study::model::misfit::LoaderKind;
use study::model::{Converted, End, Model, Note, SpreadKind, Taken};

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
        Note::Converted(Converted { key, read_mm, own, own_mm }) => {
            format!("{key} {}: {} {} mm", typed(read_mm), own_value(own), typed(own_mm))
        }
        Note::Marked(keys) => marked(keys),
    }
}

/// What a value that a caliper's reading stands for is called.
fn own_value(own: &str) -> &'static str {
    match own {
        "window.inside_length_mm" => "inside length",
        "window.upper_width_mm" => "upper width inside",
        "window.lower_width_mm" => "lower width inside",
        "nose.tip_mm" => "nose tip",
        _ => "hinge height",
    }
}

/// Keys that are named; of further ones only the number is told.
const NAMED: usize = 2;

/// That values are still the example's.
fn marked(keys: &[&str]) -> String {
    let (are, named) = match keys {
        [one] => ("1 value is".to_owned(), (*one).to_owned()),
        [one, other] => ("2 values are".to_owned(), format!("{one} and {other}")),
        more => {
            let named = more[..NAMED].join(", ");
            (format!("{} values are", more.len()), format!("{named} and {} more", more.len() - NAMED))
        }
    };
    format!("{are} still the example's: {named}")
}

/// What is to be known of how a model was measured: each value that follows from a caliper's reading, and those that are still
/// the example's.
#[must_use]
pub fn on_measuring(model: &Model) -> Vec<String> {
    model.notes_on_measuring().map(note).collect()
}

/// What to ask next where nobody said where the load lies at either end; `None` where somebody did.
#[must_use]
pub fn places_not_entered(model: &Model, file: &str) -> Option<String> {
    (model.places_entered == [false; 2]).then(|| {
        format!("where the load lies is not entered for either end; `pullmap seats {file}` tells where it comes to rest")
    })
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
