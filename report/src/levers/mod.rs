//! What one step of each key does, in words: the table, the sentence, and the JSON.

mod document;
mod names;

pub use document::Document;
pub use names::{change, followers, moved, name, short_turn, turn, value};

use crate::failure_modes;
use crate::numbers::{kilonewtons, percent};
use crate::{notes, rigs};
use names::not_moved;
use std::fmt::Write;
use study::levers::{Lever, Levers, Moved, Step};
use study::model::Model;

/// A change of the forecast below this is told as none in the table, kN.
const TOLD_KN: f64 = 0.05;

/// What all of it comes to: the step that buys most and the one that costs most.
#[must_use]
pub fn sentence(found: &Levers) -> String {
    let base = found.base.peak_kn;
    let told = |(lever, way, effect): Step<'_>| {
        format!("{} {} kN", moved(lever, way), change(effect.peak_kn - base))
    };
    let first = failure_modes::name(found.base.fails_first);
    let head = format!("Forecast {}, {first} first", kilonewtons(base));
    let clearly = |(_, _, effect): &Step<'_>| (effect.peak_kn - base).abs() >= TOLD_KN;
    let most = found.buys_most().filter(clearly).map(|way| format!("buys most: {}", told(way)));
    let least = found.costs_most().filter(clearly).map(|way| format!("costs most: {}", told(way)));
    let steps: Vec<String> = [most, least].into_iter().flatten().collect();
    if steps.is_empty() {
        return format!("{head}. No single step moves it by {TOLD_KN} kN.");
    }
    format!("{head}. One step that {}.", steps.join("; one that "))
}

/// A lever while the others are still being solved: the steps that were.
#[must_use]
pub fn on_the_way(lever: &Lever, base_kn: f64) -> String {
    let ways = lever
        .solved()
        .map(|(way, effect)| format!("{} {} kN", moved(lever, way), change(effect.peak_kn - base_kn)));
    ways.collect::<Vec<_>>().join(", ")
}

fn row(text: &mut String, found: &Levers, lever: &Lever, way: &Moved, named: bool) {
    let name = if named {
        format!("{} {}", name(lever.lever), value(lever.lever, lever.value))
    } else {
        String::new()
    };
    let to = value(lever.lever, way.value);
    let rest = match &way.effect {
        Ok(effect) => {
            let yields = match (effect.first_yield_kn, found.base.first_yield_kn) {
                (Some(here), Some(base)) => change(here - base),
                _ => "-".to_owned(),
            };
            let share = 100.0 * (effect.gate_fraction - found.base.gate_fraction);
            let share = if share.abs() < 0.05 { "0".to_owned() } else { format!("{share:+.1}") };
            let turn = turn(lever, way).map_or_else(String::new, |turn| format!("  {turn}"));
            let slides = effect.slides.map_or_else(String::new, |needed| {
                format!("  does not stay there: needs friction {}", crate::seats::friction(needed))
            });
            let with = if named { followers(lever) } else { String::new() };
            let with = with.strip_prefix(", ").map_or_else(String::new, |with| format!("  ({with})"));
            format!(
                "{:>9} {yields:>11} {share:>11}{turn}{slides}{with}",
                change(effect.peak_kn - found.base.peak_kn)
            )
        }
        Err(reason) => {
            let lines = not_moved(reason);
            format!("  not possible: {}", lines.lines().collect::<Vec<_>>().join("; "))
        }
    };
    // Writing to a string cannot fail.
    let _ = writeln!(text, "  {name:<44} {to:>12} {rest}");
}

/// The answer that `levers` prints.
#[must_use]
pub fn answer(found: &Levers, model: &Model) -> String {
    let mut text = format!("{}\n{}\n{}\n", model.title, rigs::rig(&model.rig), sentence(found));
    let yields = found.base.first_yield_kn.map_or_else(|| "not found".to_owned(), kilonewtons);
    let _ = writeln!(
        text,
        "  as entered: first yield {yields}, the gate carries {} at {}",
        percent(found.base.gate_fraction),
        kilonewtons(model.rig.load_kn)
    );
    let _ = writeln!(
        text,
        "  {:<44} {:>12} {:>9} {:>11} {:>11}",
        "one step of", "to", "forecast", "first yield", "gate's share"
    );
    let _ = writeln!(text, "  {:<44} {:>12} {:>9} {:>11} {:>11}", "", "", "kN", "kN", "points");
    let moves = |lever: &Lever| {
        found.strength_kn(lever) >= TOLD_KN || lever.ways.iter().flatten().any(|way| way.turn.is_some())
    };
    for lever in found.levers.iter().filter(|lever| moves(lever)) {
        for (i, way) in lever.ways.iter().flatten().enumerate() {
            row(&mut text, found, lever, way, i == 0);
        }
    }
    let still: Vec<String> =
        found.levers.iter().filter(|lever| !moves(lever)).map(|lever| name(lever.lever)).collect();
    if !still.is_empty() {
        let _ = writeln!(text, "Below {TOLD_KN} kN, as far as it could be moved: {}.", still.join("; "));
    }
    if let Some(needed) = found.base.slides {
        let _ = writeln!(
            text,
            "Note: as entered a strap does not stay where it is put: friction of {} is needed, and {:.2} may be relied on",
            crate::seats::friction(needed),
            model.rig.friction
        );
    }
    let base = &found.base;
    if base.gate_fraction > 0.0 && base.first_yield_kn.is_some_and(|kn| kn > base.fails_at_kn) {
        let _ = writeln!(
            text,
            "Note: first yield supposes that what fails first, at {}, still holds",
            kilonewtons(base.fails_at_kn)
        );
    }
    for note in notes::notes(model) {
        let _ = writeln!(text, "Note: {note}");
    }
    text
}
