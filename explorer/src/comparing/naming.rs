//! Keys and values in the words of somebody who reads a picture: `nose.notch_depth_mm` is "notch depth", `6` is "6 mm".

use report::numbers::plain;
use study::model::keys::{self, Kind};

/// Endings that name a unit, not a thing.
const UNITS: [&str; 8] = ["_n_per_mm2", "_mpa", "_gpa", "_mm", "_kn", "_deg", "_percent", "_g"];

fn without_unit(name: &str) -> &str {
    UNITS.iter().find_map(|unit| name.strip_suffix(unit)).unwrap_or(name)
}

/// The key of the file that a key of the command line stands for.
fn in_file(key: &str) -> String {
    key.replacen("rig.both", "rig.upper", 1)
}

/// A key in words. The table's name goes with it where the key alone would not say whose length it is.
pub(crate) fn key_in_words(key: &str) -> String {
    let (table, name) = key.rsplit_once('.').unwrap_or(("", key));
    let thing = without_unit(name);
    let alone =
        keys::all().iter().filter(|k| k.table_and_name().1 == name).count() == 1 && thing.contains('_');
    let owner = match table {
        _ if alone => "",
        "rig" => "",
        "rig.both" if name == "width_mm" => "strap",
        "rig.both" => "",
        _ => table.rsplit('.').next().unwrap_or(""),
    };
    let words = match (table, thing) {
        ("material", _) => format!("{thing} metal"),
        (_, "kind") => format!("{owner} load by"),
        _ => format!("{owner} {thing}"),
    };
    words.trim().replace('_', " ")
}

/// A value in words: a bare number gets the unit of its key, everything else stays as typed.
pub(crate) fn value_in_words(key: &str, value: &str) -> String {
    if key.ends_with(".kind") && value == "bar" {
        return "bench\u{a0}bar".to_owned();
    }
    let unit = match keys::find(&in_file(key)).map(|k| k.kind) {
        Some(Kind::Number { dimension, .. }) => dimension.base_unit(),
        Some(Kind::Corners { .. }) => "mm",
        _ => "",
    };
    let words = match value.parse::<f64>() {
        Ok(number) if number.is_finite() && !unit.is_empty() => format!("{} {unit}", plain(number)),
        _ => value.to_owned(),
    };
    // A true minus before a number, not within a name such as 7075-t6; the number and its unit stay on one line.
    let words = match words.strip_prefix('-') {
        Some(number) if number.starts_with(|c: char| c.is_ascii_digit() || c == '.') => {
            format!("\u{2212}{number}")
        }
        _ => words,
    };
    words.replace(' ', "\u{a0}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_and_values_read_as_words() {
        for (key, words) in [
            ("nose.notch_depth_mm", "notch depth"),
            ("nose.tip_mm", "nose tip"),
            ("gate.width_mm", "gate width"),
            ("hinge.pin_diameter_mm", "hinge pin diameter"),
            ("rig.both.offset_mm", "offset"),
            ("rig.both.width_mm", "strap width"),
            ("rig.upper.offset_mm", "upper offset"),
            ("rig.both.kind", "load by"),
            ("rig.gate", "gate"),
            ("rig.load_kn", "load"),
            ("material.frame", "frame metal"),
            ("section.spine.depth_mm", "spine depth"),
        ] {
            assert_eq!(key_in_words(key), words, "{key}");
        }
        let value = |key, value| value_in_words(key, value).replace('\u{a0}', " ");
        assert_eq!(value("nose.notch_depth_mm", "6"), "6 mm");
        assert_eq!(value("rig.both.offset_mm", "-15"), "\u{2212}15 mm");
        assert_eq!(value("material.frame", "7075-t6"), "7075-t6");
        assert_eq!(value("nose.tip_mm", "1/2 in"), "1/2 in");
        assert_eq!(value("rig.gate", "open"), "open");
        assert_eq!(value("rig.both.kind", "bar"), "bench bar");
        assert_eq!(value("rig.friction", "0.3"), "0.3");
    }
}
