//! Where the loads lay: both together, one of them, or both aslant.

use super::{Apply, Cause, OFFSET, Told, steps};
use crate::explaining::solving::Setting;
use crate::model_file::Model;
use crate::seating::placed;
use solver::causes::Prior;
use solver::rig::Loader;
use solver::seats::Track;
use solver::system::System;

/// Both straps beside where they were told to be.
pub(super) const OFFSETS: f64 = 0.1;
/// One of them, or both in opposite directions.
const ONE_OFFSET: f64 = 0.05;
/// Kept clear of the ends of a seat, mm.
const SPARE_MM: f64 = 0.3;

/// Offsets that fit at one end of a system, mm. Other shapes have other meshes, whose seats end up to a few tenths of a
/// millimetre elsewhere.
fn room(model: &Model, system: &System, upper: bool) -> [f64; 2] {
    let loader = if upper { model.rig.upper } else { model.rig.lower };
    let offset = loader.offset_mm();
    match Track::on(system, upper, loader).map(|track| track.range()) {
        Some((low, high)) if high - low > 2.0 * SPARE_MM => {
            [(low + SPARE_MM).min(offset), (high - SPARE_MM).max(offset)]
        }
        _ => [offset; 2],
    }
}

fn thing(model: &Model) -> [&'static str; 2] {
    let strap = |l: Loader| matches!(l, Loader::Strap { .. });
    if strap(model.rig.upper) && strap(model.rig.lower) { ["strap", "straps"] } else { ["load", "loads"] }
}

/// The causes of offsets. The first moves both loads together.
pub(super) fn offsets(model: &Model, system: &System) -> Vec<Cause> {
    let (upper, lower) = (model.rig.upper.offset_mm(), model.rig.lower.offset_mm());
    let (above, below) = (room(model, system, true), room(model, system, false));
    let [one, both] = thing(model);
    let cause =
        |what: String, measure: String, chance: f64, values: Vec<f64>, nominal: f64, apply: Apply| Cause {
            family: OFFSET.to_owned(),
            what,
            told: Told::Signed("mm"),
            measure,
            chance,
            prior: Prior::Even,
            values,
            nominal: Some(nominal),
            pairs: false,
            apply,
        };
    let move_both = move |setting: &Setting, mm: f64| {
        let mut changed = setting.clone();
        changed.rig.upper = placed(changed.rig.upper, mm);
        changed.rig.lower = placed(changed.rig.lower, mm - upper + lower);
        Some(changed)
    };
    let together = [above[0].max(below[0] + upper - lower), above[1].min(below[1] + upper - lower)];
    let aslant = (above[1] - upper).min(lower - below[0]).min(upper - above[0]).min(below[1] - lower);
    let mut all = Vec::new();
    if together[1] > together[0] {
        all.push(cause(
            format!("both {both} at"),
            format!("the offset of both {one} marks on the bars"),
            OFFSETS,
            steps(together[0], together[1], 9),
            upper,
            Box::new(move_both),
        ));
    }
    for (word, range, nominal, is_upper) in [("upper", above, upper, true), ("lower", below, lower, false)] {
        if range[1] <= range[0] {
            continue;
        }
        let apply = move |setting: &Setting, mm: f64| {
            let mut changed = setting.clone();
            let end = if is_upper { &mut changed.rig.upper } else { &mut changed.rig.lower };
            *end = placed(*end, mm);
            Some(changed)
        };
        all.push(cause(
            format!("the {word} {one} at"),
            format!("the offset of the {word} {one} mark on its bar"),
            ONE_OFFSET,
            steps(range[0], range[1], 5),
            nominal,
            Box::new(apply),
        ));
    }
    if aslant > 1.0 {
        let apply = move |setting: &Setting, mm: f64| {
            let mut changed = setting.clone();
            changed.rig.upper = placed(changed.rig.upper, upper + mm);
            changed.rig.lower = placed(changed.rig.lower, lower - mm);
            Some(changed)
        };
        all.push(cause(
            format!("the {both} aslant, the upper to the gate and the lower to the spine by"),
            format!("the offsets of both {one} marks"),
            ONE_OFFSET,
            steps(-aslant, aslant, 5),
            0.0,
            Box::new(apply),
        ));
    }
    all
}
