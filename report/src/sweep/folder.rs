//! What a folder holds that a sweep cannot be written into, and what is wrong with its files.

use super::mistakes;
use crate::mistakes as models;
use std::fmt::Display;
use study::sweep::PlanError;

/// What a folder holds that is not the sweep asked for; files by their names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds<'a> {
    /// An unfinished sweep, in a line.
    Unfinished(&'a str),
    /// A finished sweep, in a line.
    Finished(&'a str),
    /// A file like the record of an unfinished sweep that is none.
    NoRecord(&'a str),
    /// A file like one of a finished sweep that is none.
    NotOurs(&'a str),
    /// The first, a file of a sweep, without the other, which describes it.
    Without(&'a str, &'a str),
}

/// The words for it.
#[must_use]
pub fn holds(what: Holds<'_>) -> String {
    match what {
        Holds::Unfinished(sweep) => format!("the unfinished sweep of {sweep}"),
        Holds::Finished(sweep) => format!("the finished sweep of {sweep}"),
        Holds::NoRecord(name) => format!("a {name} that is not a record of this program"),
        Holds::NotOurs(name) => format!("a {name} that is not of this program"),
        Holds::Without(name, about) => format!("a {name} without its {about}"),
    }
}

/// Another sweep in a line; `same_words`: the line is that of the sweep asked for.
#[must_use]
pub fn other(sweep: &str, same_words: bool) -> String {
    let of_another =
        if same_words { ", of another model, --set, mesh size or version of the program" } else { "" };
    format!("{sweep}{of_another}")
}

/// That a folder is left as it is, for what it holds.
#[must_use]
pub fn left_as_it_is(folder: impl Display, held: impl Display) -> String {
    format!(
        "{folder} holds {held}, and is left as it is\n  hint: choose another folder with --out, or add --restart to throw \
         that sweep away"
    )
}

/// That another process writes the same sweep.
#[must_use]
pub fn busy(path: impl Display) -> String {
    format!(
        "{path}: another pullmap is writing this sweep\n  hint: wait for it, or choose another folder with --out"
    )
}

/// What a sweep leaves that was stopped from outside: `by_hand` by Ctrl-C, else by a signal to terminate.
#[must_use]
pub fn stopped(by_hand: bool, kept: usize, points: usize, folder: &str) -> String {
    let how = if by_hand { "Stopped" } else { "Terminated" };
    format!(
        "{how}: {kept} of {points} points are kept in {folder}; the same command goes on from there (with --restart it begins \
         anew).\n"
    )
}

/// What cannot be done with a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cannot {
    /// Opened.
    Open,
    /// Locked.
    Lock,
    /// Read.
    Read,
    /// Written.
    Write,
    /// Removed.
    Remove,
}

/// That it cannot be done, and the words of the system.
#[must_use]
pub fn cannot(what: Cannot, why: impl Display) -> String {
    let done = match what {
        Cannot::Open => "opened",
        Cannot::Lock => "locked",
        Cannot::Read => "read",
        Cannot::Write => "written",
        Cannot::Remove => "removed",
    };
    format!("cannot be {done}: {why}")
}

/// That there is no table, and why.
#[must_use]
pub fn no_table(why: impl Display) -> String {
    format!("the table of the points cannot be made: {why}")
}

/// That not one point could be computed: how many, the file with the reasons, the first of them.
#[must_use]
pub fn nothing_done(points: usize, csv: impl Display, reason: &str) -> String {
    format!("none of the {points} points could be computed; the reasons are in {csv}. The first: {reason}")
}

/// Why a sweep cannot be planned.
#[must_use]
pub fn plan(error: &PlanError) -> String {
    match error {
        PlanError::Asked { asked, model: None } => mistakes::all(asked),
        PlanError::Asked { asked, model: Some(model) } => {
            format!("{}\n{}", mistakes::all(asked), models::errors(model))
        }
        PlanError::Model(model) => models::errors(model),
    }
}
