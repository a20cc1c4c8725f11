//! The rigs of the variants: what they share once, and the rest of each.

use super::names::label;
use crate::changes::changed;
use crate::rigs::clauses;
use study::compare::Compared;

/// What all share of the rig and were changed in, and what of the rig each has of its own: with one key varied that stands over
/// each.
#[must_use]
pub fn rigs<E>(compared: &Compared<E>) -> String {
    let rigs: Vec<Vec<String>> =
        compared.variants.iter().map(|variant| clauses(&variant.model.rig)).collect();
    let (shared, own) = shared_and_own(&rigs);
    let over_each = compared.key.is_some() || own.iter().all(Vec::is_empty);
    let mut parts: Vec<String> = Vec::new();
    if !shared.is_empty() {
        parts.push(shared.join(", "));
    } else if over_each {
        parts.push("each under its own rig".to_owned());
    }
    parts.extend(changed(&compared.changed_in_all()));
    if !over_each {
        let of_its_own = compared.variants.iter().zip(own).filter(|(_, own)| !own.is_empty());
        parts
            .extend(of_its_own.map(|(variant, own)| format!("{}: {}", label(&variant.name), own.join(", "))));
    }
    parts.join("; ")
}

/// The clauses that all rigs have, and what each has beside them.
fn shared_and_own(rigs: &[Vec<String>]) -> (Vec<&str>, Vec<Vec<&str>>) {
    let shared: Vec<&str> = rigs
        .first()
        .into_iter()
        .flatten()
        .filter(|clause| rigs.iter().all(|rig| rig.contains(clause)))
        .map(String::as_str)
        .collect();
    let own = rigs
        .iter()
        .map(|rig| rig.iter().map(String::as_str).filter(|clause| !shared.contains(clause)).collect())
        .collect();
    (shared, own)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_rigs_share_is_told_once_and_the_rest_of_each() {
        let told = |clauses: &[&str]| clauses.iter().map(|clause| (*clause).to_owned()).collect::<Vec<_>>();
        let oval = told(&["10 kN", "gate closed", "both ends 11 mm strap centred"]);
        let pear = told(&["10 kN", "gate closed", "upper 16 mm strap centred", "lower 12 mm strap centred"]);
        let both = [oval.clone(), pear];
        let (shared, own) = shared_and_own(&both);
        assert_eq!(shared, ["10 kN", "gate closed"]);
        assert_eq!(own[0], ["both ends 11 mm strap centred"]);
        assert_eq!(own[1], ["upper 16 mm strap centred", "lower 12 mm strap centred"]);
        assert_eq!(shared_and_own(&[oval.clone(), oval.clone()]).0, oval);
    }
}
