//! The words for places at which a connector may be found broken.

use crate::failure_modes;
use crate::locations::{NOSE_LEG, bar, corner};
use geometry::outline::{Bar, Corner};
use solver::causes::Place;
use solver::strength::FailureMode;
use study::model::hint::nearest;
use study::model::renamed;

/// The word of a place.
#[must_use]
pub const fn word(place: Place) -> &'static str {
    match place {
        Place::Lip => "lip",
        Place::Notch => "notch",
        Place::RidingOut => "riding out",
        Place::NosePin => "nose pin",
        Place::HingePin => "hinge pin",
        Place::Pin => "pin",
        Place::HingeLug => "hinge lug",
        Place::Lug => "lug",
        Place::Hinge => "hinge",
        Place::Gate => "gate",
        Place::NoseRoot => "nose root",
        Place::Nose => "nose",
        Place::Head => "head",
        Place::Strap => "strap",
        Place::UpperStrap => "upper strap",
        Place::LowerStrap => "lower strap",
        Place::Spine => "spine",
        Place::UpperCorner => "upper corner",
        Place::LowerCorner => "lower corner",
        Place::Corner => "corner",
        Place::UpperBar => "upper bar",
        Place::LowerBar => "lower bar",
        Place::Frame => "frame",
    }
}

/// The words of all places.
#[must_use]
pub fn words() -> Vec<&'static str> {
    Place::ALL.iter().copied().map(word).collect()
}

/// The place that a word means.
///
/// # Errors
/// A word that names none: what is allowed, with the nearest first.
pub fn typed(word: &str) -> Result<Place, String> {
    find(word).ok_or_else(|| {
        let (typed, words) = (word.to_lowercase(), words());
        let near = renamed::word(&typed, &words).or_else(|| nearest(&typed, words.iter().copied()));
        let near = near.map_or_else(String::new, |n| format!("did you mean {n}? "));
        format!("{near}allowed: {}", words.join(", "))
    })
}

/// The place of a word as typed: small and capital letters, spaces and hyphens alike. The names of limits and the places of
/// tears, as a forecast tells them, are words as well.
#[must_use]
pub fn find(typed: &str) -> Option<Place> {
    let typed = typed.trim().to_lowercase().replace(['-', '_'], " ");
    Place::ALL
        .iter()
        .copied()
        .find(|place| word(*place) == typed)
        .or_else(|| of_a_part(&typed))
        .or_else(|| of_a_tear(&typed))
}

/// The place of a part by its name.
fn of_a_part(typed: &str) -> Option<Place> {
    let mode = FailureMode::all().into_iter().find(|mode| failure_modes::name(*mode) == typed)?;
    Place::of_part(mode)
}

/// The place of a tear by its name, which is that of a bar, a corner or the nose before a comma and what stands after it.
fn of_a_tear(typed: &str) -> Option<Place> {
    let (part, _) = typed.split_once(", ")?;
    let named = |name: &str| name == part;
    [Bar::Lower, Bar::Spine, Bar::Upper]
        .into_iter()
        .find(|at| named(bar(*at)))
        .map(|at| match at {
            Bar::Lower => Place::LowerBar,
            Bar::Spine => Place::Spine,
            Bar::Upper => Place::UpperBar,
        })
        .or_else(|| {
            let corners = [Corner::LowerGate, Corner::LowerSpine, Corner::UpperSpine, Corner::UpperGate];
            let at = corners.into_iter().find(|at| named(corner(*at)))?;
            Some(match at {
                Corner::LowerGate | Corner::LowerSpine => Place::LowerCorner,
                Corner::UpperSpine | Corner::UpperGate => Place::UpperCorner,
            })
        })
        .or_else(|| named(NOSE_LEG).then_some(Place::Nose))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_for_places_are_found_as_typed() {
        assert_eq!(find("Hinge-Pin"), Some(Place::HingePin));
        // A slip of the keyboard is no other place.
        for typed in ["nozzle", "nosebleed", "hinge pni", "nose pni", ""] {
            assert_eq!(find(typed), None, "{typed}");
        }
        // The names that a forecast tells are places too.
        for (told, place) in [
            ("flank of the notch", Place::Lip),
            ("gate behind its notch", Place::Gate),
            ("Gate, torn out at the hinge pin", Place::Gate),
            ("hinge pin, sheared", Place::HingePin),
            ("root of the nose", Place::NoseRoot),
            ("frame opens", Place::Frame),
            ("upper bar, outer side", Place::UpperBar),
            ("pin riding out of the notch", Place::RidingOut),
            ("nose pin, sheared", Place::NosePin),
            ("hinge lug, torn across the hole", Place::HingeLug),
            ("head of the nose, sheared", Place::Head),
            ("upper strap", Place::UpperStrap),
            ("spine, inner side beside a corner", Place::Spine),
            ("upper corner of the spine, inner side", Place::UpperCorner),
            ("lower corner on the gate side, inner side", Place::LowerCorner),
            ("lower bar, inner side beside the spine corner", Place::LowerBar),
        ] {
            assert_eq!(find(told), Some(place), "{told}");
        }
        for place in Place::ALL.iter().copied() {
            assert_eq!(find(word(place)), Some(place));
        }
        // Every part that can end a pull has a place.
        for mode in FailureMode::all() {
            let yields = matches!(mode, FailureMode::FrameYields | FailureMode::FrameBends);
            let holds = |place: Place| place.is_part(mode);
            assert!(
                yields || find(failure_modes::name(mode)).is_some_and(holds),
                "{mode:?}: causes/place.rs"
            );
        }
    }
}
