//! Where the loads lay: both together, one of them, or both diagonal.

use super::{Apply, Cause, Chance, OFFSET, Typed, Wording, steps};
use solver::causes::Prior;
use solver::forecast::Law;
use solver::rig::Loader;
use solver::system::System;
use study::Case;
use study::model::Model;
use study::unknowns::suspected;

fn thing(model: &Model) -> [&'static str; 2] {
    let strap = |l: Loader| matches!(l, Loader::Strap { .. });
    if strap(model.rig.upper) && strap(model.rig.lower) { ["strap", "straps"] } else { ["load", "loads"] }
}

/// The causes of offsets. The first moves both loads together.
pub(super) fn offsets(model: &Model, system: &System) -> Vec<Cause> {
    let (upper, lower) = (model.rig.upper.offset_mm(), model.rig.lower.offset_mm());
    let above = suspected::offset(system, true, model.rig.upper).ends();
    let below = suspected::offset(system, false, model.rig.lower).ends();
    let [one, both] = thing(model);
    let cause =
        |what: String, measure: String, chance: Chance, values: Vec<f64>, nominal: f64, apply: Apply| Cause {
            family: OFFSET.to_owned(),
            what,
            told: Wording::Signed("mm"),
            measure,
            reading: String::new(),
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
            format!("both {both} at"),
            format!("the offset of both {one} marks on the bars"),
            Chance::Offsets,
            steps(Law::Even { low: together[0], high: together[1] }, 9),
            upper,
            Box::new(move_both),
        ));
    }
    for (word, range, nominal, is_upper) in [("upper", above, upper, true), ("lower", below, lower, false)] {
        if range[1] <= range[0] {
            continue;
        }
        let apply = move |setting: &Case, mm: f64| {
            let mut changed = setting.clone();
            let end = if is_upper { &mut changed.rig.upper } else { &mut changed.rig.lower };
            *end = end.placed(mm);
            Some(changed)
        };
        all.push(cause(
            format!("the {word} {one} at"),
            format!("the offset of the {word} {one} mark on its bar"),
            Chance::OneOffset,
            steps(Law::Even { low: range[0], high: range[1] }, 5),
            nominal,
            Box::new(apply),
        ));
    }
    if diagonal > 1.0 {
        // The lower goes as far to the other side.
        let sum = upper + lower;
        let apply = move |setting: &Case, mm: f64| {
            let mut changed = setting.clone();
            changed.rig.upper = changed.rig.upper.placed(mm);
            changed.rig.lower = changed.rig.lower.placed(sum - mm);
            Some(changed)
        };
        let placed_diagonally = cause(
            format!("the {both} placed diagonally, the upper at"),
            format!("the offsets of both {one} marks"),
            Chance::OneOffset,
            steps(Law::Even { low: upper - diagonal, high: upper + diagonal }, 5),
            upper,
            Box::new(apply),
        );
        all.push(Cause { told: Wording::Diagonal { sum }, ..placed_diagonally });
    }
    all
}
