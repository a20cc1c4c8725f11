//! The names of parts and of how they fail, as sentences have them.

/// A part that fails, as subject and verb: "the lip of the notch" and "gives", "the hinge pin" and "is sheared".
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
    }
}
