//! The names of parts and of how they fail, as sentences have them.

/// A part that fails, as subject and verb: "the lip of the notch" and "fails", "the hinge pin" and "is sheared".
#[must_use]
pub fn part_in_words(what: &str) -> (String, String) {
    match what.split_once(", ") {
        Some((part, how)) => (format!("the {part}"), format!("is {how}")),
        None if what == "frame opens" => ("the frame".to_owned(), "opens".to_owned()),
        None if what == "pin riding out of the notch" => {
            ("the pin".to_owned(), "rides out of the notch".to_owned())
        }
        None if what.ends_with("strap") => (format!("the {what}"), "breaks".to_owned()),
        None => (format!("the {what}"), "fails".to_owned()),
    }
}

/// The part without how it fails: "hinge pin", "frame".
#[must_use]
pub fn part_alone(what: &str) -> &str {
    let part = what.split(", ").next().unwrap_or(what);
    part.strip_suffix(" opens").unwrap_or(part)
}

/// "spine, inner side beside a corner" is, in a sentence, "spine's inner side beside a corner".
#[must_use]
pub fn of_place(place: &str) -> String {
    match place.split_once(", ") {
        Some((part, rest)) => format!("{part}'s {rest}"),
        None => place.to_owned(),
    }
}

/// The part with an article: "the hinge pin (sheared)".
#[must_use]
pub fn the(part: &str) -> String {
    match part.split_once(", ") {
        Some((part, how)) => format!("the {part} ({how})"),
        None => format!("the {part}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_read_as_subject_and_verb() {
        let words = |what| {
            let (part, verb) = part_in_words(what);
            format!("{part} {verb}")
        };
        assert_eq!(words("lip of the notch"), "the lip of the notch fails");
        assert_eq!(words("hinge pin, sheared"), "the hinge pin is sheared");
        assert_eq!(words("frame opens"), "the frame opens");
        assert_eq!(words("pin riding out of the notch"), "the pin rides out of the notch");
        assert_eq!(words("upper strap"), "the upper strap breaks");
        assert_eq!(
            ["hinge pin, sheared", "frame opens", "lip of the notch"].map(part_alone),
            ["hinge pin", "frame", "lip of the notch"]
        );
        assert_eq!(of_place("spine, inner side"), "spine's inner side");
    }
}
