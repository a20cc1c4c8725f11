//! What the model itself gives as a range.

use super::{Cause, CauseOf, Chance, Stated, Typed, Unit, ValueKind, steps_beside, with};
use crate::model::Model;
use crate::unknowns::{Unknown, UnknownOf};

pub(super) fn stated_ranges(model: &Model, unknowns: &[Unknown], all: &mut Vec<Cause>) {
    for unknown in unknowns.iter().filter(|u| u.is_of_the_model()) {
        let (law, nominal) = (unknown.told_law(), unknown.told_middle());
        let (stated, unit) = match (unknown.strength_of(), &unknown.of) {
            (Some(body), _) => (Stated::Strength(body, unknown.strength()), Unit::Megapascals),
            (None, UnknownOf::Key(key)) => (Stated::of_key(key), unit_of(key)),
            // Whatever else the model states is a key.
            (None, _) => continue,
        };
        let typed = match &stated {
            Stated::Strength(..) | Stated::Corner(_) => Typed::NoKey,
            Stated::Key(key) => Typed::Value(key.clone()),
        };
        all.push(Cause {
            of: CauseOf::Stated(stated),
            told: ValueKind::Plain(unit),
            chance: Chance::StatedRange,
            prior: law.into(),
            values: steps_beside(law, 3, nominal),
            nominal: Some(nominal),
            pairs: true,
            more_than: None,
            typed,
            apply: with(model, unknown),
        });
    }
}

/// The unit of a key's value.
fn unit_of(key: &str) -> Unit {
    // One corner of four.
    let stem = key.split('[').next().unwrap_or(key);
    let units = [
        ("_mm", Unit::Millimetres),
        ("_deg", Unit::Degrees),
        ("_kn", Unit::Kilonewtons),
        ("_mpa", Unit::Megapascals),
    ];
    units.into_iter().find(|(end, _)| stem.ends_with(end)).map_or(Unit::None, |(_, unit)| unit)
}
