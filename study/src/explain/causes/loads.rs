//! Where the loads lay: both together, one of them, or both diagonal.

use super::{Apply, Cause, CauseOf, Chance, Loads, Moved, Typed, Unit, ValueKind, steps};
use crate::Case;
use crate::model::Model;
use crate::model::quantity::Dimension;
use crate::unknowns::suspected;
use solver::causes::Prior;
use solver::forecast::Law;
use solver::rig::Loader;
use solver::system::System;

fn loads_of(model: &Model) -> Loads {
    let strap = |l: Loader| matches!(l, Loader::Strap { .. });
    if strap(model.rig.upper) && strap(model.rig.lower) { Loads::Straps } else { Loads::Mixed }
}

/// The causes of offsets. The first moves both loads together.
pub(super) fn offsets(model: &Model, system: &System) -> Vec<Cause> {
    let (upper, lower) = (model.rig.upper.offset_mm(), model.rig.lower.offset_mm());
    let above = suspected::offset(system, true, model.rig.upper).ends();
    let below = suspected::offset(system, false, model.rig.lower).ends();
    let loads = loads_of(model);
    let cause = |moved: Moved, chance: Chance, values: Vec<f64>, nominal: f64, apply: Apply| Cause {
        of: CauseOf::Offset(moved, loads),
        told: ValueKind::Signed(Unit::Of(Dimension::Length)),
        chance,
        prior: Prior::Even,
        values,
        nominal: Some(nominal),
        pairs: false,
        more_than: None,
        typed: Typed::Nothing,
        apply,
    };
    let move_both = move |setting: &Case, mm: f64| {
        let mut changed = setting.clone();
        changed.rig.upper = changed.rig.upper.placed(mm);
        changed.rig.lower = changed.rig.lower.placed(mm - upper + lower);
        Some(changed)
    };
    let together = [above[0].max(below[0] + upper - lower), above[1].min(below[1] + upper - lower)];
    let diagonal = (above[1] - upper).min(lower - below[0]).min(upper - above[0]).min(below[1] - lower);
    let mut all = Vec::new();
    if together[1] > together[0] {
        all.push(cause(
            Moved::Both,
            Chance::Offsets,
            steps(Law::Even { low: together[0], high: together[1] }, 9),
            upper,
            Box::new(move_both),
        ));
    }
    for (moved, range, nominal) in [(Moved::Upper, above, upper), (Moved::Lower, below, lower)] {
        if range[1] <= range[0] {
            continue;
        }
        let apply = move |setting: &Case, mm: f64| {
            let mut changed = setting.clone();
            let end = if moved == Moved::Upper { &mut changed.rig.upper } else { &mut changed.rig.lower };
            *end = end.placed(mm);
            Some(changed)
        };
        all.push(cause(
            moved,
            Chance::OneOffset,
            steps(Law::Even { low: range[0], high: range[1] }, 5),
            nominal,
            Box::new(apply),
        ));
    }
    if diagonal > 1.0 {
        // The lower goes as far to the other side.
        let sum_mm = upper + lower;
        let apply = move |setting: &Case, mm: f64| {
            let mut changed = setting.clone();
            changed.rig.upper = changed.rig.upper.placed(mm);
            changed.rig.lower = changed.rig.lower.placed(sum_mm - mm);
            Some(changed)
        };
        let placed_diagonally = cause(
            Moved::Diagonal,
            Chance::OneOffset,
            steps(Law::Even { low: upper - diagonal, high: upper + diagonal }, 5),
            upper,
            Box::new(apply),
        );
        all.push(Cause { told: ValueKind::Diagonal { sum_mm }, ..placed_diagonally });
    }
    all
}
