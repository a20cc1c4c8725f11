//! Reads single values out of the raw tree and collects every mistake on the way.
//!
//! A value that is missing or wrong is reported at once and read as not-a-number. Every comparison with it is false, so
//! the checks that come later stay silent about it and still judge all the others; no such number leaves `resolve`,
//! since one mistake is enough to refuse the model.

use super::checked::{Spread, SpreadKind, Taken};
use super::dimension::Dimension;
use super::hint::{Hint, at_both_ends, nearest};
use super::keys::{self, Fallback, Key, Kind, Need};
use super::misfit::Misfit;
use super::mistake::{ModelMistake, Problem, Unused, WrongForm};
use super::quantity::{QuantityError, parse};
use super::raw::{Entry, Place, Table, Value};
use super::typed_range::{Typed, read};
use super::{renamed, word};
use solver::material::library::Handbook;
use std::collections::BTreeMap;

/// The values of a model file by key, and what was found wrong so far.
pub struct Reader {
    file: String,
    leaves: BTreeMap<String, Entry>,
    tables: BTreeMap<String, Place>,
    /// Tables that stand under another name, as far as one can tell.
    misnamed: Vec<String>,
    /// What is wrong, in the order of finding.
    pub mistakes: Vec<ModelMistake>,
    /// Values known only within a range, in the order of reading.
    pub spreads: Vec<Spread>,
    /// Metals that are known by their kind only, by the key that names them.
    pub unknown_metals: Vec<(String, &'static Handbook)>,
    /// What was taken where a set left something untold, and what is told to no purpose.
    pub taken: Vec<Taken>,
}

/// A number with what was said of its range.
struct Reading {
    middle: f64,
    spread: Option<SpreadKind>,
}

impl Reading {
    fn around(middle: f64, more: f64) -> Self {
        Self { middle, spread: (more > 0.0).then_some(SpreadKind::PlusMinus(more)) }
    }

    fn between(low: f64, high: f64) -> Self {
        Self { middle: 0.5 * (low + high), spread: Some(SpreadKind::Between(low, high)) }
    }
}

/// What is wrong with a value, and a hint.
type Wrong = (Problem, Option<Hint>);

impl Reader {
    /// Sorts the values under the known keys; unknown keys, and values where tables belong, are reported.
    #[must_use]
    pub fn open(table: &Table, file: &str) -> Self {
        let mut reader = Self {
            file: file.to_owned(),
            leaves: BTreeMap::new(),
            tables: BTreeMap::new(),
            misnamed: Vec::new(),
            mistakes: Vec::new(),
            spreads: Vec::new(),
            unknown_metals: Vec::new(),
            taken: Vec::new(),
        };
        reader.walk("", table);
        reader
    }

    fn walk(&mut self, above: &str, table: &Table) {
        for (name, entry) in table {
            let path = if above.is_empty() { name.clone() } else { format!("{above}.{name}") };
            match (keys::find(&path), &entry.value) {
                (None, Value::Table(inner)) if keys::is_table(&path) => {
                    self.tables.insert(path.clone(), entry.place.clone());
                    self.walk(&path, inner);
                }
                (Some(Key { kind: Kind::Material, .. }), Value::Table(inner)) => {
                    self.tables.insert(path.clone(), entry.place.clone());
                    self.walk(&path, inner);
                }
                (Some(_), _) => {
                    self.leaves.insert(path, entry.clone());
                }
                (None, value) if keys::is_table(&path) => {
                    self.tables.insert(path.clone(), entry.place.clone());
                    let problem = Problem::NotATable(value.clone());
                    self.report(&path, &entry.place, problem, instead_of_table(&path));
                }
                (None, value) => {
                    let (problem, mut hint) = unknown_key(&path, value);
                    let meant = nearest_table(&path).filter(|_| matches!(value, Value::Table(_)));
                    if let Some(table) = meant.filter(|_| problem == Problem::UnknownKey) {
                        hint = Some(Hint::DidYouMeanTable(table.clone()));
                        self.misnamed.push(table);
                    }
                    self.report(&path, &entry.place, problem, hint);
                }
            }
        }
    }

    fn report(&mut self, key: &str, place: &Place, problem: Problem, hint: Option<Hint>) {
        self.mistakes.push(ModelMistake {
            file: self.file.clone(),
            place: place.clone(),
            key: key.to_owned(),
            problem,
            hint,
            range: self.range_written(key),
        });
    }

    /// The range that stands under a key, as it was written; `None` of anything else.
    fn range_written(&self, key: &str) -> Option<Value> {
        let value = &self.leaves.get(key)?.value;
        let dimension = match keys::find(key)?.kind {
            Kind::Number { dimension, .. } => dimension,
            _ => Dimension::Length,
        };
        let is_range = match value {
            Value::Text(text) => !matches!(read(text, dimension), Ok(Typed::One(_)) | Err(_)),
            Value::Table(_) => self.spreads.iter().any(|spread| spread.key == key),
            _ => false,
        };
        is_range.then(|| value.clone())
    }

    /// Reports a mistake at the place of a key: its own, else that of the nearest table above it, else the file.
    pub fn mistake(&mut self, key: &str, problem: Problem, hint: Option<Hint>) {
        let place = self.place(key);
        self.report(key, &place, problem, hint);
    }

    /// The place of a key: its own, else that of the nearest table above it, else the file.
    #[must_use]
    pub fn place(&self, key: &str) -> Place {
        let own = self.leaves.get(key).map(|entry| &entry.place);
        let mut above = key;
        let mut table = self.tables.get(key);
        while let (None, Some((head, _))) = (table, above.rsplit_once('.')) {
            above = head;
            table = self.tables.get(above);
        }
        own.or(table).cloned().unwrap_or(Place::File)
    }

    /// Whether the file (or a `--set`) gives this key.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.leaves.contains_key(key)
    }

    /// Whether a set, not the file, gives this key.
    #[must_use]
    pub fn is_set(&self, key: &str) -> bool {
        self.leaves.get(key).is_some_and(|entry| matches!(entry.place, Place::Set(..)))
    }

    /// The line of the file that gives this key; `None` where a set does, or nothing.
    #[must_use]
    pub fn line(&self, key: &str) -> Option<usize> {
        match self.leaves.get(key)?.place {
            Place::Line(line) => Some(line),
            Place::File | Place::Set(..) => None,
        }
    }

    /// Whether the file gives this table.
    #[must_use]
    pub fn has_table(&self, table: &str) -> bool {
        self.tables.contains_key(table)
    }

    /// Reports a key that has no meaning beside the others, if it is given.
    pub fn unused(&mut self, key: &str, because: Unused) {
        if self.has(key) {
            let hint = if self.is_set(key) { Hint::LeaveOut } else { Hint::TakeLineOut };
            self.mistake(key, Problem::Unused(because), Some(hint));
        }
    }

    /// A number that must be there, in its key's unit; not-a-number when it was reported.
    pub fn required(&mut self, path: &str) -> f64 {
        self.optional(path).unwrap_or_else(|| {
            self.missing(path);
            f64::NAN
        })
    }

    /// A number that may be left out. `Some(NaN)` when it was reported.
    pub fn optional(&mut self, path: &str) -> Option<f64> {
        let entry = self.leaves.get(path)?.clone();
        let Some(Key { kind: Kind::Number { dimension, low, high }, .. }) = keys::find(path) else {
            // A key that the table of keys does not list as a number: the tests of `resolve` meet every path.
            self.mistake(path, Problem::UnknownKey, None);
            return Some(f64::NAN);
        };
        Some(self.number(path, &entry, *dimension, [*low, *high]))
    }

    /// A number that may be left out, or the one that the table of keys has instead; not-a-number when it was reported.
    pub fn or_fallback(&mut self, path: &str) -> f64 {
        self.optional(path).unwrap_or_else(|| match keys::find(path).map(|key| key.need) {
            Some(Need::Else(Fallback::Number(value))) => value,
            _ => f64::NAN,
        })
    }

    /// The four corner radii.
    pub fn corners(&mut self, path: &str) -> [f64; 4] {
        let Some(entry) = self.leaves.get(path).cloned() else {
            self.missing(path);
            return [f64::NAN; 4];
        };
        let Some(Key { kind: Kind::Corners { low, high }, .. }) = keys::find(path) else {
            self.mistake(path, Problem::UnknownKey, None);
            return [f64::NAN; 4];
        };
        let mut one = |key: &str, entry: &Entry| self.number(key, entry, Dimension::Length, [*low, *high]);
        match &entry.value {
            Value::List(items) => match items.as_slice() {
                [all] => [one(path, all); 4],
                [a, b, c, d] => {
                    let corners = [(1, a), (2, b), (3, c), (4, d)];
                    corners.map(|(at, item)| one(&format!("{path}[{at}]"), item))
                }
                _ => {
                    let form = WrongForm::CornerList(entry.value.clone());
                    self.mistake(path, Problem::WrongForm(form), None);
                    [f64::NAN; 4]
                }
            },
            _ => [one(path, &entry); 4],
        }
    }

    /// One of the words of a key. When it is left out or was reported it is the one that the table of keys has instead, and
    /// empty without one.
    pub fn choice(&mut self, path: &str) -> &'static str {
        let Some(Key { kind: Kind::Choice(words), need, .. }) = keys::find(path) else { return "" };
        let otherwise = match need {
            Need::Else(Fallback::Word(word)) => word,
            _ => "",
        };
        let Some(text) = self.text(path) else { return otherwise };
        if let Some((problem, hint)) = word::refused(Kind::Choice(words), &text) {
            self.mistake(path, problem, hint);
        }
        words.iter().find(|word| **word == text).unwrap_or(&otherwise)
    }

    /// A text, trimmed, on one line and not empty; `None` when it is left out or was reported.
    pub fn text(&mut self, path: &str) -> Option<String> {
        let value = &self.leaves.get(path)?.value;
        let (form, hint) = match value {
            Value::Text(text) => {
                let text = text.trim();
                let letters = text.chars().count();
                if (1..=200).contains(&letters) && !text.chars().any(char::is_control) {
                    return Some(text.to_owned());
                }
                (WrongForm::OddText { text: text.to_owned(), letters }, None)
            }
            Value::Number { written, .. } => {
                (WrongForm::NoText(value.clone()), Some(Hint::WriteAsText(written.clone())))
            }
            other => (WrongForm::NoText(other.clone()), None),
        };
        self.mistake(path, Problem::WrongForm(form), hint);
        None
    }

    /// Reports that a key is missing.
    pub fn missing(&mut self, path: &str) {
        let Some(key) = keys::find(path) else { return };
        let table = key.table_and_name().0;
        // Told once, as a table of another name.
        if self.misnamed.iter().any(|meant| meant == table) && !self.tables.contains_key(table) {
            return;
        }
        let hint = Hint::Give { table: table.to_owned(), key };
        self.mistake(path, Problem::Missing(key), Some(hint));
    }

    /// Notes a value that is known only within a range.
    pub fn note(&mut self, key: &str, kind: SpreadKind, middle: f64) {
        self.spreads.push(Spread { key: key.to_owned(), kind, middle });
    }

    fn number(&mut self, path: &str, entry: &Entry, dimension: Dimension, range: [f64; 2]) -> f64 {
        match reading(path, &entry.value, dimension, range) {
            Ok(Reading { middle, spread }) => {
                if let Some(kind) = spread {
                    self.note(path, kind, middle);
                }
                middle
            }
            Err(wrongs) => {
                for (key, (problem, hint)) in wrongs {
                    let key = if key.is_empty() { path.to_owned() } else { format!("{path}.{key}") };
                    self.report(&key, &entry.place, problem, hint);
                }
                f64::NAN
            }
        }
    }
}

/// What to write in the place of a key that no model file has: the key that was most likely meant, or those of its table.
#[must_use]
pub fn instead_of(path: &str) -> Option<Hint> {
    if let Some(key) = renamed::key(path) {
        return Some(Hint::Renamed(key));
    }
    let (table, name) = path.rsplit_once('.').unwrap_or(("", path));
    let siblings = names_in(table);
    // The very name in another table is meant more likely than a similar one here.
    let near = elsewhere(name).or_else(|| {
        nearest(name, siblings.iter().copied())
            .map(|name| if table.is_empty() { name.to_owned() } else { format!("{table}.{name}") })
            .map(|key| vec![key])
    });
    if near.is_none() && !table.is_empty() && !siblings.is_empty() {
        // The table is right, so a path that is spelled alike is so by its table only.
        return Some(Hint::KeysOf { table: table.to_owned(), names: siblings });
    }
    near.or_else(|| {
        nearest(path, keys::all().iter().map(|key| key.path.as_str())).map(|key| vec![key.to_owned()])
    })
    .map(Hint::DidYouMean)
    .or_else(|| nearest_table(path).map(Hint::DidYouMeanTable))
}

/// Names of the keys of a table.
fn names_in(table: &str) -> Vec<&'static str> {
    keys::of_table(table).map(|key| key.table_and_name().1).collect()
}

/// What to write in the place of a value that stands where a table belongs: a key of that name, or those of the table.
#[must_use]
pub fn instead_of_table(path: &str) -> Option<Hint> {
    let name = path.rsplit('.').next().unwrap_or(path);
    if let Some(keys) = elsewhere(name) {
        return Some(Hint::DidYouMean(keys));
    }
    let names = names_in(path);
    (!names.is_empty()).then(|| Hint::KeysOf { table: path.to_owned(), names })
}

/// A load across gets its sentence; any other unknown key what to write instead.
fn unknown_key(path: &str, value: &Value) -> Wrong {
    let across = ["across", "minor", "sideways"];
    let name_says = path.starts_with("rig.") && across.iter().any(|word| path[4..].starts_with(word));
    let direction = path == "rig.direction" || path.starts_with("rig.") && path.ends_with(".direction");
    let value_says = matches!(value, Value::Text(text) if across.iter().any(|word| text.contains(word)));
    if name_says || (direction && value_says) {
        return (Problem::LoadAcross, Some(Hint::MarkingAcross));
    }
    (Problem::UnknownKey, instead_of(path))
}

/// Most keys that are named as what may have been meant.
const MOST_MEANT: usize = 3;

/// The keys of exactly this name in other tables, its unit left out or not, if they are few. Those of both ends of a rig are
/// one.
fn elsewhere(name: &str) -> Option<Vec<String>> {
    let mut same: Vec<String> = keys::all()
        .iter()
        .filter(|key| {
            let known = key.table_and_name().1;
            known == name || without_unit(key).is_some_and(|known| known == name)
        })
        .map(|key| at_both_ends(&key.path))
        .collect();
    same.dedup();
    (1..=MOST_MEANT).contains(&same.len()).then_some(same)
}

/// The name of a key without the unit at its end.
fn without_unit(key: &Key) -> Option<&str> {
    let name = key.table_and_name().1;
    ["_mm", "_kn", "_deg", "_mpa"].iter().find_map(|unit| name.strip_suffix(unit))
}

fn nearest_table(path: &str) -> Option<String> {
    let tables: Vec<&str> = keys::all()
        .iter()
        .flat_map(|key| key.path.match_indices('.').map(|(at, _)| &key.path[..at]))
        .collect();
    nearest(path, tables).map(str::to_owned)
}

/// A number in any of its forms. Errors carry the key inside the value, empty for the value itself.
fn reading(
    path: &str,
    value: &Value,
    dimension: Dimension,
    range: [f64; 2],
) -> Result<Reading, Vec<(String, Wrong)>> {
    let whole = |wrong| vec![(String::new(), wrong)];
    let table = match value {
        Value::Table(table) => table,
        Value::Text(text) => return typed(text, dimension, range).map_err(whole),
        single => {
            let middle = checked(single, dimension, range).map_err(whole)?;
            return Ok(Reading { middle, spread: None });
        }
    };
    let mut wrongs = Vec::new();
    for key in table.keys().filter(|key| !["value", "plus_minus", "between"].contains(&key.as_str())) {
        let near = nearest(key, ["value", "plus_minus", "between"])
            .map(|key| Hint::DidYouMean(vec![key.to_owned()]));
        wrongs.push((key.clone(), (Problem::UnknownKey, near)));
    }
    let mut take = |key: &str, value: &Value, range: [f64; 2]| {
        checked(value, dimension, range).unwrap_or_else(|wrong| {
            wrongs.push((key.to_owned(), wrong));
            f64::NAN
        })
    };
    let get = |key: &str| table.get(key).map(|entry| &entry.value);
    let read = match (get("value"), get("plus_minus"), get("between")) {
        (Some(middle), more, None) => {
            let middle = take("value", middle, range);
            let more = more.map_or(0.0, |more| take("plus_minus", more, [0.0, range[1] - range[0]]));
            if let Some(problem) = leaves(middle, more, range, dimension) {
                wrongs.push(("plus_minus".to_owned(), (problem, None)));
            }
            Some(Reading::around(middle, more))
        }
        (None, None, Some(Value::List(ends))) if ends.len() == 2 => {
            let low = take("between", &ends[0].value, range);
            let high = take("between", &ends[1].value, range);
            if let Some(problem) = reversed(low, high) {
                wrongs.push(("between".to_owned(), (problem, None)));
            }
            Some(Reading::between(low, high))
        }
        _ => None,
    };
    let name = path.rsplit('.').next().unwrap_or(path);
    match read {
        _ if !wrongs.is_empty() => Err(wrongs),
        Some(read) => Ok(read),
        None => {
            let problem = Problem::WrongForm(WrongForm::NoRange(value.clone()));
            Err(vec![(String::new(), (problem, Some(Hint::WriteRange(name.to_owned()))))])
        }
    }
}

/// A number as it was typed, alone or with its range.
fn typed(text: &str, dimension: Dimension, range: [f64; 2]) -> Result<Reading, Wrong> {
    let one = |number| within(number, dimension, range);
    let misfit = |problem: Option<Problem>| problem.map_or(Ok(()), |problem| Err((problem, None)));
    match read(text, dimension).map_err(no_quantity)? {
        Typed::One(number) => Ok(Reading { middle: one(number)?, spread: None }),
        Typed::PlusMinus { middle, more } => {
            one(middle)?;
            within(more, dimension, [0.0, range[1] - range[0]])?;
            misfit(leaves(middle, more, range, dimension))?;
            Ok(Reading::around(middle, more))
        }
        Typed::Between { low, high } => {
            misfit(reversed(low, high))?;
            Ok(Reading::between(one(low)?, one(high)?))
        }
    }
}

/// What is wrong with a middle and how much more or less it may be, where that leaves what is allowed.
fn leaves(middle: f64, more: f64, allowed: [f64; 2], dimension: Dimension) -> Option<Problem> {
    let outside = middle - more < allowed[0] || middle + more > allowed[1];
    outside.then_some(Problem::DoesNotFit(Misfit::RangeLeaves { middle, more, allowed, dimension }))
}

/// What is wrong with the ends of a range, where the smaller does not come first.
fn reversed(first: f64, second: f64) -> Option<Problem> {
    (first >= second).then_some(Problem::DoesNotFit(Misfit::RangeReversed { first, second }))
}

fn no_quantity(error: QuantityError) -> Wrong {
    let hint = error.hint();
    (Problem::Quantity(error), hint)
}

/// One number, inside its range.
fn checked(value: &Value, dimension: Dimension, range: [f64; 2]) -> Result<f64, Wrong> {
    let number = match value {
        Value::Number { value, .. } => *value,
        Value::Text(text) => parse(text, dimension).map_err(no_quantity)?,
        other => {
            let form = WrongForm::NoNumber { found: other.clone(), wanted: dimension };
            return Err((Problem::WrongForm(form), None));
        }
    };
    within(number, dimension, range)
}

fn within(found: f64, dimension: Dimension, [low, high]: [f64; 2]) -> Result<f64, Wrong> {
    if found >= low && found <= high {
        return Ok(found);
    }
    Err((Problem::OutOfRange { found, low, high, dimension }, None))
}
