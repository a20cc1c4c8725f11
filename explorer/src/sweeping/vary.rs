//! `--vary KEY=a..b:n` and `--vary KEY=x,y,z`: which keys a sweep varies, and through which values.
//!
//! A value is read as `--set` reads it, units included; a range runs evenly from its first to its last value, in the unit
//! of the key. What can be judged without a connector is judged here, all slips at once: a sweep of an hour should not
//! end at a mistyped key.

use super::mistake::SweepMistake;
use report::keys::naming::varied_in_words;
use report::mistakes;
use report::numbers::plain;
use report::quantities::{mistake, range_in_words, with_unit};
use study::model::keys::{self, Kind};
use study::model::quantity::{self, Dimension};
use study::model::reader::instead_of;
use study::model::{To, set};

/// At most this many keys are varied at once: what depends on three cannot be drawn.
pub const MOST_KEYS: usize = 2;
/// Above this many points a sweep must be asked for twice.
pub const MANY_POINTS: usize = 100_000;
/// No sweep has more points than this.
pub const MOST_POINTS: usize = 10_000_000;

/// Numbers in no order are told one by one up to so many.
const MOST_LISTED: usize = 8;

/// A key and the values that it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Varied {
    /// The key as typed: `nose.notch_depth_mm`, `rig.both.offset_mm`.
    pub key: String,
    /// Its values, at least two.
    pub values: Values,
}

/// The values of a varied key.
#[derive(Clone, Debug, PartialEq)]
pub enum Values {
    /// Numbers, in the base unit of what the key measures.
    Numbers {
        /// What the key measures.
        dimension: Dimension,
        /// In the order of the sweep.
        values: Vec<f64>,
    },
    /// Words.
    Words(Vec<String>),
}

impl Values {
    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        match self {
            Self::Numbers { values, .. } => values.len(),
            Self::Words(words) => words.len(),
        }
    }

    /// True without values; never so in a sweep.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// A value, to be put over the model's.
    #[must_use]
    pub fn to(&self, at: usize) -> To {
        match self {
            Self::Numbers { values, .. } => To::Number(values[at]),
            Self::Words(words) => To::Typed(words[at].clone()),
        }
    }

    /// A value as `--set` would be given it.
    #[must_use]
    pub fn text(&self, at: usize) -> String {
        match self {
            Self::Numbers { values, .. } => values[at].to_string(),
            Self::Words(words) => words[at].clone(),
        }
    }

    /// A value for people, with its unit: `4.125 mm`. As it is up to four decimals; one that goes on, such as a third, with
    /// three digits of the step between its neighbours.
    #[must_use]
    pub fn told(&self, at: usize) -> String {
        match self {
            Self::Numbers { values, dimension } => {
                let (low, high) =
                    values.iter().fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(*v), b.max(*v)));
                let step = (high - low) / (values.len() - 1).max(1) as f64;
                let to = |fine: f64| (values[at] / fine).round() * fine;
                let exact = (to(1e-4) - values[at]).abs() <= 1e-9 * values[at].abs();
                let fine = 10.0_f64.powf((0.01 * step).log10().floor());
                // A typed value is told as it was typed.
                let typed = plain(values[at]).len() <= plain(to(fine)).len();
                let value = if exact || typed { values[at] } else { to(fine) };
                format!("{} {}", plain(value), dimension.base_unit()).trim_end().to_owned()
            }
            Self::Words(words) => words[at].clone(),
        }
    }

    /// From the first to the last, where the numbers rise or fall all the way.
    #[must_use]
    pub fn is_in_order(&self) -> bool {
        self.numbers().is_some_and(|values| {
            let goes = |forth: bool| values.windows(2).all(|w| (w[1] > w[0]) == forth);
            goes(true) || goes(false)
        })
    }

    /// All of them in words: `2.5 to 9 mm`, `closed, open`; numbers in no order as they stand, or from least to most.
    #[must_use]
    pub fn in_words(&self) -> String {
        let last = self.len() - 1;
        let bare = |at: usize| match self {
            Self::Numbers { dimension, .. } => {
                let told = self.told(at);
                told.strip_suffix(dimension.base_unit()).unwrap_or(&told).trim_end().to_owned()
            }
            Self::Words(words) => words[at].clone(),
        };
        if self.is_in_order() {
            return format!("{} to {}", bare(0), self.told(last));
        }
        let listed = |all: std::ops::Range<usize>| all.map(bare).collect::<Vec<_>>().join(", ");
        match self.numbers() {
            Some(values) if values.len() > MOST_LISTED => {
                let by_size = |a: &usize, b: &usize| values[*a].total_cmp(&values[*b]);
                let (least, most) = ((0..=last).min_by(by_size), (0..=last).max_by(by_size));
                format!("{} to {} in a list", bare(least.unwrap_or(0)), self.told(most.unwrap_or(last)))
            }
            Some(_) => format!("{}, {}", listed(0..last), self.told(last)),
            None => listed(0..last + 1),
        }
    }

    /// The numbers, if they are.
    #[must_use]
    pub fn numbers(&self) -> Option<&[f64]> {
        match self {
            Self::Numbers { values, .. } => Some(values),
            Self::Words(_) => None,
        }
    }
}

impl Varied {
    /// The key in words, without its table and unit: `notch depth`.
    #[must_use]
    pub fn in_words(&self) -> String {
        varied_in_words(&self.key, self.dimension())
    }

    fn dimension(&self) -> Option<Dimension> {
        match &self.values {
            Values::Numbers { dimension, .. } => Some(*dimension),
            Values::Words(_) => None,
        }
    }

    /// Name of its column, which carries the unit as the key does.
    #[must_use]
    pub fn column(&self) -> &str {
        &self.key
    }

    /// The unit of its values; empty for words and plain numbers.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        self.dimension().map_or("", Dimension::base_unit)
    }
}

/// The keys of the model file that a typed key stands for: `rig.both.x` for two.
fn stands_for(key: &str) -> Vec<String> {
    match key.strip_prefix("rig.both.") {
        Some(rest) => vec![format!("rig.upper.{rest}"), format!("rig.lower.{rest}")],
        None => vec![key.to_owned()],
    }
}

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
        let paths = stands_for(key);
        if let Some(twice) = paths.iter().find(|p| seen.contains(p)) {
            slips.push(SweepMistake::Twice { key: twice.clone() });
        }
        if let Some((set, _)) = sets.iter().find(|(set, _)| stands_for(set).iter().any(|s| paths.contains(s)))
        {
            slips.push(SweepMistake::SetAsWell { key: key.clone(), set: set.clone() });
        }
        seen.extend(paths.iter().cloned());
        let Some(known) = keys::find(&paths[0]) else {
            let is_table = keys::is_table(key) || key == "rig.both";
            let hint = instead_of(&paths[0]).filter(|_| !is_table);
            // Of two ends that were meant the first is looked at.
            let hint = hint
                .map(|hint| if paths.len() > 1 { hint.at_both_ends() } else { hint })
                .map(|hint| mistakes::hint(&hint));
            slips.push(SweepMistake::UnknownKey { key: key.clone(), is_table, hint });
            continue;
        };
        if let Some(because) = keys::changes_nothing(&paths[0]) {
            let because = report::keys::changes_nothing(because);
            slips.push(SweepMistake::ChangesNothing { key: key.clone(), because, hint: None });
            continue;
        }
        match values(key, text, known.kind) {
            Ok(values) => all.push(Varied { key: key.clone(), values }),
            Err(more) => slips.extend(more),
        }
    }
    if slips.is_empty() { Ok(all) } else { Err(slips) }
}

fn values(key: &str, text: &str, kind: Kind) -> Result<Values, Vec<SweepMistake>> {
    let bad = |problem: String| SweepMistake::Value { key: key.to_owned(), text: text.to_owned(), problem };
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
                    problems.push("a range has at least 2 points; for a single value use --set".to_owned());
                    None
                }
                Some(Err(_)) => {
                    problems.push("the number of points after the colon is not a whole number".to_owned());
                    None
                }
                None => {
                    problems.push("a range ends in its number of points, such as 2.5..9:40".to_owned());
                    None
                }
            };
            match (ends, count) {
                ((Some(a), Some(b)), Some(count)) if a != b => {
                    if count > MOST_POINTS {
                        return Err(vec![SweepMistake::FarTooMany { found: count.to_string() }]);
                    }
                    Some(evenly(a, b, count))
                }
                ((Some(a), Some(b)), _) if a == b => {
                    problems.push("the range is empty: it begins where it ends".to_owned());
                    None
                }
                _ => None,
            }
        }
        None => {
            let found: Vec<Option<f64>> = text.split(',').map(&mut number).collect();
            let values: Option<Vec<f64>> = found.into_iter().collect();
            if let Some(values) = &values {
                problems.extend(list_problem(&values.iter().map(|v| plain(*v)).collect::<Vec<_>>()));
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

fn number(text: &str, dimension: Dimension, [low, high]: [f64; 2]) -> Result<f64, String> {
    let text = text.trim();
    if text.is_empty() {
        return Err("a value is missing".to_owned());
    }
    let value = match text.parse::<f64>() {
        Ok(value) if value.is_finite() => value,
        _ => quantity::parse(text, dimension).map_err(|error| match error.hint() {
            Some(hint) => format!("{} ({})", mistake(&error), mistakes::hint(&hint)),
            None => mistake(&error),
        })?,
    };
    if (low..=high).contains(&value) {
        return Ok(value);
    }
    let allowed = range_in_words([low, high], dimension);
    Err(format!("found {}; allowed: {allowed}", with_unit(value, dimension)))
}

/// Words of a key. One that it does not know can never be computed, so it is no point that fails but a slip.
fn words(key: &str, text: &str) -> Result<Values, Vec<String>> {
    let words: Vec<String> = text.split(',').map(|w| w.trim().to_owned()).collect();
    let mut problems: Vec<String> = Vec::new();
    for word in &words {
        if word.is_empty() {
            problems.push("a value is missing".to_owned());
        } else if let Some((problem, hint)) = set::word_refused(key, word) {
            let hint = hint.map_or_else(String::new, |hint| format!("\n  hint: {}", mistakes::hint(&hint)));
            problems.push(format!("{}{hint}", mistakes::problem(&problem)));
        }
    }
    problems.extend(list_problem(&words));
    if problems.is_empty() { Ok(Values::Words(words)) } else { Err(problems) }
}

fn list_problem(values: &[String]) -> Option<String> {
    if values.len() < 2 {
        return Some("a sweep needs at least 2 values; for a single value use --set".to_owned());
    }
    let mut sorted: Vec<&String> = values.iter().collect();
    sorted.sort();
    sorted.windows(2).find(|w| w[0] == w[1]).map(|w| format!("the value {} is there twice", w[0]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(text: &[&str]) -> Vec<(String, String)> {
        text.iter().map(|t| t.split_once('=').map(|(k, v)| (k.to_owned(), v.to_owned())).unwrap()).collect()
    }

    fn one(text: &str) -> Values {
        read(&typed(&[text]), &[]).unwrap().remove(0).values
    }

    fn told(text: &[&str]) -> Vec<String> {
        read(&typed(text), &[]).unwrap_err().iter().map(ToString::to_string).collect()
    }

    #[test]
    fn ranges_and_lists_take_units() {
        assert_eq!(one("nose.notch_depth_mm=2..3:5").numbers().unwrap(), [2.0, 2.25, 2.5, 2.75, 3.0]);
        assert_eq!(one("nose.tip_mm=1/2 in..14 mm:2").numbers().unwrap(), [12.7, 14.0]);
        assert_eq!(one("rig.both.offset_mm=15..-15:3").numbers().unwrap(), [15.0, 0.0, -15.0]);
        assert_eq!(one("nose.notch_depth_mm=2,4,6 mm").numbers().unwrap(), [2.0, 4.0, 6.0]);
        assert_eq!(one("rig.gate=closed, open"), Values::Words(vec!["closed".into(), "open".into()]));
        assert_eq!(one("nose.notch_depth_mm=0.3..0.6:4").text(1), "0.4");
        assert_eq!(one("nose.notch_depth_mm=2,4").told(1), "4 mm");
    }

    #[test]
    fn no_value_is_rounded_into_another() {
        assert_eq!(one("nose.notch_depth_mm=2..12:9").told(3), "5.75 mm");
        assert_eq!(one("nose.notch_depth_mm=1..11:17").told(5), "4.125 mm");
        assert_eq!(one("nose.notch_depth_mm=2..2.5:9").told(1), "2.0625 mm");
        // Thirds go on for ever: three digits of the step.
        assert_eq!(one("nose.notch_depth_mm=2..9:7").told(1), "3.17 mm");
        assert_eq!(one("nose.notch_depth_mm=2.5..9:40").told(1), "2.667 mm");
        assert_eq!(one("rig.friction=0.1..0.2:4").told(1), "0.1333");
    }

    #[test]
    fn values_are_told_in_words() {
        assert_eq!(one("nose.notch_depth_mm=2.5..9:40").in_words(), "2.5 to 9 mm");
        assert_eq!(one("rig.both.offset_mm=15..-15:3").in_words(), "15 to -15 mm");
        assert_eq!(one("nose.notch_depth_mm=2,3,6,4").in_words(), "2, 3, 6, 4 mm");
        assert_eq!(one("rig.friction=0.3,0.1,0.2").in_words(), "0.3, 0.1, 0.2");
        assert_eq!(one("rig.load_kn=9,1,2,3,4,5,6,7,8").in_words(), "1 to 9 kN in a list");
        assert_eq!(one("rig.gate=closed,open").in_words(), "closed, open");
    }

    #[test]
    fn all_slips_are_told_at_once() {
        let all = told(&["nose.notch_dept_mm=2..3:4", "nose.tip_mm=14..14:3", "rig.gate=shut,open"]);
        assert_eq!(all.len(), 4, "{all:?}");
        assert!(all[0].contains("3 keys"), "{all:?}");
        assert!(all[1].contains("did you mean nose.notch_depth_mm?"), "{all:?}");
        assert!(all[2].contains("begins where it ends"), "{all:?}");
        assert!(all[3].contains("allowed: closed, half, open"), "{all:?}");
    }

    #[test]
    fn slips_in_values() {
        for (text, says) in [
            ("nose.tip_mm=2..3:0", "at least 2 points"),
            ("nose.tip_mm=2..3:1", "at least 2 points"),
            ("nose.tip_mm=2..3", "ends in its number of points"),
            ("nose.tip_mm=2..3:x", "not a whole number"),
            ("nose.tip_mm=..3:4", "a value is missing"),
            ("nose.tip_mm=1..3:4", "allowed: 2 to 150 mm"),
            ("nose.tip_mm=2..3 kN:4", "a force"),
            ("nose.tip_mm=4", "at least 2 values"),
            ("nose.tip_mm=4,4", "twice"),
            ("nose.tip_mm=nan,4", "not a number"),
            ("nose=4,5", "a table"),
            ("title=a,b", "title: found a key that changes nothing: it is a name"),
            ("marking.closed_kn=20,24", "found a key that changes nothing"),
            ("material.frame=7075-T6,304", "found \"7075-T6\"; allowed: "),
            ("material.frame=7075-T6,304", "hint: did you mean 7075-t6?"),
            ("material.frame=304,cheese", "found \"cheese\"; allowed: "),
            ("material.gate=304,", "a value is missing"),
            ("rig.both.kind=strap,pin", "found \"pin\"; allowed: strap, bar"),
            ("nose.tip_mm=2..3:99999999999", "points"),
        ] {
            let all = told(&[text]);
            assert!(all.iter().any(|m| m.contains(says)), "{text}: {all:?}");
        }
        let twice = told(&["rig.both.offset_mm=1,2", "rig.upper.offset_mm=1,2"]);
        assert!(twice[0].contains("twice"), "{twice:?}");
        let set = read(&typed(&["rig.gate=closed,open"]), &typed(&["rig.gate=half"])).unwrap_err();
        assert!(set[0].to_string().contains("--set"), "{set:?}");
    }
}
