//! Letters of words.

/// Words that begin a sentence or a label.
#[must_use]
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What keeps its capital within a sentence: labels that begin with somebody's name.
const NAMES: [&str; 2] = ["Young's ", "Poisson's "];

/// A label within a sentence.
#[must_use]
pub fn small(words: &str) -> String {
    if NAMES.iter().any(|name| words.starts_with(name)) {
        return words.to_owned();
    }
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// Words of a picture as type has them: a true minus, and numbers that keep their unit on their line.
#[must_use]
pub fn typeset(words: &str) -> String {
    words
        .replace(" -", " \u{2212}")
        .replace("(-", "(\u{2212}")
        .replace(" mm", "\u{a0}mm")
        .replace(" kN", "\u{a0}kN")
        .replace(" %", "\u{a0}%")
}

/// Words for a terminal or a script: without blanks that do not break, and with the minus that everything there has.
#[must_use]
pub fn plain(words: &str) -> String {
    words.replace('\u{a0}', " ").replace('\u{2212}', "-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_letter_alone_is_made_one() {
        assert_eq!(plain(&typeset("from -2 to 3 mm, 5 %")), "from -2 to 3 mm, 5 %");
        assert_eq!(typeset("from -2 to 3 mm, 5 %"), "from \u{2212}2 to 3\u{a0}mm, 5\u{a0}%");
        assert_eq!(small("Offset at both ends"), "offset at both ends");
        assert_eq!(small("Young's modulus"), "Young's modulus");
        assert_eq!(small("Poisson's ratio"), "Poisson's ratio");
        assert_eq!(["both at the gate", "é", ""].map(capital), ["Both at the gate", "É", ""]);
    }
}
