//! Names of levers, steps, and what a step does.

use crate::failure_modes;
use crate::keys::{label, label_of_varied, metal_value};
use crate::letters::capital;
use crate::numbers::{kilonewtons_alone, typed};
use crate::{building, mistakes};
use study::levers::{Lever, LeverKey, Moved, NotMoved};
use study::model::keys::{Group, Key};
use study::sweep::VariedKey;

/// A key as a lever is called: `Frame yield strength`, `Notch depth`.
fn of_key(key: &Key) -> String {
    let (table, name) = key.table_and_name();
    match (key.group(), table.strip_prefix("material.")) {
        (Group::Material, Some(body)) => capital(&format!("{body} {}", metal_value(name))),
        _ => label(key),
    }
}

/// What a lever is called: `Offset at both ends`.
#[must_use]
pub fn name(lever: LeverKey) -> String {
    match lever {
        LeverKey::One(key) => of_key(key),
        LeverKey::BothEnds(key) => label_of_varied(VariedKey::BothEnds(key)),
        LeverKey::Corners(key) => format!("{} of all corners, the first", label(key)),
    }
}

/// Most followers that are named.
const NAMED: usize = 2;

/// What follows a lever, after its name; empty where nothing does.
#[must_use]
pub fn followers(lever: &Lever) -> String {
    let all: Vec<String> = lever.followers.iter().map(|key| lower(&of_key(key))).collect();
    match all.len() {
        0 => String::new(),
        n if n <= NAMED => format!(", with {}", all.join(" and ")),
        n => format!(", with {} and {} more", all[..NAMED].join(", "), n - NAMED),
    }
}

fn lower(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// A value of a lever with its unit.
#[must_use]
pub fn value(lever: LeverKey, value: f64) -> String {
    // A step of strength is told to whole megapascals, of anything small to its digits.
    let number = if value.abs() >= 100.0 { typed(value.round()) } else { typed(value) };
    format!("{number} {}", lever.key().unit()).trim_end().to_owned()
}

/// The name in the middle of a sentence, with where it was moved: `notch depth from 6 to 5.5 mm`.
#[must_use]
pub fn moved(lever: &Lever, way: &Moved) -> String {
    let from = value(lever.lever, lever.value);
    let unit = lever.lever.key().unit();
    let from = from.strip_suffix(unit).map_or(from.as_str(), str::trim_end);
    format!("{} from {from} to {}", lower(&name(lever.lever)), value(lever.lever, way.value))
}

/// A change with its sign: `+1.9`, to hundredths below one; `0` for less than that shows.
#[must_use]
pub fn change(kn: f64) -> String {
    if kn.abs() < 0.005 {
        return "0".to_owned();
    }
    format!("{}{}", if kn > 0.0 { "+" } else { "-" }, kilonewtons_alone(kn.abs()))
}

/// Where another part fails first, on a way that has such a turn: `lip of the notch first from 14.3 mm`.
#[must_use]
pub fn turn(lever: &Lever, way: &Moved) -> Option<String> {
    let turn = way.turn?;
    let down = if turn.from < turn.until { " down" } else { "" };
    Some(format!("{} first from {}{down}", failure_modes::name(turn.to), value(lever.lever, turn.from)))
}

/// The same for a picture, the part alone: `nose pin first from 14.3 mm`.
#[must_use]
pub fn short_turn(lever: &Lever, way: &Moved) -> Option<String> {
    let turn = way.turn?;
    let down = if turn.from < turn.until { " down" } else { "" };
    Some(format!("{} first from {}{down}", failure_modes::part(turn.to), value(lever.lever, turn.from)))
}

/// Why a lever could not be moved.
#[must_use]
pub fn not_moved(reason: &NotMoved) -> String {
    match reason {
        NotMoved::Model(errors) => mistakes::errors(errors),
        NotMoved::Case(error) => building::case(error),
    }
}
