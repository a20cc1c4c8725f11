//! Reads single values out of the raw tree and collects every mistake on the way.
//!
//! A value that is missing or wrong is reported at once and read as not-a-number. Every comparison with it is false, so
//! the checks that come later stay silent about it and still judge all the others; no such number leaves `resolve`,
//! since one mistake is enough to refuse the model.

use super::hint::nearest;
use super::keys::{self, Key, Kind};
use super::mistake::{ModelMistake, Problem};
use super::model::{Spread, SpreadKind};
use super::quantity::{Dimension, parse, range_in_words};
use super::raw::{Entry, Place, Table, Value, quoted};
use super::renamed;
use super::word;
use report::numbers::plain;
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
    /// One sentence for each of them.
    pub notes: Vec<String>,
    /// What was taken where a set left something untold, and what is told to no purpose, a sentence each.
    pub taken: Vec<String>,
}

/// A number with what was said of its range.
struct Reading {
    middle: f64,
    spread: Option<SpreadKind>,
}

/// What is wrong with a value, and a hint.
type Wrong = (Problem, Option<String>);

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
            notes: Vec::new(),
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
                    let found = value.described();
                    self.report(&path, &entry.place, Problem::NotATable { found }, instead_of_table(&path));
                }
                (None, value) => {
                    let (problem, mut hint) = unknown_key(&path, value);
                    let meant = nearest_table(&path).filter(|_| matches!(value, Value::Table(_)));
                    if let Some(table) = meant.filter(|_| problem == Problem::UnknownKey) {
                        hint = Some(format!("did you mean [{table}]?"));
                        self.misnamed.push(table);
                    }
                    self.report(&path, &entry.place, problem, hint);
                }
            }
        }
    }

    fn report(&mut self, key: &str, place: &Place, problem: Problem, hint: Option<String>) {
        self.mistakes.push(ModelMistake {
            file: self.file.clone(),
            place: place.clone(),
            key: key.to_owned(),
            problem,
            hint,
        });
    }

    /// Reports a mistake at the place of a key: its own, else that of the nearest table above it, else the file.
    pub fn mistake(&mut self, key: &str, problem: Problem, hint: Option<String>) {
        let place = self.place(key);
        self.report(key, &place, problem, hint);
    }

    fn place(&self, key: &str) -> Place {
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

    /// Whether the file gives this table.
    #[must_use]
    pub fn has_table(&self, table: &str) -> bool {
        self.tables.contains_key(table)
    }

    /// Reports a key that has no meaning beside the others, if it is given.
    pub fn unused(&mut self, key: &str, because: &'static str) {
        if self.has(key) {
            let hint = if self.is_set(key) { "leave it out" } else { "take the line out" };
            self.mistake(key, Problem::Unused { because }, Some(hint.to_owned()));
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
                    let allowed =
                        "one number, or four: upper spine, upper gate, lower gate, lower spine".to_owned();
                    let found = entry.value.described();
                    self.mistake(path, Problem::WrongType { found, allowed }, None);
                    [f64::NAN; 4]
                }
            },
            _ => [one(path, &entry); 4],
        }
    }

    /// One of the words of a key; `default` when it is left out or was reported.
    pub fn choice(&mut self, path: &str, default: &'static str) -> &'static str {
        let Some(words) = keys::find(path).and_then(|key| match key.kind {
            Kind::Choice(words) => Some(words),
            _ => None,
        }) else {
            return default;
        };
        let Some(text) = self.text(path) else { return default };
        if let Some((problem, hint)) = word::refused(Kind::Choice(words), &text) {
            self.mistake(path, problem, hint);
        }
        words.iter().find(|word| **word == text).unwrap_or(&default)
    }

    /// A text, trimmed, on one line and not empty; `None` when it is left out or was reported.
    pub fn text(&mut self, path: &str) -> Option<String> {
        let value = &self.leaves.get(path)?.value;
        let allowed =
            "a text in quotes, of 1 to 200 letters on one line, none of them a control letter".to_owned();
        let (found, hint) = match value {
            Value::Text(text) => {
                let text = text.trim();
                let letters = text.chars().count();
                if (1..=200).contains(&letters) && !text.chars().any(char::is_control) {
                    return Some(text.to_owned());
                }
                (format!("{} of {letters} letters", quoted(text)), None)
            }
            Value::Number { written, .. } => {
                (value.described(), Some(format!("write \"{written}\" in quotes")))
            }
            other => (other.described(), None),
        };
        self.mistake(path, Problem::WrongType { found, allowed }, hint);
        None
    }

    /// Reports that a key is missing.
    pub fn missing(&mut self, path: &str) {
        let Some(key) = keys::find(path) else { return };
        let when = key.needed_when();
        let (table, name) = key.table_and_name();
        // Told once, as a table of another name.
        if self.misnamed.iter().any(|meant| meant == table) && !self.tables.contains_key(table) {
            return;
        }
        let sample = match key.kind {
            Kind::Number { dimension, low, high } => {
                format!("a number of {}", range_in_words([low, high], dimension))
            }
            Kind::Corners { low, high } => {
                format!("a number of {}, or four", range_in_words([low, high], Dimension::Length))
            }
            Kind::Choice(words) => {
                words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(" or ")
            }
            Kind::Material => "\"7075-t6\", or another name that `pullmap materials` lists".to_owned(),
            Kind::Text => "a text in quotes".to_owned(),
        };
        let hint = format!("in [{table}] write {name} = {sample}");
        self.mistake(path, Problem::Missing { about: key.about, when }, Some(hint));
    }

    /// Notes a value that is known only within a range.
    pub fn note(&mut self, key: &str, kind: SpreadKind, middle: f64, sentence: String) {
        self.spreads.push(Spread { key: key.to_owned(), kind, middle });
        self.notes.push(sentence);
    }

    fn number(&mut self, path: &str, entry: &Entry, dimension: Dimension, range: [f64; 2]) -> f64 {
        match reading(path, &entry.value, dimension, range) {
            Ok(Reading { middle, spread }) => {
                let used = plain(middle);
                match spread {
                    None => {}
                    Some(kind @ SpreadKind::Between(low, high)) => {
                        let (low, high) = (plain(low), plain(high));
                        self.note(
                            path,
                            kind,
                            middle,
                            format!("{path} is between {low} and {high}; the middle {used} is used"),
                        );
                    }
                    Some(kind @ SpreadKind::PlusMinus(more)) => {
                        let more = plain(more);
                        self.note(
                            path,
                            kind,
                            middle,
                            format!("{path} is {used} plus or minus {more}; {used} is used"),
                        );
                    }
                    Some(SpreadKind::UnknownMaterial) => {}
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
pub fn instead_of(path: &str) -> Option<String> {
    if let Some(key) = renamed::key(path) {
        return Some(format!("it is called {key} now"));
    }
    let (table, name) = path.rsplit_once('.').unwrap_or(("", path));
    let siblings: Vec<&str> =
        keys::all().iter().map(Key::table_and_name).filter(|key| key.0 == table).map(|key| key.1).collect();
    // The very name in another table is meant more likely than a similar one here.
    let near = elsewhere(name).or_else(|| {
        nearest(name, siblings.iter().copied())
            .map(|name| if table.is_empty() { name.to_owned() } else { format!("{table}.{name}") })
    });
    if near.is_none() && !table.is_empty() && !siblings.is_empty() {
        // The table is right, so a path that is spelled alike is so by its table only.
        return Some(format!("the keys in {table} are {}", siblings.join(", ")));
    }
    near.or_else(|| nearest(path, keys::all().iter().map(|key| key.path.as_str())).map(str::to_owned))
        .or_else(|| nearest_table(path).map(|table| format!("[{table}]")))
        .map(|key| format!("did you mean {key}?"))
}

/// What to write in the place of a value that stands where a table belongs: a key of that name, or those of the table.
#[must_use]
pub fn instead_of_table(path: &str) -> Option<String> {
    let name = path.rsplit('.').next().unwrap_or(path);
    if let Some(key) = elsewhere(name) {
        return Some(format!("did you mean {key}?"));
    }
    let names: Vec<&str> =
        keys::all().iter().map(Key::table_and_name).filter(|key| key.0 == path).map(|key| key.1).collect();
    (!names.is_empty()).then(|| format!("the keys in {path} are {}", names.join(", ")))
}

/// A load across gets its sentence; any other unknown key what to write instead.
fn unknown_key(path: &str, value: &Value) -> Wrong {
    let across = ["across", "minor", "sideways"];
    let name_says = path.starts_with("rig.") && across.iter().any(|word| path[4..].starts_with(word));
    let direction = path == "rig.direction" || path.starts_with("rig.") && path.ends_with(".direction");
    let value_says = matches!(value, Value::Text(text) if across.iter().any(|word| text.contains(word)));
    if name_says || (direction && value_says) {
        return (
            Problem::LoadAcross,
            Some("take it out; a marking across may stay, as marking.across_kn".to_owned()),
        );
    }
    (Problem::UnknownKey, instead_of(path))
}

/// Most keys that are named as what may have been meant.
const MOST_MEANT: usize = 3;

/// The keys of exactly this name in other tables, its unit left out or not, if they are few. Those of both ends of a rig are
/// one.
fn elsewhere(name: &str) -> Option<String> {
    let mut same: Vec<String> = keys::all()
        .iter()
        .filter(|key| {
            let known = key.table_and_name().1;
            known == name || without_unit(key).is_some_and(|known| known == name)
        })
        .map(|key| key.path.replace("rig.upper", "rig.both").replace("rig.lower", "rig.both"))
        .collect();
    same.dedup();
    (1..=MOST_MEANT).contains(&same.len()).then(|| same.join(" or "))
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
    let table = match value {
        Value::Table(table) => table,
        single => {
            let middle = checked(single, dimension, range).map_err(|wrong| vec![(String::new(), wrong)])?;
            return Ok(Reading { middle, spread: None });
        }
    };
    let mut wrongs = Vec::new();
    for key in table.keys().filter(|key| !["value", "plus_minus", "between"].contains(&key.as_str())) {
        let near = nearest(key, ["value", "plus_minus", "between"]).map(|key| format!("did you mean {key}?"));
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
            let ends = [middle - more, middle + more];
            if ends[0] < range[0] || ends[1] > range[1] {
                let found = format!(
                    "{} plus or minus {}, that is {}",
                    plain(middle),
                    plain(more),
                    range_in_words(ends, dimension)
                );
                let allowed = range_in_words(range, dimension);
                wrongs.push(("plus_minus".to_owned(), (Problem::DoesNotFit { found, allowed }, None)));
            }
            let spread = (more > 0.0).then_some(SpreadKind::PlusMinus(more));
            Some(Reading { middle, spread })
        }
        (None, None, Some(Value::List(ends))) if ends.len() == 2 => {
            let low = take("between", &ends[0].value, range);
            let high = take("between", &ends[1].value, range);
            if low >= high {
                let found = format!("{} to {}", plain(low), plain(high));
                let allowed = "the smaller number first".to_owned();
                wrongs.push(("between".to_owned(), (Problem::DoesNotFit { found, allowed }, None)));
            }
            Some(Reading { middle: 0.5 * (low + high), spread: Some(SpreadKind::Between(low, high)) })
        }
        _ => None,
    };
    let name = path.rsplit('.').next().unwrap_or(path);
    match read {
        _ if !wrongs.is_empty() => Err(wrongs),
        Some(read) => Ok(read),
        None => {
            let allowed =
                "a number, { value = a number, plus_minus = a number } or { between = [low, high] }"
                    .to_owned();
            let hint = format!("write {name} = {{ between = [low, high] }}");
            Err(vec![(String::new(), (Problem::WrongType { found: value.to_toml(), allowed }, Some(hint)))])
        }
    }
}

/// One number, inside its range.
fn checked(value: &Value, dimension: Dimension, range: [f64; 2]) -> Result<f64, Wrong> {
    let number = match value {
        Value::Number { value, .. } => *value,
        Value::Text(text) => parse(text, dimension).map_err(|error| {
            let hint = error.hint();
            (Problem::Quantity(error), hint)
        })?,
        other => {
            let allowed = match dimension {
                Dimension::Ratio => "a number".to_owned(),
                unit => {
                    format!("a number in {}, or a text such as \"14 {}\"", unit.base_unit(), unit.base_unit())
                }
            };
            return Err((Problem::WrongType { found: other.described(), allowed }, None));
        }
    };
    let [low, high] = range;
    if number >= low && number <= high {
        return Ok(number);
    }
    Err((Problem::OutOfRange { found: number, low, high, dimension }, None))
}
