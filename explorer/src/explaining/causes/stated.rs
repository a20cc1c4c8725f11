//! What the model itself gives as a range.

use super::metals::unknown_metal;
use super::{Apply, Cause, STATED_RANGE, Told, steps};
use crate::explaining::solving::Setting;
use crate::model_file::{Model, Source, SpreadKind};
use solver::causes::Prior;

pub(super) fn stated_ranges(source: &Source, model: &Model, sets: &[(String, String)], all: &mut Vec<Cause>) {
    for spread in &model.spreads {
        let (low, high, prior) = match spread.kind {
            SpreadKind::PlusMinus(by) => (
                spread.middle - by,
                spread.middle + by,
                // A stated tolerance is taken as two standard deviations.
                Prior::About { middle: spread.middle, spread: 0.5 * by },
            ),
            SpreadKind::Between(low, high) => (low, high, Prior::Even),
            SpreadKind::UnknownMaterial => {
                unknown_metal(&spread.key, model, all);
                continue;
            }
        };
        if is_idle(&spread.key) {
            continue;
        }
        // Each value goes through the model's own checks.
        let (source, key) = (source.clone(), spread.key.clone());
        let sets = sets.to_vec();
        let set_key = key.clone();
        let corner = corner_of(&key);
        let apply: Apply = Box::new(move |setting, value| {
            // A corner radius of its own has no key that could be set.
            if let Some(corner) = corner {
                let mut changed = setting.clone();
                *changed.connector.window.corner_radius_mm.get_mut(corner)? = value;
                return Some(changed);
            }
            let mut with = sets.clone();
            with.push((set_key.clone(), value.to_string()));
            let model = source.model(&with).ok()?;
            Some(Setting { connector: model.connector, materials: model.materials, rig: model.rig })
        });
        let (what, unit) = in_words(&key);
        all.push(Cause {
            family: key.clone(),
            what: what.clone(),
            told: Told::Plain(unit),
            measure: what,
            chance: STATED_RANGE,
            prior,
            values: steps(low, high, 3),
            nominal: Some(spread.middle),
            pairs: true,
            apply,
        });
    }
}

/// Keys that no break depends on.
fn is_idle(key: &str) -> bool {
    key.starts_with("marking.") || key == "rig.load_kn" || key.ends_with(".density_g_cm3")
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
