//! The words of every key of a model file: what it is, a short label, what is used when it is left out, the headings of
//! tables and groups, and the commented file.

pub mod naming;
pub mod template;
mod words;

use crate::letters::capital;
use crate::numbers::plain;
use crate::quantities::range_in_words;
use study::model::keys::{Beside, Chosen, Fallback, Group, Idle, Key, Kind, MATERIALS, Need};
use study::model::quantity::Dimension;
use study::sweep::VariedKey;
use words::words;

/// What a key is, without unit and final stop.
#[must_use]
pub fn about(key: &Key) -> &'static str {
    words(&key.path).about
}

/// A short name of a key, beginning with a capital: `Upper bar depth`.
#[must_use]
pub fn label(key: &Key) -> String {
    let end = match key.table_and_name().0 {
        "section.spine" => "spine ",
        "section.upper" => "upper bar ",
        "section.lower" => "lower bar ",
        "rig.upper" => "upper ",
        "rig.lower" => "lower ",
        _ => "",
    };
    capital(&format!("{end}{}", words(&key.path).label))
}

/// A short name of a key that is varied, of both ends at once: `Offset at both ends`.
#[must_use]
pub fn label_of_varied(varied: VariedKey) -> String {
    match varied {
        VariedKey::One(key) => label(key),
        VariedKey::BothEnds(upper) => capital(&format!("{} at both ends", words(&upper.path).label)),
    }
}

/// The label of a value of one of the three metals, in the middle of a sentence: `yield strength`.
#[must_use]
pub fn metal_value(name: &str) -> &'static str {
    words(&format!("{}.{name}", MATERIALS[0])).label
}

/// What is used when a key is left out; empty when it may not be, or only beside some words of another key.
#[must_use]
pub fn left_out(key: &Key) -> String {
    let Need::Else(fallback) = key.need else { return String::new() };
    match fallback {
        Fallback::Number(value) => match key.beside {
            Some(Beside { words: [word], .. }) => format!("{} for a {word}", plain(value)),
            _ => plain(value),
        },
        Fallback::Word(word) => format!("\"{word}\""),
        Fallback::Key(key) => key.to_owned(),
        Fallback::As(table) => format!("as {table}"),
        Fallback::ThirdOfBreadth { most_mm } => {
            format!("{}, or a third of the breadth if that is less", plain(most_mm))
        }
        Fallback::HalfLowerDepth => "half the depth of the lower bar".to_owned(),
        Fallback::OfUltimate(share) => format!("{} of the ultimate strength", plain(share)),
        Fallback::FileName => "the name of the file".to_owned(),
        Fallback::Unknown => "unknown".to_owned(),
        Fallback::Nothing => "nothing".to_owned(),
    }
}

/// What a page shows that is used when a key is not given: there a kind is always chosen, never read from a file.
#[must_use]
pub fn left_out_on_a_page(key: &Key) -> String {
    match (key.need, key.chosen) {
        (Need::Else(_), _) | (_, None) => left_out(key),
        (_, Some(Chosen::Number(value))) => plain(value),
        (_, Some(Chosen::HalfOfNotch)) => "half way into the notch".to_owned(),
    }
}

/// In which case a key must be there; empty when in every case or in none.
#[must_use]
pub fn needed_when(key: &Key) -> String {
    match key.own_need() {
        Need::WhenShown => match key.beside {
            Some(Beside { chooser: "shape", words: [_, _, ..] }) => "the bar is not round".to_owned(),
            Some(Beside { chooser, words }) => {
                let words: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
                format!("{chooser} = {}", words.join(" or "))
            }
            None => String::new(),
        },
        Need::InOwnMaterial => "the material is a table of your own".to_owned(),
        Need::InPlaceOf(own) => format!("{own} is not given"),
        Need::Required | Need::Else(_) => String::new(),
    }
}

/// What may be written for a key, as an example: `a number of 2 to 150 mm`.
#[must_use]
pub fn sample(kind: Kind) -> String {
    match kind {
        Kind::Number { dimension, low, high } => {
            format!("a number of {}", range_in_words([low, high], dimension))
        }
        Kind::Corners { low, high } => {
            format!("a number of {}, or four", range_in_words([low, high], Dimension::Length))
        }
        Kind::Choice(words) => {
            words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(" or ")
        }
        Kind::Material => "\"7075-t6\", or another name that `pullmap materials` lists".to_owned(),
        Kind::Text => "a text in quotes".to_owned(),
    }
}

/// Why no result depends on a key.
#[must_use]
pub fn changes_nothing(idle: Idle) -> &'static str {
    match idle {
        Idle::Name => "it is a name",
        Idle::Marking => "a marking is set beside what was computed, and changes none of it",
        Idle::ForTheReader => "it is kept for the reader",
        Idle::Weight => "the weight follows from it, and nothing else",
        Idle::Stretch => {
            "it tells how far the metal stretches before it tears: only a pull until failure goes by that, no map or forecast"
        }
        Idle::Stroke => "it ends a pull until failure; no map or forecast goes by it",
        Idle::InUse => "the load in use is set beside what was computed, and changes none of it",
        Idle::Check => "it is set beside what was computed, to check the model",
    }
}

/// A word of a choice, for people.
#[must_use]
pub fn word(word: &'static str) -> &'static str {
    match word {
        "i" => "I-shaped",
        "bar" => "bench bar",
        "half" => "half shut",
        other => other,
    }
}

/// The heading of a group of keys.
#[must_use]
pub fn group(group: Group) -> &'static str {
    match group {
        Group::Window => "Window",
        Group::Sections => "Sections",
        Group::Nose => "Nose and notch",
        Group::Gate => "Gate",
        Group::Hinge => "Hinge",
        Group::Material => "Material",
        Group::Rig => "Rig",
        Group::Marking => "Marking",
    }
}

#[cfg(test)]
mod tests;
