//! Words that a model file may hold: those of a choice, and the names of metals.
//!
//! One judgement serves the file, `--set` and `--vary`, so that a word that can never be read is told in the same way
//! wherever it is written.

use super::hint::nearest;
use super::keys::Kind;
use super::mistake::Problem;
use super::renamed;
use solver::material::library;

/// Why a key of this kind does not know a word, and what was most likely meant; `None` where it does, and for kinds that
/// hold no words of a list.
#[must_use]
pub fn refused(kind: Kind, word: &str) -> Option<(Problem, Option<String>)> {
    let (allowed, otherwise) = match kind {
        Kind::Choice(words) => (words.to_vec(), None),
        Kind::Material => (
            library::all().iter().map(|metal| metal.key).collect(),
            Some("`pullmap materials` lists them; a table of your own is allowed too"),
        ),
        Kind::Text | Kind::Number { .. } | Kind::Corners { .. } => return None,
    };
    if allowed.contains(&word) {
        return None;
    }
    let near = renamed::word(word, &allowed);
    let hint = match near.or_else(|| nearest(&word.to_lowercase(), allowed.iter().copied())) {
        Some(near) => Some(format!("did you mean {near}?")),
        None => otherwise.map(str::to_owned),
    };
    Some((Problem::UnknownWord { found: word.to_owned(), allowed }, hint))
}

#[cfg(test)]
mod tests {
    use super::super::keys;
    use super::*;

    #[test]
    fn what_a_key_does_not_know_is_told_with_what_it_knows() {
        let judged = |key: &str, word: &str| refused(keys::find(key).unwrap().kind, word);
        assert_eq!(judged("rig.gate", "open"), None);
        assert_eq!(judged("material.gate", "7075-t6"), None);
        assert_eq!(judged("nose.tip_mm", "cheese"), None);
        let (problem, hint) = judged("rig.gate", "Opne").unwrap();
        assert_eq!(problem.to_string(), "found \"Opne\"; allowed: closed, half, open");
        assert_eq!(hint.unwrap(), "did you mean open?");
        assert_eq!(judged("material.frame", "7075-T6").unwrap().1.unwrap(), "did you mean 7075-t6?");
        assert!(judged("material.frame", "cheese").unwrap().1.unwrap().contains("`pullmap materials`"));
    }
}
