//! A single value as a text, and what it may be.

use super::field::{LONGEST_NAME, LONGEST_PAIR, MOST_PAIRS, Shape};
use super::peak::NoPeak;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A file by its name, as it was given, and the SHA-256 of its bytes in hexadecimal digits.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct NamedFile {
    /// Its name.
    pub name: String,
    /// SHA-256 of its bytes; null of a photo that could not be read.
    #[schemars(extend("pattern" = "^[0-9a-f]{64}$"))]
    pub sha256: Option<String>,
}

/// Why a text is no value of a field.
#[derive(Clone, Debug, PartialEq)]
pub enum Problem {
    /// It must be told.
    Needed,
    /// Nothing but white space.
    Empty,
    /// More letters than these.
    TooLong {
        /// The most.
        most: usize,
    },
    /// A letter that steers a terminal, or a line feed where one line is wanted.
    Control,
    /// No number.
    NoNumber,
    /// A number out of its range.
    Outside([f64; 2]),
    /// No whole number up to this.
    NoCount(u32),
    /// None of these words.
    NoWord(&'static [&'static str]),
    /// No KEY=VALUE.
    NoPair,
    /// More pairs than may be.
    TooManyPairs,
    /// No day, and no day with a time.
    NoDate,
    /// No load.
    NoPeak(NoPeak),
    /// No file name, or no hash of 64 hexadecimal digits.
    NoFile,
    /// A word of no place.
    NoPlace,
    /// A field of a result, and the pull has none yet.
    NoResult,
    /// A value that is written otherwise than it is kept, with white space around it for example.
    NotAsKept,
    /// Kilonewtons that are not those of the load as entered.
    OtherKn,
}

/// Whether a letter may stand in a text: none that steers a terminal or turns the direction of writing.
fn is_plain(letter: char) -> bool {
    let turns = matches!(letter, '\u{200e}' | '\u{200f}' | '\u{61c}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    !letter.is_control() && !turns
}

pub(super) fn one_text(text: &str, shape: Shape) -> Result<String, Problem> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Problem::Empty);
    }
    let (most, lines) = match shape {
        Shape::Word(words) => {
            let wanted = text.to_lowercase().replace(['-', '_'], " ");
            let found = words.iter().find(|word| **word == wanted);
            return found.map(|word| (*word).to_owned()).ok_or(Problem::NoWord(words));
        }
        Shape::Text { most, lines } => (most, lines),
        _ => (LONGEST_PAIR, false),
    };
    if text.chars().count() > most {
        return Err(Problem::TooLong { most });
    }
    if !text.chars().all(|letter| is_plain(letter) || lines && letter == '\n') {
        return Err(Problem::Control);
    }
    Ok(text.to_owned())
}

pub(super) fn one_number(text: &str, shape: Shape) -> Result<f64, Problem> {
    let Shape::Number(range) = shape else { return Err(Problem::NoNumber) };
    let text = text.trim();
    // Words for what is no number, and exponents, are slips here.
    if !text.bytes().all(|byte| byte.is_ascii_digit() || b".-+".contains(&byte)) {
        return Err(Problem::NoNumber);
    }
    let number: f64 = text.parse().map_err(|_| Problem::NoNumber)?;
    if !(range[0]..=range[1]).contains(&number) {
        return Err(Problem::Outside(range));
    }
    // Of the two zeros the one without a sign is meant.
    Ok(if number == 0.0 { 0.0 } else { number })
}

pub(super) fn one_count(text: &str, shape: Shape) -> Result<u32, Problem> {
    let Shape::Count(most) = shape else { return Err(Problem::NoNumber) };
    let count = text.trim().parse::<u32>().ok();
    count.filter(|count| *count <= most).ok_or(Problem::NoCount(most))
}

pub(super) fn several_pairs(text: &str) -> Result<Vec<String>, Problem> {
    let pairs: Vec<String> = text.split('\n').map(one_pair).collect::<Result<_, _>>()?;
    if pairs.len() > MOST_PAIRS {
        return Err(Problem::TooManyPairs);
    }
    Ok(pairs)
}

pub(super) fn one_pair(text: &str) -> Result<String, Problem> {
    let (key, value) = text.split_once('=').ok_or(Problem::NoPair)?;
    let (key, value) = (key.trim(), value.trim());
    if key.is_empty() || value.is_empty() {
        return Err(Problem::NoPair);
    }
    one_text(&format!("{key}={value}"), Shape::Text { most: LONGEST_PAIR, lines: false })
}

pub(super) fn one_file(text: &str, needs_hash: bool) -> Result<NamedFile, Problem> {
    let (hash, name) = text.split_once(' ').ok_or(Problem::NoFile)?;
    let is_hash = hash.len() == 64 && hash.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
    if !(is_hash || hash == "-" && !needs_hash) {
        return Err(Problem::NoFile);
    }
    let name = one_text(name, Shape::Text { most: LONGEST_NAME, lines: false })?;
    Ok(NamedFile { name, sha256: is_hash.then(|| hash.to_owned()) })
}
