//! Places of a connector, as sentences and lists have them.

use geometry::outline::{Across, Along, Bar, Corner, FrameLocation, GateLocation, Location};

/// A place, part first: "spine, inner side beside the lower corner".
#[must_use]
pub fn location(at: Location) -> String {
    match at {
        Location::Frame(at) => frame(at),
        Location::Gate(at) => gate(at).to_owned(),
    }
}

/// What the highest stresses leave out: the joints, which are told apart, and places at which a stress of the model is no result.
pub const AWAY: &str = "away from notch, hinge hole, contacts and sharp corners";

/// The leg that ends in the nose.
pub const NOSE_LEG: &str = "nose";

/// The words of a place of the frame: its part, and where on it.
fn words(at: FrameLocation) -> (&'static str, Option<String>) {
    match at {
        FrameLocation::NotchLip => ("lip of the notch", None),
        FrameLocation::LipRoot => ("root of the lip, in the notch", None),
        FrameLocation::NotchEnd => ("closed end of the notch", None),
        FrameLocation::NotchBarSide => ("notch, on the bar's side", None),
        FrameLocation::HingeHole => ("edge of the hinge hole", None),
        FrameLocation::Bar(part, along, across) => {
            (bar(part), Some(format!("{}{}", side(across), beside(part, along))))
        }
        FrameLocation::Corner(at, across) => (corner(at), Some(side(across).to_owned())),
        FrameLocation::HingeLeg(across) => ("lug", Some(side(across).to_owned())),
        FrameLocation::NoseLeg(across) => (NOSE_LEG, Some(side(across).to_owned())),
    }
}

/// A place of the frame, part first.
#[must_use]
pub fn frame(at: FrameLocation) -> String {
    match words(at) {
        (part, Some(on_it)) => format!("{part}, {on_it}"),
        (part, None) => part.to_owned(),
    }
}

/// A place of the gate, part first.
#[must_use]
pub const fn gate(at: GateLocation) -> &'static str {
    match at {
        GateLocation::NosePin => "gate, at the nose pin",
        GateLocation::Middle => "gate, at mid length",
        GateLocation::HingePin => "gate, at the hinge pin",
    }
}

/// "spine, inner side beside a corner" is, in a sentence, "spine's inner side beside a corner".
#[must_use]
pub fn frame_in_sentence(at: FrameLocation) -> String {
    match words(at) {
        (part, Some(on_it)) => format!("{part}'s {on_it}"),
        (part, None) => part.to_owned(),
    }
}

/// The name of a bar.
#[must_use]
pub const fn bar(bar: Bar) -> &'static str {
    match bar {
        Bar::Lower => "lower bar",
        Bar::Spine => "spine",
        Bar::Upper => "upper bar",
    }
}

/// Which corner of the window: "upper spine".
#[must_use]
pub const fn corner_of_window(at: Corner) -> &'static str {
    match at {
        Corner::LowerGate => "lower gate",
        Corner::LowerSpine => "lower spine",
        Corner::UpperSpine => "upper spine",
        Corner::UpperGate => "upper gate",
    }
}

/// The name of a corner.
#[must_use]
pub const fn corner(at: Corner) -> &'static str {
    match at {
        Corner::LowerGate => "lower corner on the gate side",
        Corner::LowerSpine => "lower corner of the spine",
        Corner::UpperSpine => "upper corner of the spine",
        Corner::UpperGate => "upper corner on the gate side",
    }
}

const fn side(across: Across) -> &'static str {
    match across {
        Across::Inner => "inner side",
        Across::Inside => "inside the bar",
        Across::Outer => "outer side",
    }
}

/// What follows the side.
const fn beside(bar: Bar, along: Along) -> &'static str {
    match (along, bar) {
        (Along::Between, _) => "",
        (Along::EitherEnd, _) => " beside a corner",
        (Along::Middle, Bar::Spine) => " at mid height",
        (Along::Middle, Bar::Lower | Bar::Upper) => " at mid width",
        (Along::Start, Bar::Lower) | (Along::End, Bar::Upper) => " beside the gate-side corner",
        (Along::End, Bar::Lower) | (Along::Start, Bar::Upper) => " beside the spine corner",
        (Along::Start, Bar::Spine) => " beside the lower corner",
        (Along::End, Bar::Spine) => " beside the upper corner",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_are_named_from_the_bar_that_ends_there() {
        let words = |bar, along| frame(FrameLocation::Bar(bar, along, Across::Inner));
        assert_eq!(words(Bar::Spine, Along::Start), "spine, inner side beside the lower corner");
        assert_eq!(words(Bar::Lower, Along::End), "lower bar, inner side beside the spine corner");
        assert_eq!(words(Bar::Upper, Along::End), "upper bar, inner side beside the gate-side corner");
        assert_eq!(words(Bar::Upper, Along::Between), "upper bar, inner side");
        let tear = FrameLocation::Bar(Bar::Spine, Along::EitherEnd, Across::Inner);
        assert_eq!(frame_in_sentence(tear), "spine's inner side beside a corner");
        assert_eq!(frame_in_sentence(FrameLocation::NotchEnd), "closed end of the notch");
    }
}
