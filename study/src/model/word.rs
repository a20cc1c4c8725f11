//! Words that a model file may hold: those of a choice, and the names of metals.
//!
//! One judgement serves the file, `--set` and `--vary`, so that a word that can never be read is told in the same way
//! wherever it is written.

use super::hint::{Hint, nearest};
use super::keys::Kind;
use super::mistake::Problem;
use super::renamed;
use solver::material::library;

/// Why a key of this kind does not know a word, and what was most likely meant; `None` where it does, and for kinds that
/// hold no words of a list.
#[must_use]
pub fn refused(kind: Kind, word: &str) -> Option<(Problem, Option<Hint>)> {
    let (allowed, otherwise) = match kind {
        Kind::Choice(words) => (words.to_vec(), None),
        Kind::Material => (library::all().iter().map(|metal| metal.key).collect(), Some(Hint::ListedMetals)),
        Kind::Text | Kind::Number { .. } | Kind::Corners { .. } => return None,
    };
    if allowed.contains(&word) {
        return None;
    }
    let near = renamed::word(word, &allowed);
    let hint = match near.or_else(|| nearest(&word.to_lowercase(), allowed.iter().copied())) {
        Some(near) => Some(Hint::DidYouMean(vec![near.to_owned()])),
        None => otherwise,
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
        let meant = |word: &str| Some(Hint::DidYouMean(vec![word.to_owned()]));
        let (problem, hint) = judged("rig.gate", "Opne").unwrap();
        let allowed = vec!["closed", "half", "open"];
        assert_eq!(problem, Problem::UnknownWord { found: "Opne".to_owned(), allowed });
        assert_eq!(hint, meant("open"));
        assert_eq!(judged("material.frame", "7075-T6").unwrap().1, meant("7075-t6"));
        assert_eq!(judged("material.frame", "cheese").unwrap().1, Some(Hint::ListedMetals));
        assert_eq!(judged("rig.upper.kind", "pin").unwrap().1, meant("bar"));
    }
}
