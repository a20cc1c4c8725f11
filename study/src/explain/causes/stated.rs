//! What the model itself gives as a range.

use super::{Cause, CauseOf, Chance, Stated, Typed, Unit, ValueKind, steps_beside, with};
use crate::model::quantity::Dimension;
use crate::model::{Model, keys};
use crate::unknowns::{Unknown, UnknownOf};

pub(super) fn stated_ranges(model: &Model, unknowns: &[Unknown], all: &mut Vec<Cause>) {
    for unknown in unknowns.iter().filter(|u| u.is_of_the_model()) {
        let (law, nominal) = (unknown.told_law(), unknown.told_middle());
        let (stated, unit) = match (unknown.strength_of(), &unknown.of) {
            (Some(body), _) => (Stated::Strength(body, unknown.strength()), Unit::Of(Dimension::Stress)),
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
fn unit_of(path: &str) -> Unit {
    // One corner of four.
    let path = path.split('[').next().unwrap_or(path);
    Unit::Of(keys::find(path).and_then(|key| key.kind.dimension()).unwrap_or(Dimension::Ratio))
}
