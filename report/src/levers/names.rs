//! Names of levers, steps, and what a step does.

use crate::failure_modes;
use crate::keys::{label, label_of_varied, metal_value};
use crate::letters::capital;
use crate::numbers::{kilonewtons_alone, plain};
use crate::{building, mistakes};
use study::levers::{Lever, LeverKey, Moved, NotMoved, Turn};
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
    format!("{} {}", plain(value), lever.key().unit()).trim_end().to_owned()
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

/// The value from which another part fails first, rounded so that it still lies on that side of the last one known on this side.
fn from(turn: Turn) -> f64 {
    let up = turn.from > turn.until;
    let rounded = |digits: i32| {
        let scale = 10_f64.powi(digits);
        (if up { (turn.from * scale).ceil() } else { (turn.from * scale).floor() }) / scale
    };
    // As few digits as keep within the gap between both.
    let gap = (turn.from - turn.until).abs();
    (1..6).map(rounded).find(|told| (told - turn.from).abs() <= 0.25 * gap).unwrap_or(turn.from)
}

/// Where another part fails first, on a way that has such a turn: `lip of the notch first from 14.3 mm`.
#[must_use]
pub fn turn(lever: &Lever, way: &Moved) -> Option<String> {
    let turn = way.turn?;
    let down = if turn.from < turn.until { " down" } else { "" };
    Some(format!("{} first from {}{down}", failure_modes::name(turn.to), value(lever.lever, from(turn))))
}

/// The same for a picture, the part alone: `nose pin first from 14.3 mm`.
#[must_use]
pub fn short_turn(lever: &Lever, way: &Moved) -> Option<String> {
    let turn = way.turn?;
    let down = if turn.from < turn.until { " down" } else { "" };
    Some(format!("{} first from {}{down}", failure_modes::part(turn.to), value(lever.lever, from(turn))))
}

/// Why a lever could not be moved.
#[must_use]
pub fn not_moved(reason: &NotMoved) -> String {
    match reason {
        NotMoved::Model(errors) => mistakes::errors(errors),
        NotMoved::Case(error) => building::case(error),
    }
}

#[cfg(test)]
mod tests {
    use super::{Turn, from};
    use solver::strength::FailureMode;

    #[test]
    fn a_turn_is_told_on_its_own_side_and_as_shortly_as_that_allows() {
        let told = |until: f64, at: f64| from(Turn { until, from: at, to: FailureMode::Lip });
        for (until, at) in
            [(3.600_4, 3.596_8), (3.127, 3.126_2), (12.63, 12.637), (-4.43, -4.437_1), (2.1, 2.6)]
        {
            let value = told(until, at);
            assert!((value - at) * (at - until) >= 0.0, "{until} {at} {value}");
            assert!((value - at).abs() <= (at - until).abs(), "{until} {at} {value}");
        }
        assert_eq!([told(12.63, 12.637), told(2.1, 2.6)], [12.637, 2.6]);
    }
}
