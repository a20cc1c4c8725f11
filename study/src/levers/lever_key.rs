//! What is moved by one step, how far a step goes, and how a moved value is put over the model.

use crate::model::keys::{self, Group, Key, KeyValue, MATERIALS, changes_nothing};
use crate::model::quantity::Dimension;
use crate::model::{End, Model, Set, To};
use crate::reach::STRAP_WIDTHS_MM;
use crate::unknowns::{CLEARANCE_MM, OFFSET_MM};
use solver::material::Material;

/// A step of a length, mm: what a maker changes on a drawing (engineering judgement, as are the others).
const LENGTH_MM: f64 = 0.5;
/// A step of a bar's diameter, mm: bars come in whole millimetres, mostly even ones.
const BAR_MM: f64 = 2.0;
/// A step of an angle, degrees.
const ANGLE_DEG: f64 = 1.0;
/// A step of a coefficient of friction.
const FRICTION: f64 = 0.05;
/// A step of everything else, as a part of its value.
const PART: f64 = 0.05;

/// Something that is moved by one step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LeverKey {
    /// A key.
    One(&'static Key),
    /// The same key of both ends: that of the upper one.
    BothEnds(&'static Key),
    /// All four corner radii by the same.
    Corners(&'static Key),
}

impl LeverKey {
    /// Its key, of both ends that of the upper one.
    #[must_use]
    pub fn key(self) -> &'static Key {
        match self {
            Self::One(key) | Self::BothEnds(key) | Self::Corners(key) => key,
        }
    }

    /// Its path as it is typed: `rig.both.offset_mm`.
    #[must_use]
    pub fn path(self) -> String {
        match self {
            Self::BothEnds(upper) => crate::model::hint::at_both_ends(&upper.path),
            Self::One(key) | Self::Corners(key) => key.path.clone(),
        }
    }

    /// Its value in a model, in the base unit of the key; of corners the first.
    #[must_use]
    pub fn value(self, model: &Model) -> Option<f64> {
        match self.key().value(model)? {
            KeyValue::Number(value) => Some(value),
            KeyValue::Corners([first, ..]) => Some(first),
            KeyValue::Word(_) | KeyValue::Text(_) => None,
        }
    }

    /// The value one step below, and the one above; absent where there is no such size.
    pub(super) fn steps(self, base: f64) -> [Option<f64>; 2] {
        let key = self.key();
        let (_, name) = key.table_and_name();
        let by = |step: f64| [Some(base - step), Some(base + step)];
        match (key.group(), name) {
            (Group::Rig, "width_mm") => {
                let narrower = STRAP_WIDTHS_MM.into_iter().rev().find(|width| *width < base - 1e-9);
                [narrower, STRAP_WIDTHS_MM.into_iter().find(|width| *width > base + 1e-9)]
            }
            (Group::Rig, "diameter_mm") => by(BAR_MM),
            (Group::Rig, "offset_mm") => by(OFFSET_MM),
            (Group::Rig, "friction") => by(FRICTION),
            (_, name) if name.ends_with("clearance_mm") => by(CLEARANCE_MM),
            _ => match key.kind.dimension() {
                Some(Dimension::Length) => by(LENGTH_MM),
                Some(Dimension::Angle) => by(ANGLE_DEG),
                _ => by(PART * base),
            },
        }
    }

    /// What puts a value in the place of the model's: a forecast with these sets is one of the very connector that was solved.
    #[must_use]
    pub fn sets(self, model: &Model, value: f64) -> Vec<Set> {
        let key = self.key();
        let to = match self {
            Self::Corners(_) => {
                let radii = model.connector.window.corner_radius_mm;
                let moved = radii.map(|radius| (radius + (value - radii[0])).to_string());
                To::Typed(format!("[{}]", moved.join(", ")))
            }
            Self::One(_) if key.group() == Group::Material => return metal(key, model, value),
            Self::One(_) | Self::BothEnds(_) => To::Number(value),
        };
        vec![(self.path(), to)]
    }
}

/// A metal with one value moved, as a table of its own: a metal of the library has no keys to be set.
fn metal(key: &Key, model: &Model, value: f64) -> Vec<Set> {
    let (table, moved) = key.table_and_name();
    let own = |name: &str| {
        let key = keys::find(&format!("{table}.{name}"))?;
        match key.value(model)? {
            KeyValue::Number(number) => Some((name.to_owned(), if name == moved { value } else { number })),
            _ => None,
        }
    };
    let numbers = keys::of_table(table).filter_map(|key| own(key.table_and_name().1));
    let numbers: Vec<String> = numbers.map(|(name, number)| format!("{name} = {number}")).collect();
    let name = toml::Value::String(of_table(table, model).name.clone());
    vec![(table.to_owned(), To::Typed(format!("{{ name = {name}, {} }}", numbers.join(", "))))]
}

fn of_table<'a>(table: &str, model: &'a Model) -> &'a Material {
    match MATERIALS.iter().position(|path| *path == table) {
        Some(1) => &model.materials.gate,
        Some(2) => &model.materials.pins,
        _ => &model.materials.frame,
    }
}

/// Everything that can be moved by a step in this model, in the order of its keys. What a caliper reads is another way to give a
/// value that is moved itself.
#[must_use]
pub fn lever_keys(model: &Model) -> Vec<LeverKey> {
    let own = |key: &&Key| changes_nothing(&key.path).is_none() && key.in_place_of().is_none();
    keys::all().iter().filter(own).flat_map(|key| levers_of(key, model)).collect()
}

/// The levers of a key. Where both ends of the rig have the same value they are moved together, told under the upper one; where each
/// of them lies is moved alone as well.
fn levers_of(key: &'static Key, model: &Model) -> Vec<LeverKey> {
    match key.value(model) {
        Some(KeyValue::Corners(_)) => vec![LeverKey::Corners(key)],
        Some(value @ KeyValue::Number(_)) => {
            let (here, there) = match key.path.split_once("rig.upper.") {
                Some((_, name)) => (End::Upper, Some(format!("rig.lower.{name}"))),
                None => {
                    (End::Lower, key.path.strip_prefix("rig.lower.").map(|name| format!("rig.upper.{name}")))
                }
            };
            let other = there.as_deref().and_then(keys::find);
            let alike = other.is_some_and(|other| other.value(model) == Some(value));
            let together = (alike && here == End::Upper).then_some(LeverKey::BothEnds(key));
            let alone = (!alike || key.path.ends_with("offset_mm")).then_some(LeverKey::One(key));
            together.into_iter().chain(alone).collect()
        }
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Source;

    fn model(sets: &[(&str, &str)]) -> Model {
        let sets: Vec<(String, String)> =
            sets.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
        Source::of("oval.toml", include_str!("../../../models/oval.toml")).model(&sets).unwrap()
    }

    fn paths(model: &Model) -> Vec<String> {
        lever_keys(model).into_iter().map(LeverKey::path).collect()
    }

    #[test]
    fn every_number_on_which_a_result_depends_is_moved_alike_ends_together() {
        let all = paths(&model(&[]));
        for path in [
            "window.corner_radius_mm",
            "nose.notch_depth_mm",
            "material.pins.yield_mpa",
            "rig.both.width_mm",
            "rig.both.offset_mm",
            "rig.upper.offset_mm",
            "rig.lower.offset_mm",
            "rig.friction",
        ] {
            assert_eq!(all.iter().filter(|known| *known == path).count(), 1, "{path}: {all:?}");
        }
        for path in ["title", "marking.closed_kn", "material.frame.density_g_cm3", "rig.lower.width_mm"] {
            assert!(!all.iter().any(|known| known == path), "{path}");
        }
        let unlike = paths(&model(&[("rig.lower.kind", "bar"), ("rig.lower.diameter_mm", "12")]));
        assert!(unlike.iter().any(|path| path == "rig.upper.width_mm"));
        assert!(unlike.iter().any(|path| path == "rig.lower.diameter_mm"));
        assert!(!unlike.iter().any(|path| path == "rig.both.width_mm"));
    }

    #[test]
    fn a_moved_value_is_the_only_one_that_is_set_and_a_step_is_one_that_is_taken() {
        let model = model(&[]);
        for lever in lever_keys(&model) {
            let base = lever.value(&model).unwrap();
            let [less, more] = lever.steps(base);
            assert!(less.is_none_or(|less| less <= base) && more.is_none_or(|more| more >= base));
            let Some(value) = more.filter(|more| *more > base) else { continue };
            let Ok(moved) = model.told.with(lever.sets(&model, value)).model() else { continue };
            let got = lever.value(&moved).unwrap();
            assert!((got - value).abs() <= 1e-12 * value.abs(), "{}: {got} {value}", lever.path());
        }
        let width = LeverKey::One(keys::find("rig.upper.width_mm").unwrap());
        assert_eq!(width.steps(12.0), [Some(8.0), Some(16.0)]);
        assert_eq!((width.steps(8.0)[0], width.steps(40.0)[1]), (None, None));
        assert_eq!(width.steps(11.0), [Some(8.0), Some(12.0)]);
    }
}
