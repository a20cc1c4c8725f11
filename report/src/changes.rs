//! The line under a picture's title: the rig, and what was changed about the model. A picture is written under the same
//! name whatever was changed, so it must say so itself.
//!
//! Changes of the rig are in the rig's own words and not told twice.

use crate::keys::naming::{key_in_words, value_in_words};
use crate::letters::typeset;

/// Changes that are named; of further ones only the number is told.
const NAMED: usize = 2;
/// Letters of a value that find room: a metal may be a whole table.
const LONGEST: usize = 28;

/// "notch depth 7 mm, lip height 5 mm and 2 more"; `None` when nothing but the rig was changed. `sets`: keys and values as
/// typed, later ones over earlier ones.
#[must_use]
pub fn changes(sets: &[(String, String)]) -> Option<String> {
    let mut last: Vec<(&str, &str)> = Vec::new();
    for (key, value) in sets {
        let (key, value) = (key.trim(), value.trim());
        if key.starts_with("rig.") || key == "rig" || key == "title" {
            continue;
        }
        last.retain(|(earlier, _)| *earlier != key);
        last.push((key, value));
    }
    let named: Vec<String> = last
        .iter()
        .take(NAMED)
        .map(|(key, value)| format!("{}\u{a0}{}", key_in_words(key), cut(&value_in_words(key, value))))
        .collect();
    let more = last.len() - named.len();
    match named.len() {
        0 => None,
        _ if more > 0 => Some(format!("{} and {more} more", named.join(", "))),
        _ => Some(named.join(", ")),
    }
}

/// "changed: notch depth 7 mm"; `None` when nothing but the rig was changed.
#[must_use]
pub fn changed(sets: &[(String, String)]) -> Option<String> {
    changes(sets).map(|changes| format!("changed: {changes}"))
}

/// The rig and the changes in a line, numbers and their units kept together.
#[must_use]
pub fn heading(rig: &str, sets: &[(String, String)]) -> String {
    let rig = typeset(rig);
    std::iter::once(rig).chain(changed(sets)).collect::<Vec<_>>().join("; ")
}

fn cut(words: &str) -> String {
    if words.chars().count() <= LONGEST {
        return words.to_owned();
    }
    words.chars().take(LONGEST - 1).chain(['…']).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(sets: &[&str]) -> String {
        let sets: Vec<(String, String)> = sets
            .iter()
            .map(|set| set.split_once('=').unwrap())
            .map(|(key, value)| (key.to_owned(), value.to_owned()))
            .collect();
        heading("10 kN, gate closed", &sets).replace('\u{a0}', " ")
    }

    #[test]
    fn what_was_changed_is_said_in_words() {
        assert_eq!(told(&[]), "10 kN, gate closed");
        assert_eq!(told(&["rig.gate=closed", "title=Mine"]), "10 kN, gate closed");
        assert_eq!(
            told(&["nose.notch_depth_mm=6", "rig.load_kn=10", "nose.notch_depth_mm=7"]),
            "10 kN, gate closed; changed: notch depth 7 mm"
        );
        assert_eq!(
            told(&["nose.notch_depth_mm=7", "material.frame=6061-t6", "gate.width_mm=8", "nose.tip_mm=12"]),
            "10 kN, gate closed; changed: notch depth 7 mm, frame metal 6061-t6 and 2 more"
        );
        assert!(told(&[&format!("material.frame={}", "x".repeat(400))]).ends_with("xx…"));
    }
}
