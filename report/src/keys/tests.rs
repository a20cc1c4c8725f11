//! Every key has its words, and no words are without a key.

use super::words::{WORDS, matches};
use super::*;
use study::model::keys;

#[test]
fn every_key_has_its_words_and_all_words_have_a_key() {
    for key in keys::all() {
        let of_it = WORDS.iter().filter(|(pattern, ..)| matches(pattern, &key.path)).count();
        assert_eq!(of_it, 1, "{}", key.path);
        assert!(!about(key).is_empty() && !label(key).contains('_'), "{}", key.path);
        assert_eq!(left_out(key).is_empty(), !matches!(key.need, Need::Else(_)), "{}", key.path);
    }
    for (pattern, label, about) in WORDS {
        assert!(keys::all().iter().any(|key| matches(pattern, &key.path)), "{pattern}");
        assert!(!label.is_empty() && !about.ends_with('.'), "{pattern}");
    }
}

#[test]
fn every_table_has_its_heading() {
    for table in keys::tables() {
        assert_eq!(template::heading(table).is_empty(), table.is_empty(), "{table}");
    }
}

#[test]
fn what_is_left_out_is_told() {
    let told = |path: &str| left_out(keys::find(path).unwrap());
    assert_eq!(told("gate.cheek_mm"), "3, or a third of the breadth if that is less");
    assert_eq!(told("rig.upper.width_mm"), "12 for a strap");
    assert_eq!(told("rig.gate"), "\"closed\"");
    assert_eq!(told("material.pins.shear_ultimate_mpa"), "0.6 of the ultimate strength");
    let on_a_page = |path: &str| left_out_on_a_page(keys::find(path).unwrap());
    assert_eq!(
        [on_a_page("rig.lower.diameter_mm"), on_a_page("rig.engaged_mm")],
        ["12", "half way into the notch"]
    );
    let when = |path: &str| needed_when(keys::find(path).unwrap());
    assert_eq!(when("section.lower.breadth_mm"), "the bar is not round");
    assert_eq!(when("section.upper.web_mm"), "shape = \"i\"");
    assert_eq!(when("rig.engaged_mm"), "gate = \"half\"");
}
