//! The places at which a connector may be found broken, in the words of who looks at it.

/// A place that was found broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Its word.
    pub word: &'static str,
    /// A limit's `what` that holds one of these is of this place.
    parts: &'static [&'static str],
    /// A `tears_at` that holds all words of one of these is of this place.
    tears: &'static [&'static [&'static str]],
}

const fn part(word: &'static str, parts: &'static [&'static str]) -> Place {
    Place { word, parts, tears: &[] }
}

const fn tear(word: &'static str, tears: &'static [&'static [&'static str]]) -> Place {
    Place { word, parts: &[], tears }
}

/// Parts at the hinge: everything there is at its pin.
const AT_THE_HINGE: [&str; 4] = ["hinge pin, ", "at the hinge pin", "by the hinge pin", "hinge lug"];
/// Parts of the nose, its pin and what that is in.
const OF_THE_NOSE: [&str; 7] = [
    "nose pin, ",
    "at the nose pin",
    "by the nose pin",
    "root of the nose",
    "head of the nose",
    "lip of the notch",
    "flank of the notch",
];

/// All places, the more particular before the more general. What is found broken at a pin may be the pin or what it is in:
/// the gate's lug, and at the hinge the frame's lug. "pin" alone is the pins themselves.
pub const PLACES: [Place; 23] = [
    part("lip", &["lip of the notch", "flank of the notch"]),
    part("notch", &["lip of the notch", "flank of the notch", "pin riding out of the notch"]),
    part("riding out", &["pin riding out of the notch"]),
    part("nose pin", &["nose pin, ", "at the nose pin", "by the nose pin"]),
    part("hinge pin", &AT_THE_HINGE),
    part("pin", &["nose pin, ", "hinge pin, "]),
    part("hinge lug", &["hinge lug"]),
    part("lug", &["hinge lug", "gate, torn"]),
    part("hinge", &AT_THE_HINGE),
    part("gate", &["gate, ", "gate behind"]),
    part("nose root", &["root of the nose"]),
    Place { word: "nose", parts: &OF_THE_NOSE, tears: &[&["nose"]] },
    part("head", &["head of the nose"]),
    part("strap", &["upper strap", "lower strap"]),
    part("upper strap", &["upper strap"]),
    part("lower strap", &["lower strap"]),
    tear("spine", &[&["spine"]]),
    tear("upper corner", &[&["upper corner"], &["a corner"], &["upper bar", "corner"]]),
    tear("lower corner", &[&["lower corner"], &["a corner"], &["lower bar", "corner"]]),
    tear("corner", &[&["corner"]]),
    tear("upper bar", &[&["upper bar"]]),
    tear("lower bar", &[&["lower bar"]]),
    Place { word: "frame", parts: &["frame opens"], tears: &[&["spine"], &["corner"], &["bar"]] },
];

impl Place {
    /// The place of a word as typed: small and capital letters, spaces and hyphens alike. The names of limits and the places of
    /// tears, as a forecast tells them, are words as well.
    #[must_use]
    pub fn find(word: &str) -> Option<Self> {
        let plain = |text: &str| text.trim().to_lowercase().replace(['-', '_'], " ");
        let word = plain(word);
        // Of the places that a part belongs to: the longest word that its name begins with, or the one with the fewest parts. Of
        // those of a tear, the most particular.
        let part = || {
            let of = PLACES.into_iter().filter(|p| p.is_part(&word));
            let longest = of.clone().filter(|p| word.starts_with(p.word)).max_by_key(|p| p.word.len());
            longest.or_else(|| of.min_by_key(|p| p.parts.len()))
        };
        let tear = || {
            let (at, _) = word.split_once(", ")?;
            PLACES.into_iter().rev().filter(|p| p.is_tear(at)).max_by_key(|p| p.word.len())
        };
        PLACES.into_iter().find(|p| p.word == word).or_else(part).or_else(tear)
    }

    /// True for a part of this place.
    #[must_use]
    pub fn is_part(&self, what: &str) -> bool {
        self.parts.iter().any(|p| what.contains(p))
    }

    /// True for a tear at this place.
    #[must_use]
    pub fn is_tear(&self, tears_at: &str) -> bool {
        self.tears.iter().any(|words| words.iter().all(|w| tears_at.contains(w)))
    }
}
