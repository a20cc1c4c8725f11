//! Why a sweep cannot be run. Each mistake says what was found, what is allowed and what to do.

use crate::mistakes::vary::{changes_nothing, set_as_well};
use crate::mistakes::{hint, problem};
use crate::quantities::{self, range_in_words, with_unit};
use study::sweep::{MANY_POINTS, MOST_KEYS, MOST_POINTS, SweepMistake, ValueProblem};

/// Slips in what was asked for, each on a line of its own.
#[must_use]
pub fn all(mistakes: &[SweepMistake]) -> String {
    mistakes.iter().map(mistake).collect::<Vec<_>>().join("\n")
}

/// A slip in what was asked for.
#[must_use]
pub fn mistake(mistake: &SweepMistake) -> String {
    match mistake {
        SweepMistake::TooManyKeys { found } => format!(
            "found {found} keys to vary; allowed: 1 or {MOST_KEYS}\n  hint: fix the others with --set, or sweep again for \
             each of their values"
        ),
        SweepMistake::UnknownKey { key, hint: meant } => {
            let meant = meant.as_ref().map_or_else(String::new, |meant| format!("\n  hint: {}", hint(meant)));
            format!("--vary {key}: found a key that no model file has{meant}")
        }
        SweepMistake::Table { key } => format!("--vary {key}: found a table; allowed: a key in it"),
        SweepMistake::ChangesNothing { key, because } => {
            changes_nothing(key, crate::keys::changes_nothing(*because))
        }
        SweepMistake::IdleDepth => {
            let told = changes_nothing("rig.engaged_mm", "the gate is not half shut");
            format!("{told}\n  hint: add --set rig.gate=half")
        }
        SweepMistake::Twice { key } => format!(
            "--vary {key}: found this key twice; allowed: once\n  hint: rig.both.KEY stands for rig.upper.KEY and rig.lower.KEY"
        ),
        SweepMistake::SetAsWell { key, set } => set_as_well(key, set),
        SweepMistake::Value { key, text, problem } => format!("--vary {key}={text}: {}", value(problem)),
        SweepMistake::TooMany { found } => format!(
            "found {found} points; allowed without --yes: {MANY_POINTS}\n  hint: use fewer, or add --yes if you mean it (a point \
             takes 0.02 to 0.2 s)"
        ),
        SweepMistake::FarTooMany { found } => {
            let found = found.map_or_else(|| "far too many".to_owned(), |found| found.to_string());
            format!("found {found} points; allowed: {MOST_POINTS}\n  hint: use fewer")
        }
    }
}

/// What is wrong with the values of a key.
fn value(wrong: &ValueProblem) -> String {
    match wrong {
        ValueProblem::Missing => "a value is missing".to_owned(),
        ValueProblem::Quantity(error) => match error.hint() {
            Some(meant) => format!("{} ({})", quantities::mistake(error), hint(&meant)),
            None => quantities::mistake(error),
        },
        ValueProblem::OutOfRange { found, allowed, dimension } => format!(
            "found {}; allowed: {}",
            with_unit(*found, *dimension),
            range_in_words(*allowed, *dimension)
        ),
        ValueProblem::Word(wrong, meant) => {
            let meant = meant.as_ref().map_or_else(String::new, |meant| format!("\n  hint: {}", hint(meant)));
            format!("{}{meant}", problem(wrong))
        }
        ValueProblem::TooFewPoints => {
            "a range has at least 2 points; for a single value use --set".to_owned()
        }
        ValueProblem::NoWholeNumber => {
            "the number of points after the colon is not a whole number".to_owned()
        }
        ValueProblem::NoCount => "a range ends in its number of points, such as 2.5..9:40".to_owned(),
        ValueProblem::EmptyRange => "the range is empty: it begins where it ends".to_owned(),
        ValueProblem::TooFewValues => {
            "a sweep needs at least 2 values; for a single value use --set".to_owned()
        }
        ValueProblem::Twice(value) => format!("the value {value} is there twice"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use study::sweep::read;

    fn told(text: &[&str]) -> Vec<String> {
        let typed: Vec<(String, String)> = text
            .iter()
            .map(|t| t.split_once('=').map(|(k, v)| (k.to_owned(), v.to_owned())).unwrap())
            .collect();
        read(&typed, &[]).unwrap_err().iter().map(mistake).collect()
    }

    #[test]
    fn slips_say_what_was_found_and_what_is_allowed() {
        let all = told(&["nose.notch_dept_mm=2..3:4", "nose.tip_mm=14..14:3", "rig.gate=shut,open"]);
        assert!(all[0].contains("3 keys"), "{all:?}");
        assert!(all[1].contains("did you mean nose.notch_depth_mm?"), "{all:?}");
        assert!(all[2].contains("begins where it ends"), "{all:?}");
        assert!(all[3].contains("allowed: closed, half, open"), "{all:?}");
        for (text, says) in [
            ("nose.tip_mm=2..3:0", "at least 2 points"),
            ("nose.tip_mm=2..3", "ends in its number of points"),
            ("nose.tip_mm=2..3:x", "not a whole number"),
            ("nose.tip_mm=..3:4", "a value is missing"),
            ("nose.tip_mm=1..3:4", "found 1 mm; allowed: 2 to 150 mm"),
            ("nose.tip_mm=2..3 kN:4", "a force"),
            ("nose.tip_mm=4", "at least 2 values"),
            ("nose.tip_mm=4,4", "the value 4 is there twice"),
            ("nose.tip_mm=nan,4", "not a number"),
            ("nose=4,5", "a table"),
            ("title=a,b", "title: found a key that changes nothing: it is a name"),
            ("marking.closed_kn=20,24", "found a key that changes nothing"),
            ("material.frame=7075-T6,304", "found \"7075-T6\"; allowed: "),
            ("material.frame=7075-T6,304", "hint: did you mean 7075-t6?"),
            ("rig.both.kind=strap,pin", "found \"pin\"; allowed: strap, bar"),
            ("nose.tip_mm=2..3:99999999999", "found 99999999999 points"),
        ] {
            let all = told(&[text]);
            assert!(all.iter().any(|m| m.contains(says)), "{text}: {all:?}");
        }
    }
}
