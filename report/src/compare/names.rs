//! What variants are called, and what they are variants of.

use crate::keys::naming::{key_in_words, value_in_words};
use study::compare::{Compared, VariantName};

/// Letters of a title that names every model.
const LONGEST_TITLE: usize = 90;

/// What a variant is called beside its picture: "notch depth 6 mm", "oval".
#[must_use]
pub fn label(name: &VariantName) -> String {
    match name {
        VariantName::Value { key, .. } => format!("{} {}", key_in_words(key), short(name)),
        VariantName::Model(model) => model.clone(),
    }
}

/// What it is called in a sentence that names what varies: "6 mm", "oval".
pub(super) fn short(name: &VariantName) -> String {
    match name {
        VariantName::Value { key, value } => value_in_words(key, value),
        VariantName::Model(model) => model.clone(),
    }
}

/// What varies, in words, when one key does.
pub(super) fn varied<E>(compared: &Compared<E>) -> Option<String> {
    compared.key.as_deref().map(key_in_words)
}

/// What the variants are variants of: one model's title, or the models' names.
#[must_use]
pub fn title<E>(compared: &Compared<E>) -> String {
    if let (Some(_), Some(first)) = (&compared.key, compared.variants.first()) {
        return first.model.title.clone();
    }
    let names: Vec<String> = compared.variants.iter().map(|variant| short(&variant.name)).collect();
    let all = if names.len() > 1 { and(&names) } else { String::new() };
    // Each has its name beside it; above all of them long ones would leave no room for what differs.
    if all.chars().count() > LONGEST_TITLE { format!("{} connectors", names.len()) } else { all }
}

/// The models' short names, each once: "broadbar-alu", "oval, pear".
#[must_use]
pub fn models<E>(compared: &Compared<E>) -> String {
    let mut stems: Vec<&str> = compared.variants.iter().map(|variant| variant.stem.as_str()).collect();
    stems.dedup();
    stems.join(", ")
}

/// "a", "a and b", "a, b and c".
pub(super) fn and(all: &[String]) -> String {
    match all.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => all.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_told_with_its_key_and_a_model_by_its_name() {
        let depth = VariantName::Value { key: "nose.notch_depth_mm".to_owned(), value: "6".to_owned() };
        assert_eq!([label(&depth), short(&depth)], ["notch depth 6\u{a0}mm", "6\u{a0}mm"]);
        let oval = VariantName::Model("oval".to_owned());
        assert_eq!([label(&oval), short(&oval)], ["oval", "oval"]);
    }

    #[test]
    fn the_last_of_several_is_joined_by_a_word() {
        let all = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(
            [and(&all[..0]), and(&all[..1]), and(&all[..2]), and(&all)],
            ["", "a", "a and b", "a, b and c"]
        );
    }
}
