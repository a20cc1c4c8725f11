//! Words of the picture of what one step does.

use crate::failure_modes;
use crate::letters::typeset;
use crate::levers::{change, followers, name, short_turn, value};
use crate::numbers::kilonewtons;
use study::levers::{Lever, Levers, Moved};

/// The name of the picture.
#[must_use]
pub fn title(connector: &str) -> String {
    format!("{connector}: what one step changes")
}

/// The label of a lever, and the line under it: its value and both that it is moved to.
#[must_use]
pub fn labels(lever: &Lever) -> [String; 2] {
    let of = |way: &Option<Moved>| way.as_ref().map(|way| value(lever.lever, way.value));
    let unit = lever.lever.key().unit();
    let bare = |value: String| value.strip_suffix(unit).unwrap_or(&value).trim_end().replace('-', "\u{2212}");
    let [less, more] = [of(&lever.ways[0]), of(&lever.ways[1])];
    let mut line = bare(value(lever.lever, lever.value));
    if let Some(less) = less {
        line = format!("{} \u{2190} {line}", bare(less));
    }
    if let Some(more) = more {
        line = format!("{line} \u{2192} {}", bare(more));
    }
    if !unit.is_empty() {
        line = format!("{line} {unit}");
    }
    [name(lever.lever), typeset(&format!("{line}{}", followers(lever)))]
}

/// What stands at the end of a bar, and where another part fails first on its way.
#[must_use]
pub fn bar(found: &Levers, lever: &Lever, way: &Moved) -> (String, String) {
    let Ok(effect) = &way.effect else { return (NOT_POSSIBLE.to_owned(), String::new()) };
    let number = change(effect.peak_kn - found.base.peak_kn).replace('-', "\u{2212}");
    if effect.slides.is_some() && found.base.slides.is_none() {
        return (number, SLIDES.to_owned());
    }
    (number, short_turn(lever, way).map_or_else(String::new, |turn| typeset(&turn)))
}

/// What stands beside a step that its load does not keep.
const SLIDES: &str = "does not stay there";
/// What stands in the place of the number of a step that makes no connector.
const NOT_POSSIBLE: &str = "not possible";

/// What stands over the line in the middle.
#[must_use]
pub fn middle(found: &Levers) -> String {
    typeset(&format!(
        "{}: {} first",
        kilonewtons(found.base.peak_kn),
        failure_modes::name(found.base.fails_first)
    ))
}

/// What the two colours say: a step down, a step up.
pub const KEY: [&str; 2] = ["one step down", "one step up"];

/// The unit of the numbers, and what is left out of the picture: weaker levers.
#[must_use]
pub fn more(count: usize) -> String {
    let rest = match count {
        0 => String::new(),
        1 => " 1 weaker key is in the table.".to_owned(),
        count => format!(" {count} weaker keys are in the table."),
    };
    format!("Changes of the forecast, kN.{rest}")
}
