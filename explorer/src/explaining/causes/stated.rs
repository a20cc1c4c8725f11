//! What the model itself gives as a range.

use super::{Cause, Chance, Typed, Wording, steps_beside, with};
use study::model::Model;
use study::unknowns::Unknown;

pub(super) fn stated_ranges(model: &Model, unknowns: &[Unknown], all: &mut Vec<Cause>) {
    for unknown in unknowns.iter().filter(|u| u.is_of_the_model()) {
        let (law, nominal) = (unknown.told_law(), unknown.told_middle());
        let key = report::unknowns::what(unknown);
        let (family, what, measure, reading, unit) = match unknown.strength_of() {
            Some(body) => {
                let (word, strength) = (body.word(), report::unknowns::strength(unknown.strength()));
                let what = format!("the {strength} of the {word}");
                (format!("material.{word}"), what, format!("the hardness of the {word}"), strength, "MPa")
            }
            None => {
                let (what, unit) = in_words(&key);
                (key.clone(), what.clone(), what, "", unit)
            }
        };
        all.push(Cause {
            family,
            what,
            told: Wording::Plain(unit),
            measure,
            reading: reading.to_owned(),
            chance: Chance::StatedRange,
            prior: law.into(),
            values: steps_beside(law, 3, nominal),
            nominal: Some(nominal),
            pairs: true,
            more_than: None,
            typed: match unknown.strength_of() {
                Some(_) => Typed::NoKey,
                // One corner of four has no key of its own.
                None if corner_of(&key).is_some() => Typed::NoKey,
                None => Typed::Value(key),
            },
            apply: with(model, unknown),
        });
    }
}

/// The corner that a key of one corner radius is of.
fn corner_of(key: &str) -> Option<usize> {
    let number = key.strip_prefix("window.corner_radius_mm[")?.strip_suffix(']')?;
    number.parse::<usize>().ok()?.checked_sub(1)
}

/// A key in words, and its unit.
fn in_words(key: &str) -> (String, &'static str) {
    if let Some(corner) = corner_of(key) {
        let corners = ["upper spine", "upper gate", "lower gate", "lower spine"];
        return (format!("the window's {} radius", corners.get(corner).copied().unwrap_or("corner")), "mm");
    }
    if key == "rig.engaged_mm" {
        return ("the gate half shut, engaged".to_owned(), "mm");
    }
    // The table that holds the key comes last in words: "notch depth of the nose".
    if let Some((table, name)) = key.rsplit_once('.') {
        let (name, unit) = in_words(name);
        return (format!("the {name} of the {}", table.replace(['.', '_'], " ")), unit);
    }
    for (end, unit) in [("_mm", "mm"), ("_deg", "deg"), ("_kn", "kN"), ("_mpa", "MPa")] {
        if let Some(stem) = key.strip_suffix(end) {
            return (stem.replace('_', " "), unit);
        }
    }
    (key.replace('_', " "), "")
}
