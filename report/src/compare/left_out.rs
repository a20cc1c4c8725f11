//! Why a variant is left out, and why too few are left.

use crate::{building, mistakes};
use std::fmt::Display;
use study::compare::{LeftOut, TooFew, Why};

/// Why a variant could not be computed, each mistake after where it was typed. The caller's own reason is told as it stands.
#[must_use]
pub fn reason<E: Display>(left: &LeftOut<E>) -> String {
    match &left.why {
        Why::Refused(reason) => reason.to_string(),
        Why::Model { errors, varied } => mistakes::errors_of(errors, *varied),
        Why::Case { title, error } => format!("{title}: {}", building::case(error)),
    }
}

/// Why there is no comparison where fewer than two variants can be computed. What all of them share is told once.
#[must_use]
pub fn too_few<E: Display>(few: &TooFew<E>) -> String {
    let mut reasons: Vec<String> = Vec::new();
    for reason in few.left_out.iter().map(reason) {
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    format!(
        "a comparison needs two variants that can be computed, found {} of {}\n{}",
        few.found,
        few.asked,
        reasons.join("\n")
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use study::compare::VariantName;
    use study::model::Source;

    const BASE: &str = include_str!("../../../study/src/model/tests/base.toml");

    fn left(sets: &[(&str, &str)], varied: Option<usize>) -> LeftOut<String> {
        let sets: Vec<(String, String)> =
            sets.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
        let errors = Source::of("base.toml", BASE).model(&sets).unwrap_err();
        LeftOut { name: VariantName::Model("base".to_owned()), why: Why::Model { errors, varied } }
    }

    #[test]
    fn a_mistake_is_told_after_the_option_that_it_was_typed_with() {
        let both = [("rig.load_kn", "-1"), ("nose.notch_depth_mm", "60")];
        let lines: Vec<String> = reason(&left(&both, Some(1))).lines().map(str::to_owned).collect();
        assert!(lines.iter().any(|line| line.starts_with("--set rig.load_kn=-1: ")), "{lines:?}");
        assert!(lines.iter().any(|line| line.starts_with("--vary nose.notch_depth_mm=60: ")), "{lines:?}");
        assert!(reason(&left(&both[1..], None)).starts_with("--set nose.notch_depth_mm=60: "));
    }

    #[test]
    fn what_all_variants_share_is_told_once() {
        let same = [("rig.load_kn", "-1")];
        let of_caller =
            LeftOut { name: VariantName::Model("lost".to_owned()), why: Why::Refused("lost".to_owned()) };
        let left_out = vec![left(&same, None), left(&same, None), of_caller];
        let told = too_few(&TooFew { found: 0, asked: 3, left_out });
        assert_eq!(told.lines().filter(|line| line.starts_with("--set rig.load_kn=-1")).count(), 1, "{told}");
        assert!(told.ends_with("\nlost"), "{told}");
    }
}
