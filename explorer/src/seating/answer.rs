//! The short plain answer of `seats`.

use super::{SeatPlace, SeatsFound};
use solver::rig::{Loader, Rig};
use solver::seats::{Footing, Regime};
use std::fmt::Write;

/// Friction below this is told as none.
const NONE: f64 = 5e-3;

/// No strap and no bar has more friction than this.
const MOST: f64 = 1.0;

pub(super) fn friction(mu: f64) -> String {
    if mu < NONE {
        "none".to_owned()
    } else if mu > MOST {
        format!("above {MOST}")
    } else {
        format!("{mu:.2}")
    }
}

fn offset(mm: f64) -> String {
    let mm = if mm.abs() < 0.05 { 0.0 } else { mm };
    format!("{mm:+.1}")
}

fn thing(rig: &Rig) -> &'static str {
    match (rig.upper, rig.lower) {
        (Loader::Strap { .. }, Loader::Strap { .. }) => "straps",
        (Loader::Pin { .. }, Loader::Pin { .. }) => "bars",
        _ => "strap and bar",
    }
}

/// The regime in a sentence, with numbers.
pub(super) fn sentence(found: &SeatsFound, rig: &Rig) -> String {
    let things = thing(rig);
    let at = |p: &SeatPlace| format!("{} mm above and {} mm below", offset(p.upper_mm), offset(p.lower_mm));
    let held: Vec<String> = found
        .held_together_mm
        .iter()
        .filter(|r| r[1] - r[0] > 0.1)
        .map(|r| format!("{} to {} mm", offset(r[0]), offset(r[1])))
        .collect();
    let head = format!("The {things} are {}: ", found.regime.words());
    let Some(first) = found.rests.first() else {
        return format!("{head}nothing leads them anywhere.");
    };
    let percent = |p: &SeatPlace| 100.0 * p.drawn_from.unwrap_or_default();
    match found.regime {
        Regime::NoRoom => {
            format!(
                "The {things} fill the window: they have less than 2 mm to go, and rest at {}.",
                at(first)
            )
        }
        Regime::FreeToWander => {
            let places: Vec<String> = found.rests.iter().take(2).map(at).collect();
            let stay = if held.is_empty() {
                String::new()
            } else {
                format!(
                    ", and friction of {:.2} keeps both, at the same offset, anywhere from {}",
                    found.friction,
                    held.join(" and ")
                )
            };
            format!("{head}left to themselves they run to {}{stay}.", places.join(" or "))
        }
        Regime::HeldAtTheSpine | Regime::HeldInTheMiddle | Regime::DrawnToTheGate | Regime::DrawnAslant => {
            let stay = if held.is_empty() {
                format!("; friction of {:.2} holds them nowhere else", found.friction)
            } else {
                format!(
                    "; friction of {:.2} can also hold them, at the same offset, from {}",
                    found.friction,
                    held.join(" and ")
                )
            };
            format!("{head}from {:.0} % of all places they run to {}{stay}.", percent(first), at(first))
        }
    }
}

fn footing(place: &SeatPlace) -> &'static str {
    match place.footing {
        Footing::Stable => "rests",
        Footing::Neutral => "neutral",
        Footing::Unstable => "unstable",
        Footing::Slides if place.held => "friction",
        Footing::Slides => "slides",
    }
}

fn row(text: &mut String, place: &SeatPlace) {
    let bears = match (&place.forecast, &place.no_forecast) {
        (Some(f), _) => format!("{:>7.1} kN  {}", f.breaks_at_kn, f.gives_first),
        (None, Some(reason)) => format!("{:>10}  {reason}", "no"),
        (None, None) => String::new(),
    };
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "  {:<40} {:>7} {:>7}  {:<9} {:>8}  {bears}",
        place.name,
        offset(place.upper_mm),
        offset(place.lower_mm),
        footing(place),
        friction(place.needs()),
    );
}

/// The answer that `seats` prints.
#[must_use]
pub fn answer(found: &SeatsFound, rig: &Rig) -> String {
    let mut text = format!("{}\n{}\n{}\n", found.connector, found.rig, found.sentence);
    let _ = writeln!(
        text,
        "  {:<40} {:>7} {:>7}  {:<9} {:>8}  {:>10}  gives first",
        "place (offsets in mm, + to the gate)", "upper", "lower", "footing", "friction", "ends at"
    );
    for place in found.rests.iter().chain(&found.places) {
        row(&mut text, place);
    }
    if matches!((rig.upper, rig.lower), (Loader::Pin { .. }, _) | (_, Loader::Pin { .. })) {
        text.push_str(
            "Note: a bench holds its bars at their offset; the rests tell where loose bars would go.\n",
        );
    }
    for note in &found.assumed {
        let _ = writeln!(text, "Note: {note}");
    }
    if let Some(widths) = &found.widths {
        let _ = writeln!(text, "{}", widths.sentence);
    }
    text
}
