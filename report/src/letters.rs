//! Letters of words.

/// Words that begin a sentence or a label.
#[must_use]
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_letter_alone_is_made_one() {
        assert_eq!(["both at the gate", "é", ""].map(capital), ["Both at the gate", "É", ""]);
    }
}
