//! Why a sweep could not be done, files among it.

use super::names::{ABOUT, PART};
use report::{mistakes, sweep};
use std::path::PathBuf;
use study::sweep::PlanError;

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
    /// What was asked for is wrong, or the model.
    #[error("{}", told(.0))]
    Plan(#[from] PlanError),
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

fn told(error: &PlanError) -> String {
    match error {
        PlanError::Asked { asked, model: None } => sweep::all(asked),
        PlanError::Asked { asked, model: Some(model) } => {
            format!("{}\n{}", sweep::all(asked), mistakes::errors(model))
        }
        PlanError::Model(model) => mistakes::errors(model),
    }
}
