//! Words that files of earlier versions used: each gets the present one as its hint.

/// Keys, before and now.
const KEYS: [(&str, &str); 4] = [
    ("hinge.ear_radius_mm", "hinge.lug_radius_mm"),
    ("hinge.ear_breadth_mm", "hinge.lug_breadth_mm"),
    ("gate.tine_mm", "gate.cheek_mm"),
    ("gate.tine_gap_mm", "gate.cheek_clearance_mm"),
];

/// Words of a choice or of a place, before and now.
const WORDS: [(&str, &str); 3] = [("pin", "bar"), ("ear", "lug"), ("hinge ear", "hinge lug")];

fn now(before: &str, list: &[(&'static str, &'static str)]) -> Option<&'static str> {
    list.iter().find(|(old, _)| *old == before).map(|(_, new)| *new)
}

/// The present path of a key of an earlier version.
#[must_use]
pub fn key(path: &str) -> Option<&'static str> {
    now(path, &KEYS)
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
        for (before, after) in KEYS {
            let known = |path: &str| keys::all().iter().any(|key| key.path == path);
            assert!(!known(before) && known(after), "{before}");
        }
        assert_eq!((key("gate.tine_mm"), key("nose.tine_mm")), (Some("gate.cheek_mm"), None));
        assert_eq!(word("pin", &["strap", "bar"]), Some("bar"));
        assert_eq!(word("pin", &["closed", "open"]), None);
    }
}
