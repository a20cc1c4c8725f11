//! Why a sweep cannot be run. Each says what was found, what is allowed and what to do.

use super::record::{ABOUT, PART};
use super::vary::{MANY_POINTS, MOST_KEYS, MOST_POINTS};
use std::path::PathBuf;
use study::model::ModelErrors;

/// A slip in what was asked for.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SweepMistake {
    /// More keys than can be drawn.
    #[error(
        "found {found} keys to vary; allowed: 1 or {MOST_KEYS}\n  hint: fix the others with --set, or sweep again for each of their values"
    )]
    TooManyKeys {
        /// How many.
        found: usize,
    },
    /// No model file has this key.
    #[error(
        "--vary {key}: {}{}",
        if *.is_table { "found a table; allowed: a key in it" } else { "found a key that no model file has" },
        .hint.as_ref().map_or(String::new(), |hint| format!("\n  hint: {hint}"))
    )]
    UnknownKey {
        /// The key.
        key: String,
        /// Whether keys live below it.
        is_table: bool,
        /// What to write instead.
        hint: Option<String>,
    },
    /// A key that no result depends on.
    #[error(
        "--vary {key}: found a key that changes nothing: {because}; allowed: a key that a result depends on{}",
        .hint.map_or(String::new(), |hint| format!("\n  hint: {hint}"))
    )]
    ChangesNothing {
        /// The key.
        key: String,
        /// Why nothing does.
        because: &'static str,
        /// What to do, where that is clear.
        hint: Option<&'static str>,
    },
    /// One key varied twice.
    #[error(
        "--vary {key}: found this key twice; allowed: once\n  hint: rig.both.KEY stands for rig.upper.KEY and rig.lower.KEY"
    )]
    Twice {
        /// The key.
        key: String,
    },
    /// A key both set and varied.
    #[error("--vary {key}: found --set {set} as well; allowed: one of the two")]
    SetAsWell {
        /// The varied key.
        key: String,
        /// The set key.
        set: String,
    },
    /// Values that cannot be read.
    #[error("--vary {key}={text}: {problem}")]
    Value {
        /// The key.
        key: String,
        /// The values as typed.
        text: String,
        /// What is wrong.
        problem: String,
    },
    /// More points than a slip of the pen should cost.
    #[error(
        "found {found} points; allowed without --yes: {MANY_POINTS}\n  hint: use fewer, or add --yes if you mean it (a point takes 0.02 to 0.2 s)"
    )]
    TooMany {
        /// How many.
        found: usize,
    },
    /// More points than any sweep may have.
    #[error("found {found} points; allowed: {MOST_POINTS}\n  hint: use fewer")]
    FarTooMany {
        /// How many.
        found: String,
    },
}

/// What a folder holds that is not the sweep that is asked for.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Held {
    /// An unfinished sweep.
    #[error("the unfinished sweep of {0}")]
    Unfinished(OtherSweep),
    /// A finished sweep.
    #[error("the finished sweep of {0}")]
    Finished(OtherSweep),
    /// A file with the name of one of a sweep's that this program has not written.
    #[error("a {name} that is not {}", if *.name == PART { "a record of this program" } else { "of this program" })]
    Foreign {
        /// Its name.
        name: &'static str,
    },
    /// A file of a sweep without the description of it.
    #[error("a {name} without its {ABOUT}")]
    WithoutAbout {
        /// Its name.
        name: &'static str,
    },
}

/// A sweep that is not the one asked for.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{sweep}{}", if *.same_words { ", of another model, --set, mesh size or version of the program" } else { "" })]
pub struct OtherSweep {
    /// What it varies.
    pub sweep: String,
    /// Whether the sweep asked for varies the same: another model, set, mesh or version of the program makes it another.
    pub same_words: bool,
}

/// Why a sweep could not be done.
#[derive(Debug, thiserror::Error)]
pub enum SweepError {
    /// Slips in what was asked for, at least one.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Asked(Vec<SweepMistake>),
    /// Slips in what was asked for, and in the model.
    #[error(
        "{}\n{}",
        .asked.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"),
        report::mistakes::errors(.model)
    )]
    AskedAndModel {
        /// What was asked for.
        asked: Vec<SweepMistake>,
        /// The model.
        model: ModelErrors,
    },
    /// The folder holds another sweep.
    #[error(
        "{} holds {what}, and is left as it is\n  hint: choose another folder with --out, or add --restart to throw that \
         sweep away",
        .folder.display()
    )]
    AnotherSweep {
        /// The folder.
        folder: PathBuf,
        /// Which sweep it holds.
        what: Held,
    },
    /// Another process writes the record.
    #[error(
        "{}: another pullmap is writing this sweep\n  hint: wait for it, or choose another folder with --out",
        .path.display()
    )]
    Busy {
        /// The record.
        path: PathBuf,
    },
    /// The record of finished points cannot be read or written.
    #[error("{}: {problem}", .path.display())]
    Record {
        /// The record.
        path: PathBuf,
        /// What is wrong.
        problem: String,
    },
    /// The table of the points cannot be made.
    #[error("the table of the points cannot be made: {0}")]
    Table(#[from] csv::Error),
    /// Not one point could be computed.
    #[error("none of the {points} points could be computed; the reasons are in {}. The first: {reason}", .csv.display())]
    NothingDone {
        /// How many points.
        points: usize,
        /// Where the reasons are.
        csv: PathBuf,
        /// The first reason.
        reason: String,
    },
}
