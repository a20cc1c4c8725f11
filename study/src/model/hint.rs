//! What to do about a mistake: the nearest known word, a key to write, a unit.

use super::dimension::Dimension;
use super::keys::{self, Key};

/// What to do instead of what was written.
#[derive(Clone, Debug, PartialEq)]
pub enum Hint {
    /// Keys or words that were most likely meant, at least one.
    DidYouMean(Vec<String>),
    /// A table that was most likely meant.
    DidYouMeanTable(String),
    /// A key of an earlier version, by its present name.
    Renamed(&'static str),
    /// The keys that a table has.
    KeysOf {
        /// The table.
        table: String,
        /// Their names.
        names: Vec<&'static str>,
    },
    /// A key to write, in the table where it belongs.
    Give {
        /// The table.
        table: String,
        /// The key.
        key: &'static Key,
    },
    /// Write a number with its range: the name of its key.
    WriteRange(String),
    /// Write it like this: a number of this dimension, alone and with its range.
    Examples(Dimension),
    /// Write this.
    Write(String),
    /// Write this, with the minus of the keyboard.
    WriteWithMinus(String),
    /// Write this text in quotes, as a name and no number.
    WriteAsText(String),
    /// Write this value, in quotes.
    WriteInQuotes(String),
    /// Write this number without quotes.
    WriteUnquoted(f64),
    /// Write a decimal point.
    WriteWithPoint {
        /// What was most likely meant, with a point.
        meant: String,
        /// What may have been meant: the comma for thousands.
        thousands: Option<String>,
    },
    /// Write a unit.
    WriteWithUnit {
        /// What was written.
        found: String,
        /// The unit of a bare number.
        unit: &'static str,
    },
    /// A unit of mass where its weight is meant.
    Mass {
        /// The unit of mass.
        mass: &'static str,
        /// The unit of its weight.
        weight: &'static str,
    },
    /// The unit of inches.
    Inches,
    /// Metals are listed; one may be described as well.
    ListedMetals,
    /// A marking across may stay, a load across may not.
    MarkingAcross,
    /// Leave the set out.
    LeaveOut,
    /// Take the line out of the file.
    TakeLineOut,
}

impl Hint {
    /// The same, with every key of one end of the rig told as that of both.
    #[must_use]
    pub fn at_both_ends(&self) -> Self {
        let both = |path: &String| at_both_ends(path);
        match self {
            Self::DidYouMean(meant) => Self::DidYouMean(meant.iter().map(both).collect()),
            Self::DidYouMeanTable(table) => Self::DidYouMeanTable(both(table)),
            Self::KeysOf { table, names } => Self::KeysOf { table: both(table), names: names.clone() },
            Self::Give { table, key } => Self::Give { table: both(table), key: of_upper(key) },
            other => other.clone(),
        }
    }
}

/// A path of one end of the rig as that of both; any other as it is.
#[must_use]
pub fn at_both_ends(path: &str) -> String {
    path.replace("rig.upper", "rig.both").replace("rig.lower", "rig.both")
}

/// The key of the upper end in the place of that of the lower one.
pub(super) fn of_upper(key: &'static Key) -> &'static Key {
    keys::find(&key.path.replace("rig.lower", "rig.upper")).unwrap_or(key)
}

/// The candidate with the smallest edit distance (letters added, dropped, changed, or two swapped), if it is near enough
/// to be meant: at most two edits for short words, a third of the letters for long ones. The first of equals wins, so
/// the order of the candidates decides.
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let reach = (word.chars().count() / 3).max(2);
    candidates
        .into_iter()
        .map(|candidate| (strsim::osa_distance(word, candidate), candidate))
        // A word as far away as it is long shares nothing with what was written.
        .filter(|(distance, candidate)| *distance <= reach && *distance < candidate.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn finds_what_was_meant() {
        let keys = ["tip_mm", "notch_depth_mm", "lip_height_mm"];
        assert_eq!(nearest("tpi_mm", keys), Some("tip_mm"));
        assert_eq!(nearest("notch_dept_mm", keys), Some("notch_depth_mm"));
        assert_eq!(nearest("notch_depth", keys), Some("notch_depth_mm"));
        assert_eq!(nearest("colour", keys), None);
        assert_eq!(nearest("", keys), None);
    }
}
