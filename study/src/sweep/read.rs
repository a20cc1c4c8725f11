//! Keys and values as they are typed, `KEY=a..b:n` and `KEY=x,y,z`: which keys a sweep varies, and through which values.
//!
//! A value is read as `--set` reads it, units included; a range runs evenly from its first to its last value, in the unit
//! of the key. What can be judged without a connector is judged here, all slips at once: a sweep of an hour should not
//! end at a mistyped key.

use super::mistake::{SweepMistake, ValueProblem};
use super::point::rounded;
use super::varied::{Values, Varied, VariedKey};
use crate::model::keys::{self, Kind};
use crate::model::quantity::{self, Dimension};
use crate::model::reader::instead_of;
use crate::model::set;

/// At most this many keys are varied at once: what depends on three cannot be drawn.
pub const MOST_KEYS: usize = 2;
/// Above this many points a sweep must be asked for twice.
pub const MANY_POINTS: usize = 100_000;
/// No sweep has more points than this.
pub const MOST_POINTS: usize = 10_000_000;

/// Reads what was typed after each `--vary`: key and values, in order. `sets`: what `--set` says.
///
/// # Errors
/// Every slip there is.
pub fn read(typed: &[(String, String)], sets: &[(String, String)]) -> Result<Vec<Varied>, Vec<SweepMistake>> {
    let mut slips = Vec::new();
    let mut all: Vec<Varied> = Vec::new();
    if typed.len() > MOST_KEYS {
        slips.push(SweepMistake::TooManyKeys { found: typed.len() });
    }
    let mut seen: Vec<String> = Vec::new();
    for (key, text) in typed {
        let paths = keys::stands_for(key);
        let given = keys::gives(key);
        if let Some(twice) = given.iter().find(|value| seen.contains(value)) {
            slips.push(SweepMistake::Twice { key: twice.clone() });
        }
        if let Some(set) = keys::set_as_well(key, sets) {
            slips.push(SweepMistake::SetAsWell { key: key.clone(), set: set.to_owned() });
        }
        seen.extend(given);
        let Some(varied) = VariedKey::find(key) else {
            slips.push(if keys::is_table(key) || key == "rig.both" {
                SweepMistake::Table { key: key.clone() }
            } else {
                let hint = instead_of(&paths[0]);
                // Of two ends that were meant the first is looked at.
                let hint = hint.map(|hint| if paths.len() > 1 { hint.at_both_ends() } else { hint });
                SweepMistake::UnknownKey { key: key.clone(), hint }
            });
            continue;
        };
        if let Some(because) = keys::changes_nothing(&paths[0]) {
            slips.push(SweepMistake::ChangesNothing { key: key.clone(), because });
            continue;
        }
        match values(key, text, varied.in_file().kind) {
            Ok(values) => all.push(Varied { key: varied, values }),
            Err(more) => slips.extend(more),
        }
    }
    if slips.is_empty() { Ok(all) } else { Err(slips) }
}

fn values(key: &str, text: &str, kind: Kind) -> Result<Values, Vec<SweepMistake>> {
    let bad = |problem| SweepMistake::Value { key: key.to_owned(), text: text.to_owned(), problem };
    let (dimension, range) = match kind {
        Kind::Number { dimension, low, high } => (dimension, [low, high]),
        Kind::Corners { low, high } => (Dimension::Length, [low, high]),
        Kind::Choice(_) | Kind::Text | Kind::Material => {
            return words(key, text).map_err(|p| p.into_iter().map(bad).collect());
        }
    };
    let mut problems = Vec::new();
    let mut number = |text: &str| match number(text, dimension, range) {
        Ok(value) => Some(value),
        Err(problem) => {
            problems.push(problem);
            None
        }
    };
    let values = match text.split_once("..") {
        Some((first, rest)) => {
            let (last, count) = match rest.rsplit_once(':') {
                Some((last, count)) => (last, Some(count.trim())),
                None => (rest, None),
            };
            let ends = (number(first), number(last));
            let count = match count.map(str::parse::<usize>) {
                Some(Ok(count @ 2..)) => Some(count),
                Some(Ok(_)) => {
                    problems.push(ValueProblem::TooFewPoints);
                    None
                }
                Some(Err(_)) => {
                    problems.push(ValueProblem::NoWholeNumber);
                    None
                }
                None => {
                    problems.push(ValueProblem::NoCount);
                    None
                }
            };
            match (ends, count) {
                ((Some(a), Some(b)), Some(count)) if a != b => {
                    if count > MOST_POINTS {
                        return Err(vec![SweepMistake::FarTooMany { found: Some(count) }]);
                    }
                    Some(evenly(a, b, count))
                }
                ((Some(a), Some(b)), _) if a == b => {
                    problems.push(ValueProblem::EmptyRange);
                    None
                }
                _ => None,
            }
        }
        None => {
            let found: Vec<Option<f64>> = text.split(',').map(&mut number).collect();
            let values: Option<Vec<f64>> = found.into_iter().collect();
            if let Some(values) = &values {
                problems.extend(list_problem(
                    &values.iter().map(|v| rounded(*v).to_string()).collect::<Vec<_>>(),
                ));
            }
            values
        }
    };
    match values {
        Some(values) if problems.is_empty() => Ok(Values::Numbers { dimension, values }),
        _ => Err(problems.into_iter().map(bad).collect()),
    }
}

/// `count` values from `a` to `b`, rounded to twelve digits so that 0.1 + 0.2 is told as 0.3.
fn evenly(a: f64, b: f64, count: usize) -> Vec<f64> {
    (0..count)
        .map(|i| {
            let t = i as f64 / (count - 1) as f64;
            let value = a + t * (b - a);
            format!("{value:.11e}").parse().unwrap_or(value)
        })
        .collect()
}

fn number(text: &str, dimension: Dimension, allowed: [f64; 2]) -> Result<f64, ValueProblem> {
    let text = text.trim();
    if text.is_empty() {
        return Err(ValueProblem::Missing);
    }
    let value = match text.parse::<f64>() {
        Ok(value) if value.is_finite() => value,
        _ => quantity::parse(text, dimension).map_err(ValueProblem::Quantity)?,
    };
    let [low, high] = allowed;
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(ValueProblem::OutOfRange { found: value, allowed, dimension })
    }
}

/// Words of a key. One that it does not know can never be computed, so it is no point that fails but a slip.
fn words(key: &str, text: &str) -> Result<Values, Vec<ValueProblem>> {
    let words: Vec<String> = text.split(',').map(|w| w.trim().to_owned()).collect();
    let mut problems: Vec<ValueProblem> = Vec::new();
    for word in &words {
        if word.is_empty() {
            problems.push(ValueProblem::Missing);
        } else if let Some((problem, hint)) = set::word_refused(key, word) {
            problems.push(ValueProblem::Word(problem, hint));
        }
    }
    problems.extend(list_problem(&words));
    if problems.is_empty() { Ok(Values::Words(words)) } else { Err(problems) }
}

fn list_problem(values: &[String]) -> Option<ValueProblem> {
    if values.len() < 2 {
        return Some(ValueProblem::TooFewValues);
    }
    let mut sorted: Vec<&String> = values.iter().collect();
    sorted.sort();
    sorted.windows(2).find(|w| w[0] == w[1]).map(|w| ValueProblem::Twice(w[0].clone()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::hint::Hint;
    use crate::model::keys::Idle;

    fn typed(text: &[&str]) -> Vec<(String, String)> {
        text.iter().map(|t| t.split_once('=').map(|(k, v)| (k.to_owned(), v.to_owned())).unwrap()).collect()
    }

    fn one(text: &str) -> Values {
        read(&typed(&[text]), &[]).unwrap().remove(0).values
    }

    fn slips(text: &[&str]) -> Vec<SweepMistake> {
        read(&typed(text), &[]).unwrap_err()
    }

    #[test]
    fn ranges_and_lists_take_units() {
        assert_eq!(one("nose.notch_depth_mm=2..3:5").numbers().unwrap(), [2.0, 2.25, 2.5, 2.75, 3.0]);
        assert_eq!(one("nose.tip_mm=1/2 in..14 mm:2").numbers().unwrap(), [12.7, 14.0]);
        assert_eq!(one("rig.both.offset_mm=15..-15:3").numbers().unwrap(), [15.0, 0.0, -15.0]);
        assert_eq!(one("nose.notch_depth_mm=2,4,6 mm").numbers().unwrap(), [2.0, 4.0, 6.0]);
        assert_eq!(one("rig.gate=closed, open"), Values::Words(vec!["closed".into(), "open".into()]));
        assert_eq!(one("nose.notch_depth_mm=0.3..0.6:4").text(1), "0.4");
    }

    #[test]
    fn a_key_of_both_ends_keeps_its_name() {
        let varied = read(&typed(&["rig.both.offset_mm=0,1"]), &[]).unwrap().remove(0);
        assert!(matches!(varied.key, VariedKey::BothEnds(_)));
        assert_eq!((varied.key.path().as_str(), varied.unit()), ("rig.both.offset_mm", "mm"));
    }

    #[test]
    fn all_slips_are_found_at_once() {
        let all = slips(&["nose.notch_dept_mm=2..3:4", "nose.tip_mm=14..14:3", "rig.gate=shut,open"]);
        assert_eq!(all.len(), 4, "{all:?}");
        assert_eq!(all[0], SweepMistake::TooManyKeys { found: 3 });
        let hint = Some(Hint::DidYouMean(vec!["nose.notch_depth_mm".to_owned()]));
        assert_eq!(all[1], SweepMistake::UnknownKey { key: "nose.notch_dept_mm".to_owned(), hint });
        assert!(matches!(all[2], SweepMistake::Value { problem: ValueProblem::EmptyRange, .. }), "{all:?}");
        assert!(matches!(all[3], SweepMistake::Value { problem: ValueProblem::Word(..), .. }), "{all:?}");
    }

    #[test]
    fn slips_in_values() {
        let problem = |text: &str| match slips(&[text]).remove(0) {
            SweepMistake::Value { problem, .. } => problem,
            other => panic!("{text}: {other:?}"),
        };
        for text in ["nose.tip_mm=2..3:0", "nose.tip_mm=2..3:1"] {
            assert_eq!(problem(text), ValueProblem::TooFewPoints, "{text}");
        }
        assert_eq!(problem("nose.tip_mm=2..3"), ValueProblem::NoCount);
        assert_eq!(problem("nose.tip_mm=2..3:x"), ValueProblem::NoWholeNumber);
        for text in ["nose.tip_mm=..3:4", "material.gate=304,"] {
            assert_eq!(problem(text), ValueProblem::Missing, "{text}");
        }
        let dimension = Dimension::Length;
        let out = ValueProblem::OutOfRange { found: 1.0, allowed: [2.0, 150.0], dimension };
        assert_eq!(problem("nose.tip_mm=1..3:4"), out);
        for text in ["nose.tip_mm=2..3 kN:4", "nose.tip_mm=nan,4"] {
            assert!(matches!(problem(text), ValueProblem::Quantity(_)), "{text}");
        }
        assert_eq!(problem("nose.tip_mm=4"), ValueProblem::TooFewValues);
        assert_eq!(problem("nose.tip_mm=4,4.0000001"), ValueProblem::Twice("4".to_owned()));
        for text in ["material.frame=7075-T6,304", "material.frame=304,cheese", "rig.both.kind=strap,pin"] {
            assert!(matches!(problem(text), ValueProblem::Word(..)), "{text}");
        }
    }

    #[test]
    fn slips_in_keys() {
        assert_eq!(slips(&["nose=4,5"]), [SweepMistake::Table { key: "nose".to_owned() }]);
        for (text, key, because) in [
            ("title=a,b", "title", Idle::Name),
            ("marking.closed_kn=20,24", "marking.closed_kn", Idle::Marking),
        ] {
            assert_eq!(slips(&[text]), [SweepMistake::ChangesNothing { key: key.to_owned(), because }]);
        }
        let count = 99_999_999_999;
        assert_eq!(
            slips(&["nose.tip_mm=2..3:99999999999"]),
            [SweepMistake::FarTooMany { found: Some(count) }]
        );
        assert_eq!(
            slips(&["rig.both.offset_mm=1,2", "rig.upper.offset_mm=1,2"])[0],
            SweepMistake::Twice { key: "rig.upper.offset_mm".to_owned() }
        );
        let set = read(&typed(&["rig.gate=closed,open"]), &typed(&["rig.gate=half"])).unwrap_err();
        let gate = "rig.gate".to_owned();
        assert_eq!(set, [SweepMistake::SetAsWell { key: gate.clone(), set: gate }]);
    }
}
