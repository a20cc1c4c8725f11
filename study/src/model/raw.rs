//! The model file as it stands: tables and values, each with the place it came from.
//!
//! Nothing is judged here but TOML itself. The values are copied out of the parser's borrowed tree so that `--set` can
//! put its own beside them, and so that every later message can name a line.

use std::collections::BTreeMap;
use std::ops::Range;
use toml::de::{DeTable, DeValue};

/// Where a value was written.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// Line of the file, counted from one.
    Line(usize),
    /// The file as a whole.
    File,
    /// On the command line: how many `--set` came before it, and its text.
    Set(usize, String),
}

/// A value and its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Where it was written.
    pub place: Place,
    /// What was written.
    pub value: Value,
}

/// A table: entries by name.
pub type Table = BTreeMap<String, Entry>;

/// A value as written.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// An integer or a float, which may be infinite or not a number.
    Number {
        /// Its value.
        value: f64,
        /// Its digits.
        written: String,
    },
    /// A string.
    Text(String),
    /// `true` or `false`.
    Flag(bool),
    /// A date or a time.
    Date(String),
    /// A list.
    List(Vec<Entry>),
    /// A table, inline or with a header.
    Table(Table),
}

impl Value {
    /// The value as TOML on one line.
    #[must_use]
    pub fn to_toml(&self) -> String {
        match self {
            Self::Number { written, .. } => written.clone(),
            Self::Text(text) => toml::Value::String(text.clone()).to_string(),
            Self::Flag(flag) => flag.to_string(),
            Self::Date(date) => date.clone(),
            Self::List(items) => {
                let items: Vec<String> = items.iter().map(|item| item.value.to_toml()).collect();
                format!("[{}]", items.join(", "))
            }
            Self::Table(table) => {
                let entries: Vec<String> = table
                    .iter()
                    .map(|(key, entry)| format!("{} = {}", key_to_toml(key), entry.value.to_toml()))
                    .collect();
                format!("{{ {} }}", entries.join(", "))
            }
        }
    }
}

fn key_to_toml(key: &str) -> String {
    let bare = !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || c == '_' || c == '-');
    if bare { key.to_owned() } else { toml::Value::String(key.to_owned()).to_string() }
}

/// Why a text is not TOML.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Syntax {
    /// The words of the parser.
    Parser(String),
    /// A key or table that stands there a second time.
    Twice {
        /// The key, or the header of the table in its brackets.
        what: String,
        /// Line where it stands first, counted from one.
        first: usize,
    },
    /// A key of more parts than this.
    TooManyParts(usize),
}

/// A place where the text is not TOML.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SyntaxMistake {
    /// Line, counted from one.
    pub line: usize,
    /// What is wrong there.
    pub syntax: Syntax,
}

/// Reads TOML. A byte order mark at the start is skipped.
///
/// # Errors
/// Every place where the text is not TOML, at most one a line, in order.
pub fn parse(text: &str) -> Result<Table, Vec<SyntaxMistake>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let lines = Lines::of(text);
    if let Some(at) = nests_too_deep(text) {
        return Err(vec![SyntaxMistake { line: lines.at(at), syntax: Syntax::TooManyParts(DEEPEST) }]);
    }
    let (table, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        return Ok(own_table(table.get_ref(), &|at| Place::Line(lines.at(at))));
    }
    let mut spans: Vec<(usize, Option<Range<usize>>, &str)> = errors
        .iter()
        .map(|error| (lines.at(error.span().map_or(0, |span| span.start)), error.span(), error.message()))
        .collect();
    spans.sort_by_key(|(line, ..)| *line);
    spans.dedup_by_key(|(line, ..)| *line);
    let mistake = |(place, (line, span, words)): (usize, (usize, Option<Range<usize>>, &str))| {
        // Beyond those that anybody reads a second name is not looked up: each is sought in the whole text.
        let twice = span.filter(|_| words == "duplicate key" && place < LOOKED_UP);
        let parser = || Syntax::Parser(words.lines().collect::<Vec<_>>().join("; "));
        let syntax = twice.and_then(|span| told_twice(text, line, span)).unwrap_or_else(parser);
        SyntaxMistake { line, syntax }
    };
    Err(spans.into_iter().enumerate().map(mistake).collect())
}

/// Second names whose first place is looked up.
const LOOKED_UP: usize = 20;

/// A key or table that stands in a text twice; `span` is its second name, on line `second`.
fn told_twice(text: &str, second: usize, span: Range<usize>) -> Option<Syntax> {
    let name = text.get(span.clone())?;
    // Within a table in braces or after a dot the same name may stand elsewhere on its own.
    let before = text.get(..span.start)?.lines().last().filter(|_| !text[..span.start].ends_with('\n'));
    if !before.unwrap_or_default().trim_matches(['[', ' ', '\t']).is_empty() {
        return None;
    }
    let starts =
        |line: &str| line.trim_start().strip_prefix(name).map(|rest| rest.trim_start().starts_with('='));
    let all: Vec<&str> = text.lines().collect();
    let above = all.get(..second - 1)?;
    let (what, first) = if all.get(second - 1)?.trim_start().starts_with('[') {
        let table = all[second - 1].split_once(']')?.0.trim();
        let same = |line: &&str| line.split_once(']').is_some_and(|(head, _)| head.trim() == table);
        (format!("{table}]"), above.iter().position(same)?)
    } else {
        let own_table =
            above.iter().rposition(|line| line.trim_start().starts_with('[')).map_or(0, |at| at + 1);
        let same = |line: &&str| starts(line) == Some(true);
        (name.to_owned(), own_table + above[own_table..].iter().position(same)?)
    };
    Some(Syntax::Twice { what, first: first + 1 })
}

/// More parts of a dotted key than any model has. Tables are walked by recursion: a key of a million parts would end it.
const DEEPEST: usize = 200;

/// Where a key has too many parts. Comments and texts are counted like keys: neither has so many dots in a row.
fn nests_too_deep(text: &str) -> Option<usize> {
    let mut dots = 0;
    text.bytes().position(|byte| {
        match byte {
            b'.' => dots += 1,
            b'=' | b'\n' | b',' => dots = 0,
            _ => {}
        }
        dots >= DEEPEST
    })
}

/// Reads one TOML value, as after `key =`; `None` when it is not one.
#[must_use]
pub fn parse_value(text: &str, place: &Place) -> Option<Value> {
    if nests_too_deep(text).is_some() {
        return None;
    }
    let value = DeValue::parse(text).ok()?;
    Some(own_value(value.get_ref(), &|_| place.clone()))
}

fn own_table(table: &DeTable<'_>, place: &dyn Fn(usize) -> Place) -> Table {
    table
        .iter()
        .map(|(key, value)| {
            let entry = Entry { place: place(key.span().start), value: own_value(value.get_ref(), place) };
            (key.get_ref().to_string(), entry)
        })
        .collect()
}

fn own_value(value: &DeValue<'_>, place: &dyn Fn(usize) -> Place) -> Value {
    match value {
        DeValue::String(text) => Value::Text(text.to_string()),
        DeValue::Integer(integer) => {
            // An integer beyond 128 bits is absurd under every key: infinity says so without a second error path.
            let value =
                i128::from_str_radix(integer.as_str(), integer.radix()).map_or(f64::INFINITY, |whole| {
                    #[allow(clippy::cast_precision_loss, reason = "ranges end far below 2^53")]
                    let value = whole as f64;
                    value
                });
            Value::Number { value, written: integer.to_string() }
        }
        DeValue::Float(float) => {
            let value = float.as_str().parse().unwrap_or(f64::NAN);
            Value::Number { value, written: float.as_str().to_owned() }
        }
        DeValue::Boolean(flag) => Value::Flag(*flag),
        DeValue::Datetime(date) => Value::Date(date.to_string()),
        DeValue::Array(items) => Value::List(
            items
                .iter()
                .map(|item| Entry {
                    place: place(item.span().start),
                    value: own_value(item.get_ref(), place),
                })
                .collect(),
        ),
        DeValue::Table(table) => Value::Table(own_table(table, place)),
    }
}

/// Starts of lines, to turn a byte into a line number.
struct Lines(Vec<usize>);

impl Lines {
    fn of(text: &str) -> Self {
        Self(text.match_indices('\n').map(|(at, _)| at + 1).collect())
    }

    fn at(&self, byte: usize) -> usize {
        1 + self.0.partition_point(|start| *start <= byte)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry<'a>(table: &'a Table, path: &[&str]) -> &'a Entry {
        let (first, rest) = path.split_first().unwrap();
        let entry = &table[*first];
        match (&entry.value, rest) {
            (_, []) => entry,
            (Value::Table(inner), rest) => super::tests::entry(inner, rest),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn every_value_knows_its_line() {
        let table =
            parse("title = 'x'\n\n[window]\na = 1\nb.c = [\n 2,\n 3]\n[section.spine]\nd = {e = 4}\n")
                .unwrap();
        let line = |path: &[&str]| entry(&table, path).place.clone();
        assert_eq!(line(&["title"]), Place::Line(1));
        assert_eq!(line(&["window"]), Place::Line(3));
        assert_eq!(line(&["window", "a"]), Place::Line(4));
        assert_eq!(line(&["window", "b", "c"]), Place::Line(5));
        assert_eq!(line(&["section", "spine"]), Place::Line(8));
        assert_eq!(line(&["section", "spine", "d", "e"]), Place::Line(9));
        let Value::List(items) = &entry(&table, &["window", "b", "c"]).value else { panic!() };
        assert_eq!((&items[0].place, &items[1].place), (&Place::Line(6), &Place::Line(7)));
    }

    #[test]
    fn endless_keys_and_brackets_are_mistakes() {
        let deep = format!("x = 1\n{} = 1\n", vec!["a"; 100_000].join("."));
        assert_eq!(parse(&deep).unwrap_err()[0].line, 2);
        assert!(parse(&format!("[{}]\n", vec!["a"; 100_000].join("."))).is_err());
        assert!(parse(&format!("a = {}", "[".repeat(500_000))).is_err());
        assert!(parse(&format!("a = {}", "{a=".repeat(300_000))).is_err());
        assert!(parse_value(&"[".repeat(100_000), &Place::File).is_none());
    }

    #[test]
    fn byte_order_mark_and_windows_lines() {
        let table = parse("\u{feff}a = 1\r\nb = 2\r\n").unwrap();
        assert_eq!(table["b"].place, Place::Line(2));
    }

    #[test]
    fn syntax_mistakes_carry_lines() {
        let mistakes = parse("a = 1\nb = = 2\nc = 3\nd = \"open\ne = 1\n").unwrap_err();
        let lines: Vec<usize> = mistakes.iter().map(|mistake| mistake.line).collect();
        assert!(lines.contains(&2) && lines.contains(&4), "{mistakes:?}");
        let twice = &parse("a = 1\na = 2\n").unwrap_err()[0];
        assert_eq!((twice.line, &twice.syntax), (2, &Syntax::Twice { what: "a".to_owned(), first: 1 }));
    }

    #[test]
    fn odd_numbers_survive() {
        let table = parse("a = nan\nb = -inf\nc = 0x10\nd = 1_000.5\ne = 99999999999999999999\n").unwrap();
        let number = |key: &str| match &table[key].value {
            Value::Number { value, .. } => *value,
            other => panic!("{other:?}"),
        };
        assert!(number("a").is_nan());
        assert_eq!(number("b"), f64::NEG_INFINITY);
        assert_eq!(number("c"), 16.0);
        assert_eq!(number("d"), 1000.5);
        assert_eq!(number("e"), 1e20);
    }

    #[test]
    fn values_go_back_to_toml() {
        let text = "a = { between = [12, 15.5], x = \"say \\\"in\\\"\" }\n";
        let table = parse(text).unwrap();
        let again = parse(&format!("a = {}", table["a"].value.to_toml())).unwrap();
        assert_eq!(table["a"].value, again["a"].value);
    }
}
