//! Seats in words: the regime, the short plain answer, and the JSON.

mod document;
mod places;
mod widths;

pub use document::Document;
pub use places::name;

use crate::{failure_modes, notes, rigs};
use solver::rig::{Loader, Rig};
use solver::seats::{Footing, Regime};
use std::fmt::Write;
use study::model::Model;
use study::seats::{SeatPlace, SeatsError, SeatsFound, Widths};

/// Friction below this is told as none.
const NONE: f64 = 5e-3;
/// Offsets closer than this are the same, mm.
const SAME: f64 = 1e-9;

/// No strap and no bar has more friction than this.
const MOST: f64 = 1.0;

/// A coefficient of friction, for people.
#[must_use]
pub fn friction(mu: f64) -> String {
    if mu < NONE {
        "none".to_owned()
    } else if mu > MOST {
        format!("above {MOST}")
    } else {
        format!("{mu:.2}")
    }
}

/// An offset to a tenth that still fits: typed back it is accepted, so an end of the room is rounded inward.
pub(crate) fn offset(mm: f64, room: [f64; 2]) -> String {
    let near = (10.0 * mm).round() / 10.0;
    let told = if near > room[1] && mm <= room[1] + SAME {
        inward(room)[1]
    } else if near < room[0] && mm >= room[0] - SAME {
        inward(room)[0]
    } else {
        near
    };
    signed(told)
}

/// A range to tenths, none of it outside the range.
fn inward([low, high]: [f64; 2]) -> [f64; 2] {
    [(10.0 * (low - SAME)).ceil() / 10.0, (10.0 * (high + SAME)).floor() / 10.0]
}

fn signed(mm: f64) -> String {
    // No minus before a zero.
    format!("{:+.1}", if mm.abs() < 0.05 { 0.0 } else { mm })
}

/// A range that is no wider is no range to choose a place in, mm.
const NARROW_MM: f64 = 0.1;

/// Ranges at which friction holds both, in words; nothing where the rig relies on no friction.
fn held_in_words(found: &SeatsFound) -> Vec<String> {
    if found.friction < NONE {
        return Vec::new();
    }
    let both = found.room_of_both_mm();
    let told = found.held_together_mm.iter().filter(|r| r[1] - r[0] > NARROW_MM);
    told.map(|r| format!("{} to {} mm", offset(r[0], both), offset(r[1], both))).collect()
}

/// A regime, after "are".
const fn regime(regime: Regime) -> &'static str {
    match regime {
        Regime::HeldAtTheSpine => "held at the spine",
        Regime::HeldInTheMiddle => "held in the middle",
        Regime::NoPreferredPlace => "without a preferred place",
        Regime::DrawnToTheGate => "drawn to the gate",
        Regime::Diagonal => "drawn to a diagonal",
        Regime::NoRoom => "without room to move",
    }
}

fn thing(rig: &Rig) -> &'static str {
    match (rig.upper, rig.lower) {
        (Loader::Strap { .. }, Loader::Strap { .. }) => "straps",
        (Loader::Bar { .. }, Loader::Bar { .. }) => "bars",
        _ => "strap and bar",
    }
}

/// The regime in a sentence, with numbers.
#[must_use]
pub fn sentence(found: &SeatsFound, rig: &Rig) -> String {
    let things = thing(rig);
    let [above, below] = found.room_mm;
    let at = |p: &SeatPlace| {
        format!("{} mm above and {} mm below", offset(p.upper_mm, above), offset(p.lower_mm, below))
    };
    let held = held_in_words(found);
    let head = format!("The {things} are {}: ", regime(found.regime));
    let Some(first) = found.resting_places.first() else {
        return format!("{head}nothing leads them anywhere.");
    };
    let percent = |p: &SeatPlace| 100.0 * p.share_of_starting_places.unwrap_or_default();
    match found.regime {
        Regime::NoRoom => {
            format!(
                "The {things} fill the window: they have less than 2 mm to go, and rest at {}.",
                at(first)
            )
        }
        Regime::NoPreferredPlace => {
            let places: Vec<String> = found.resting_places.iter().take(2).map(at).collect();
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
        Regime::HeldAtTheSpine | Regime::HeldInTheMiddle | Regime::DrawnToTheGate | Regime::Diagonal => {
            let [low, high] = found.room_of_both_mm();
            let stay = if found.friction < NONE || high - low < NARROW_MM {
                // Places of their own, if any, are told row by row.
                String::new()
            } else if held.is_empty() {
                format!("; friction of {:.2} holds them nowhere else at the same offset", found.friction)
            } else {
                format!(
                    "; friction of {:.2} can hold them before they get there, at the same offset, from {}",
                    found.friction,
                    held.join(" and ")
                )
            };
            format!(
                "{head}without friction they run to {}, from {:.0} % of all starting places{stay}.",
                at(first),
                percent(first)
            )
        }
    }
}

fn footing(place: &SeatPlace) -> &'static str {
    match place.footing {
        Footing::Stable => "at rest",
        Footing::Slides if place.held => "slides, held",
        // In balance, and friction keeps it there.
        Footing::Unstable | Footing::Neutral if place.held => "held",
        Footing::Neutral => "neutral",
        Footing::Unstable => "unstable",
        Footing::Slides => "slides",
    }
}

fn row(text: &mut String, place: &SeatPlace, [above, below]: [[f64; 2]; 2]) {
    let holds = match &place.holds {
        Ok(f) => format!("{:>7.1} kN  {}", f.peak_kn, failure_modes::name(f.fails_first)),
        Err(reason) => format!("{:>10}  {reason}", "no"),
    };
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "  {:<40} {:>7} {:>7}  {:<12} {:>8}  {holds}",
        name(place.name),
        offset(place.upper_mm, above),
        offset(place.lower_mm, below),
        footing(place),
        friction(place.needs()),
    );
}

/// The answer that `seats` prints.
#[must_use]
pub fn answer(found: &SeatsFound, model: &Model) -> String {
    let rig = &model.rig;
    let mut text = format!("{}\n{}\n{}\n", model.title, rigs::rig(rig), sentence(found, rig));
    let _ = writeln!(
        text,
        "  {:<40} {:>7} {:>7}  {:<12} {:>8}  {:>10}  fails first",
        "place (offsets in mm, + to the gate)", "upper", "lower", "footing", "friction", "ends at"
    );
    for place in found.resting_places.iter().chain(&found.places) {
        row(&mut text, place, found.room_mm);
    }
    if matches!((rig.upper, rig.lower), (Loader::Bar { .. }, _) | (_, Loader::Bar { .. })) {
        text.push_str(
            "Note: a bench holds its bars at their offset; the resting places tell where loose bars would go.\n",
        );
    }
    for note in notes::all_taken(model) {
        let _ = writeln!(text, "Note: {note}");
    }
    if let Some(widths) = &found.widths {
        let _ = writeln!(text, "{}", widths_sentence(widths, found.friction));
    }
    text
}

/// What the width of straps does to strength here, in a sentence.
#[must_use]
pub fn widths_sentence(found: &Widths, friction: f64) -> String {
    widths::sentence(&found.narrow, &found.wide, found.middle_mm, friction)
}

/// Why nothing is known about the seats, the mistakes of a connector after their keys.
#[must_use]
pub fn error(error: &SeatsError) -> String {
    match error {
        SeatsError::System(error) => crate::building::system(error),
        SeatsError::Rig(error) => crate::building::mistake(error).reason.to_string(),
        SeatsError::TooWideABar => "a bar is wider than the window; use a thinner one".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offsets_at_the_end_of_the_room_are_rounded_inward() {
        let room = [-15.49, 15.19];
        assert_eq!(offset(15.19, room), "+15.1");
        assert_eq!(offset(-15.49, room), "-15.4");
        assert_eq!(offset(7.26, room), "+7.3");
        assert_eq!(offset(-0.04, room), "+0.0");
        // An end on a tenth stays what it is, rounding noise or not.
        assert_eq!(offset(15.5 - 1e-12, [-15.5, 15.5 - 1e-12]), "+15.5");
        // A place of the model that does not fit is told as it is.
        assert_eq!(offset(20.0, room), "+20.0");
        assert_eq!(inward([-13.74, 13.68]), [-13.7, 13.6]);
    }
}
