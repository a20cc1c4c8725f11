//! Files that cannot be read or written, and those that were.

use std::collections::BTreeSet;
use std::fmt::Display;

/// Letters named at most that a font has not: more of them tell nothing more.
const NAMED_LETTERS: usize = 8;

/// A folder that cannot be made, and the words of the system.
#[must_use]
pub fn no_folder_made(folder: impl Display, why: impl Display) -> String {
    format!("cannot make the folder {folder}: {why}")
}

/// A folder that nothing can be written into, and the words of the system.
#[must_use]
pub fn closed(folder: impl Display, why: impl Display) -> String {
    format!("cannot write into the folder {folder}: {why}")
}

/// A trace that is too large to be read.
#[must_use]
pub fn trace_too_large(file: impl Display, most_mib: u64) -> String {
    format!("{file}: larger than {most_mib} MiB; cut it to the pull")
}

/// A file named in a folder that is not there.
#[must_use]
pub fn no_folder(file: impl Display, folder: impl Display) -> String {
    format!(
        "cannot write {file}: there is no folder {folder}\n  hint: make that folder first, or name a file in one that is there"
    )
}

/// A file that cannot be written, and the words of the system.
#[must_use]
pub fn not_written(file: impl Display, why: impl Display) -> String {
    format!("cannot write {file}: {why}")
}

/// A file that is there already.
#[must_use]
pub fn exists(file: impl Display) -> String {
    format!("{file} exists already and is left as it is")
}

/// The same where another command would replace it.
#[must_use]
pub fn needs_force(refused: impl Display) -> String {
    format!("{refused}\n  hint: choose another name, or add --force")
}

/// Something that a file cannot take the place of.
pub const NO_FILE: &str = "it is not a file";

/// A standard output that fails, and the words of the system.
#[must_use]
pub fn no_output(why: impl Display) -> String {
    format!("cannot write to the standard output: {why}")
}

/// Why a model file is none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unreadable {
    /// The system does not read it, in its words.
    Refused(String),
    /// The system reads no file of this name, in its words.
    NoFile {
        /// Those words.
        words: String,
        /// A built-in model of nearly this name.
        near: Option<&'static str>,
        /// All built-in models.
        built_in: String,
    },
    /// Nobody writes into the pipe.
    EmptyPipe,
    /// Larger than a model file may be.
    TooLarge {
        /// How large one may be, MiB.
        most_mib: u64,
    },
    /// No text.
    NoText {
        /// The first line that is none.
        line: usize,
    },
}

/// That a model cannot be read.
#[must_use]
pub fn unreadable(file: &str, why: &Unreadable) -> String {
    let told = match why {
        Unreadable::Refused(words) => words.clone(),
        Unreadable::NoFile { words, near: Some(near), .. } => {
            format!("{words}\n  hint: did you mean the built-in model {near}?")
        }
        Unreadable::NoFile { words, near: None, built_in } => {
            format!("{words}\n  hint: models that need no file: {built_in}")
        }
        Unreadable::EmptyPipe => "a pipe that nothing is written into".to_owned(),
        Unreadable::TooLarge { most_mib } => format!("larger than {most_mib} MiB, so it is no model file"),
        Unreadable::NoText { line } => {
            format!("line {line} is not UTF-8 text\n  hint: save it as UTF-8, which every text editor offers")
        }
    };
    format!("{file}: cannot be read: {told}")
}

/// The name of a model that comes inside the program.
#[must_use]
pub fn built_in(name: &str) -> String {
    format!("{name} (built in)")
}

/// Findings that JSON cannot hold, and why.
#[must_use]
pub fn no_json(why: impl Display) -> String {
    format!("the findings could not be written as JSON: {why}")
}

/// A table that cannot be made, and why.
#[must_use]
pub fn no_table(why: impl Display) -> String {
    format!("the table could not be made: {why}")
}

/// The files of an answer by their names; before them, where a PNG leaves letters out, which.
#[must_use]
pub fn written(folder: impl Display, names: &[String], lacking: &BTreeSet<char>) -> String {
    let note = if lacking.is_empty() {
        String::new()
    } else {
        let some: Vec<String> = lacking.iter().take(NAMED_LETTERS).map(|c| format!("`{c}`")).collect();
        let more = if lacking.len() > some.len() { " and others" } else { "" };
        format!(
            "Note: the font of the pictures has no {}{more}: PNG leaves them blank, SVG shows them in the font of its \
             reader.\n",
            some.join(", ")
        )
    };
    format!("{note}Written to {folder}: {}\n", names.join(", "))
}

/// A single file.
#[must_use]
pub fn one_written(file: impl Display) -> String {
    format!("Written: {file}\n")
}

/// The title of a form that was not asked to be like any model in particular.
pub const UNTITLED: &str = "My connector";

/// A form with the numbers of a model, and what to do with it.
#[must_use]
pub fn form_written(file: impl Display, like: &str) -> String {
    format!("Wrote {file} with the numbers of {like}. Put your own in, then: pullmap sketch {file}\n")
}
