//! Words that files of earlier versions used: each gets the present one as its hint.

/// Last part of a key, before and now.
const KEYS: [(&str, &str); 4] = [
    ("ear_radius_mm", "lug_radius_mm"),
    ("ear_breadth_mm", "lug_breadth_mm"),
    ("tine_mm", "cheek_mm"),
    ("tine_gap_mm", "cheek_clearance_mm"),
];

/// Words of a choice, before and now.
const WORDS: [(&str, &str); 1] = [("pin", "bar")];

fn now(before: &str, list: &[(&'static str, &'static str)]) -> Option<&'static str> {
    list.iter().find(|(old, _)| *old == before).map(|(_, new)| *new)
}

/// The present path of a key of an earlier version.
#[must_use]
pub fn key(path: &str) -> Option<String> {
    let (table, name) = path.rsplit_once('.')?;
    now(name, &KEYS).map(|name| format!("{table}.{name}"))
}

/// The present one of a choice's words, where it is among those that are allowed.
#[must_use]
pub fn word(before: &str, allowed: &[&str]) -> Option<&'static str> {
    now(before, &WORDS).filter(|word| allowed.contains(word))
}

#[cfg(test)]
mod tests {
    use super::super::keys;
    use super::*;

    #[test]
    fn what_is_told_is_a_key_and_what_was_is_none() {
        for (table, old) in [
            ("hinge", "ear_radius_mm"),
            ("hinge", "ear_breadth_mm"),
            ("gate", "tine_mm"),
            ("gate", "tine_gap_mm"),
        ] {
            let path = format!("{table}.{old}");
            let known = |path: &str| keys::all().iter().any(|key| key.path == path);
            assert!(!known(&path) && known(&key(&path).unwrap()), "{path}");
        }
        assert_eq!(word("pin", &["strap", "bar"]), Some("bar"));
        assert_eq!(word("pin", &["closed", "open"]), None);
    }
}
