//! The difference between two variants, in one sentence.

use super::names::{short, varied};
use crate::failure_modes::{subject_and_verb, subject_and_verb_still};
use crate::letters::typeset;
use crate::numbers::{kilonewtons, kilonewtons_alone};
use solver::findings::Share;
use solver::strength::Limits;
use study::compare::{Compared, SolvedVariant};

fn percent(share: &Share) -> i64 {
    (100.0 * share.gate_fraction).round() as i64
}

/// What varies before its value: "notch depth ", or nothing where models are compared.
fn what<E>(compared: &Compared<E>) -> String {
    varied(compared).map_or_else(String::new, |key| format!("{key} "))
}

/// How a variant differs from the first: "With notch depth 6 mm instead of 2 mm the gate carries 41 % instead of 44 %; …". Empty
/// where there is no such variant.
#[must_use]
pub fn difference<E>(compared: &Compared<E>, variant: usize) -> String {
    let pulls = pulls(compared);
    sentence(compared, variant, told_apart(&pulls, &[0, variant]))
}

/// `with_pulls`: whether shares are told with their loads.
fn sentence<E>(compared: &Compared<E>, variant: usize, with_pulls: bool) -> String {
    let [Some(first), Some(other)] = [0, variant].map(|at| compared.variants.get(at)) else {
        return String::new();
    };
    let what = what(compared);
    let [before, now] = [first, other].map(|variant| short(&variant.name));
    let with = if before != now {
        format!("With {what}{now} instead of {before}")
    } else if first.hash == other.hash {
        format!("With {what}{now} both times")
    } else {
        format!("With the other {what}{now}")
    };
    let [from, to] = [first, other].map(|variant| &variant.mapped.findings);
    let pulls = with_pulls.then_some([from.load_kn, to.load_kn]);
    typeset(&format!(
        "{with} {}; {}.",
        share_clause(&from.share, &to.share, pulls),
        limits_clause(&first.limits, &other.limits)
    ))
}

/// How the variant that is farthest from the first differs from it; and what the last one comes to, where that is another.
#[must_use]
pub fn headline<E>(compared: &Compared<E>) -> String {
    let Some(farthest) = compared.farthest() else { return String::new() };
    let pulls = pulls(compared);
    let last = compared.variants.len() - 1;
    // Of all that it tells each share has its load, or none has.
    let with_pulls = told_apart(&pulls, &[0, farthest, last.max(farthest)]);
    let mut words = sentence(compared, farthest, with_pulls);
    if let Some(last) = compared.variants.get(last).filter(|_| last > farthest) {
        words.push_str(&alone(&what(compared), last, with_pulls));
    }
    words
}

/// What one variant comes to: " With notch depth 8 mm the gate carries 42 %; the root of the nose fails first, at 18.6 kN."
fn alone(what: &str, variant: &SolvedVariant, with_pulls: bool) -> String {
    let (part, verb) = subject_and_verb(variant.limits.fails_first);
    let share = match percent(&variant.mapped.findings.share) {
        0 => "nothing".to_owned(),
        percent => format!("{percent}\u{a0}%"),
    };
    let of = match with_pulls {
        true => format!(" of {}", kilonewtons(variant.mapped.findings.load_kn).replace(' ', "\u{a0}")),
        false => String::new(),
    };
    format!(
        " With {what}{} the gate carries {share}{of}; {part} {verb} first, at {}\u{a0}kN.",
        short(&variant.name),
        kilonewtons_alone(variant.limits.fails_at_kn)
    )
}

/// Whether variants are pulled by loads of their own, which nothing before the words tells.
pub(super) fn unlike_pulls<E>(compared: &Compared<E>) -> bool {
    let pulls = pulls(compared);
    told_apart(&pulls, &(0..pulls.len()).collect::<Vec<_>>())
}

/// The loads of the variants, kN; none where they are what varies, and told before the words.
fn pulls<E>(compared: &Compared<E>) -> Vec<f64> {
    let variants = compared.variants.iter().filter(|_| !compared.varies_the_load());
    variants.map(|variant| variant.mapped.findings.load_kn).collect()
}

/// Whether the loads of those that are told are written differently.
fn told_apart(pulls: &[f64], told: &[usize]) -> bool {
    let mut told = told.iter().filter_map(|at| pulls.get(*at)).map(|kn| kilonewtons(*kn));
    let first = told.next();
    told.any(|load| Some(&load) != first.as_ref())
}

/// `pulls`: the loads, kN, where they are not alike. A gate's share hangs on its load.
fn share_clause(first: &Share, other: &Share, pulls: Option<[f64; 2]>) -> String {
    let shares = (percent(first), percent(other));
    if let Some([before, now]) = pulls.map(|pulls| pulls.map(kilonewtons)).filter(|_| shares != (0, 0)) {
        let told = |share| if share == 0 { "nothing".to_owned() } else { format!("{share} %") };
        return format!(
            "the gate carries {} of {now} instead of {} of {before} (unlike pulls)",
            told(shares.1),
            told(shares.0)
        );
    }
    match shares {
        (0, 0) => "the gate carries nothing either".to_owned(),
        (a, 0) => format!("the gate carries nothing instead of {a} %"),
        (0, b) => format!("the gate carries {b} % instead of nothing"),
        (a, b) if a == b => format!("the gate still carries {b} %"),
        (a, b) => format!("the gate carries {b} % instead of {a} %"),
    }
}

fn limits_clause(first: &Limits, other: &Limits) -> String {
    let (a, b) = (kilonewtons_alone(first.fails_at_kn), kilonewtons_alone(other.fails_at_kn));
    let (part, verb) = subject_and_verb(other.fails_first);
    let mut clause = if first.fails_first == other.fails_first {
        let (_, still) = subject_and_verb_still(other.fails_first);
        let at = if a == b { format!("at {b} kN") } else { format!("at {b} instead of {a} kN") };
        format!("{part} {still} first, {at}")
    } else {
        let (before, _) = subject_and_verb(first.fails_first);
        format!("{part} {verb} first, at {b} kN, not {before} at {a} kN")
    };
    // Where the hook still holds after the gate has gone the pull ends later than the first part fails.
    let ends = [first, other].map(|l| kilonewtons_alone(l.peak_kn));
    if ends != [a, b] {
        let [before, now] = ends;
        clause.push_str(&match before == now {
            true => format!("; the pull still ends at {now} kN"),
            false => format!("; the pull ends at {now} instead of {before} kN"),
        });
    }
    clause
}

#[cfg(test)]
mod tests {
    use super::*;

    fn share(gate_fraction: f64) -> Share {
        Share { gate_kn: 0.0, spine_kn: 0.0, gate_fraction, gate_engages_at_kn: None, lever_rule: 0.0 }
    }

    #[test]
    fn shares_are_told_as_they_round() {
        assert_eq!(share_clause(&share(0.44), &share(0.41), None), "the gate carries 41 % instead of 44 %");
        assert_eq!(share_clause(&share(0.426), &share(0.433), None), "the gate still carries 43 %");
        assert_eq!(share_clause(&share(0.44), &share(0.0), None), "the gate carries nothing instead of 44 %");
        assert_eq!(share_clause(&share(0.0), &share(0.3), None), "the gate carries 30 % instead of nothing");
    }

    #[test]
    fn loads_are_told_where_those_that_a_sentence_tells_are_unlike() {
        let pulls = [10.0, 10.0, 12.0, 10.04];
        assert!(!told_apart(&pulls, &[0, 1]), "another one is pulled harder, and not told");
        assert!(told_apart(&pulls, &[0, 2]));
        assert!(told_apart(&pulls, &[0, 1, 2]));
        assert!(!told_apart(&pulls, &[0, 3]), "alike as they are written");
        assert!(!told_apart(&[], &[0, 1]), "what varies is told before");
    }

    #[test]
    fn unlike_pulls_are_told_with_their_shares() {
        let told = share_clause(&share(0.44), &share(0.41), Some([10.0, 12.0]));
        assert_eq!(told, "the gate carries 41 % of 12.0 kN instead of 44 % of 10.0 kN (unlike pulls)");
        let none = share_clause(&share(0.0), &share(0.0), Some([10.0, 12.0]));
        assert_eq!(none, "the gate carries nothing either");
    }
}
