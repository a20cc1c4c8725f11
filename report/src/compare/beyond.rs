//! Which variants are loaded beyond what they hold.

use super::names::{and, label};
use solver::findings::Tells;
use study::compare::{Compared, SolvedVariant};

/// Which variants are loaded beyond what they hold, and what their stresses then tell; absent where all of them hold.
#[must_use]
pub fn beyond<E>(compared: &Compared<E>) -> Option<String> {
    let tells = |variant: &SolvedVariant| {
        let findings = &variant.mapped.findings;
        Tells::of(&findings.beyond, findings.load_kn)
    };
    let labelled = |of: &dyn Fn(Tells) -> bool| -> Vec<String> {
        let those = compared.variants.iter().filter(|variant| of(tells(variant)));
        those.map(|variant| label(&variant.name)).collect()
    };
    let over = labelled(&|tells| tells != Tells::All);
    let held = labelled(&|tells| tells == Tells::All);
    let nothing = labelled(&|tells| matches!(tells, Tells::Nothing(_)));
    let who = match (over.as_slice(), held.as_slice()) {
        ([], _) => return None,
        ([_], []) => "it holds".to_owned(),
        (_, []) => "each holds".to_owned(),
        // A load holds nothing.
        (loads, _) if compared.varies_the_load() => format!("it holds, at {}", and(loads)),
        ([only], _) => format!("{only} holds"),
        (some, others) if others.len() < some.len() => format!("all but {} hold", and(others)),
        (some, _) => format!("{} hold", and(some)),
    };
    let tells = match nothing.as_slice() {
        [] => "where, not how much".to_owned(),
        all if all.len() == over.len() => "neither where nor how much".to_owned(),
        some => format!("where, not how much, and nothing of {}", and(some)),
    };
    Some(format!("Above what {who}: stresses tell {tells}."))
}
