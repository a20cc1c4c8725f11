//! Keys and values in the words of somebody who reads a picture: `nose.notch_depth_mm` is "notch depth", `6` is "6 mm".

use crate::numbers::plain;
use study::model::keys::{self, Key};
use study::model::quantity::Dimension;

/// Endings that name a unit, not a thing.
const UNITS: [&str; 9] = ["_n_per_mm2", "_g_cm3", "_mpa", "_gpa", "_mm", "_kn", "_deg", "_percent", "_g"];

fn without_unit(name: &str) -> &str {
    UNITS.iter().find_map(|unit| name.strip_suffix(unit)).unwrap_or(name)
}

/// The key of the file that a key of the command line stands for.
fn in_file(key: &str) -> String {
    key.replacen("rig.both", "rig.upper", 1)
}

/// A key in words. The table's name goes with it where the key alone would not say whose length it is.
#[must_use]
pub fn key_in_words(key: &str) -> String {
    let (table, name) = key.rsplit_once('.').unwrap_or(("", key));
    let thing = without_unit(name);
    let alone =
        keys::all().iter().filter(|k| k.table_and_name().1 == name).count() == 1 && thing.contains('_');
    let owner = match table {
        _ if alone => "",
        "rig" => "",
        "rig.both" if name == "width_mm" => "strap",
        "rig.both" => "",
        "section.upper" => "upper bar",
        "section.lower" => "lower bar",
        _ => table.rsplit('.').next().unwrap_or(""),
    };
    let words = match (table, thing) {
        ("material", _) => format!("{thing} metal"),
        (_, "kind") => format!("{owner} load by"),
        _ => format!("{owner} {thing}"),
    };
    words.trim().replace('_', " ")
}

/// A key that a sweep varies, in words: without its table where the key says whose it is, and without the unit of what it
/// measures: `notch depth`, `pin clearance of the nose`.
#[must_use]
pub fn varied_in_words(key: &str, measures: Option<Dimension>) -> String {
    let (table, name) = key.rsplit_once('.').unwrap_or(("", key));
    let unit = measures.map_or("", Dimension::ending);
    let name = name.strip_suffix(unit).unwrap_or(name).replace('_', " ");
    match table {
        "rig.both" => format!("{name} at both ends"),
        "rig.upper" | "rig.lower" | "section.upper" | "section.lower" | "section.spine" => {
            format!("{} {name}", table.rsplit('.').next().unwrap_or_default())
        }
        "rig" | "window" => name,
        "material" => format!("{name} material"),
        _ if name.starts_with(table) => name,
        "nose" if key.starts_with("nose.notch_") || key.starts_with("nose.lip_") => name,
        _ => format!("{} of the {}", name, table.rsplit('.').next().unwrap_or_default()),
    }
}

/// A value in words: a bare number gets the unit of its key, everything else stays as typed.
#[must_use]
pub fn value_in_words(key: &str, value: &str) -> String {
    if key.ends_with(".kind") && value == "bar" {
        return "bench\u{a0}bar".to_owned();
    }
    let unit = keys::find(&in_file(key)).map_or("", Key::unit);
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
    fn varied_keys_read_as_words() {
        let words = |key: &str| {
            varied_in_words(key, keys::find(&in_file(key)).and_then(|known| known.kind.dimension()))
        };
        for (key, told) in [
            ("nose.notch_depth_mm", "notch depth"),
            ("nose.pin_clearance_mm", "pin clearance of the nose"),
            ("rig.both.offset_mm", "offset at both ends"),
            ("rig.upper.width_mm", "upper width"),
            ("hinge.pin_diameter_mm", "pin diameter of the hinge"),
            ("material.frame", "frame material"),
            ("rig.gate", "gate"),
        ] {
            assert_eq!(words(key), told, "{key}");
        }
    }

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
            ("section.upper.depth_mm", "upper bar depth"),
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
