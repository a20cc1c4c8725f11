//! Why a sweep could not be done, files among it. `report::sweep::folder` has the words.

use super::names::{ABOUT, PART};
use crate::output::OutputError;
use report::sweep::folder::{self as words, Cannot, Holds};
use std::fmt::{self, Display, Formatter};
use std::io;
use std::path::PathBuf;
use study::sweep::PlanError;

/// What a folder holds that is not the sweep that is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Held {
    /// An unfinished sweep.
    Unfinished(OtherSweep),
    /// A finished sweep.
    Finished(OtherSweep),
    /// A file with the name of one of a sweep's that this program has not written.
    Foreign {
        /// Its name.
        name: &'static str,
    },
    /// A file of a sweep without the description of it.
    WithoutAbout {
        /// Its name.
        name: &'static str,
    },
}

impl Display for Held {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str(&match self {
            Self::Unfinished(other) => words::holds(Holds::Unfinished(&other.to_string())),
            Self::Finished(other) => words::holds(Holds::Finished(&other.to_string())),
            Self::Foreign { name } if *name == PART => words::holds(Holds::NoRecord(name)),
            Self::Foreign { name } => words::holds(Holds::NotOurs(name)),
            Self::WithoutAbout { name } => words::holds(Holds::Without(name, ABOUT)),
        })
    }
}

/// A sweep that is not the one asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OtherSweep {
    /// What it varies.
    pub sweep: String,
    /// Whether the sweep asked for varies the same: another model, set, mesh or version of the program makes it another.
    pub same_words: bool,
}

impl Display for OtherSweep {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str(&words::other(&self.sweep, self.same_words))
    }
}

/// What is wrong with a record.
#[derive(Debug, thiserror::Error)]
pub enum RecordProblem {
    /// The system refuses something.
    #[error("{}", words::cannot(*.0, .1))]
    Cannot(Cannot, io::Error),
    /// It cannot be written as JSON.
    #[error("{0}")]
    Json(io::Error),
    /// Its file cannot be written.
    #[error(transparent)]
    Output(#[from] OutputError),
}

/// Why a sweep could not be done.
#[derive(Debug, thiserror::Error)]
pub enum SweepError {
    /// What was asked for is wrong, or the model.
    #[error("{}", words::plan(.0))]
    Plan(#[from] PlanError),
    /// The folder holds another sweep.
    #[error("{}", words::left_as_it_is(.folder.display(), .what))]
    AnotherSweep {
        /// The folder.
        folder: PathBuf,
        /// Which sweep it holds.
        what: Held,
    },
    /// Another process writes the record.
    #[error("{}", words::busy(.path.display()))]
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
        problem: RecordProblem,
    },
    /// The table of the points cannot be made.
    #[error("{}", words::no_table(.0))]
    Table(#[from] csv::Error),
    /// Not one point could be computed.
    #[error("{}", words::nothing_done(*.points, .csv.display(), .reason))]
    NothingDone {
        /// How many points.
        points: usize,
        /// Where the reasons are.
        csv: PathBuf,
        /// The first reason.
        reason: String,
    },
}
