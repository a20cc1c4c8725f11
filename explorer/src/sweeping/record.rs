//! The record of finished points, so that a stopped sweep goes on where it was.
//!
//! `sweep.part` has one line of JSON per finished point, in the order in which they were finished, under a first line that
//! says of which sweep. It is locked while a sweep writes it, and goes when the table is written. A stop in the middle of
//! a line costs that line only.

use super::mistake::SweepError;
use super::plan::Plan;
use super::run::Row;
use serde::{Deserialize, Serialize};
use std::fs::{self, File, OpenOptions};
use std::io::{BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// Name of the record in its folder.
pub const PART: &str = "sweep.part";
/// Name of the description of a finished sweep.
pub const ABOUT: &str = "sweep.json";
/// Name of the table of a finished sweep.
pub const TABLE: &str = "sweep.csv";

/// First line of the record; also what is read of [`ABOUT`].
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Of {
    inputs: String,
    sweep: String,
}

/// An open record.
#[derive(Debug)]
pub struct Record {
    path: PathBuf,
    file: File,
}

impl Record {
    /// Opens the record of a sweep in a folder that exists, and gives the rows that are finished. With `afresh`, whatever
    /// sweep the folder holds is begun anew.
    ///
    /// # Errors
    /// The folder holds another sweep, another process is writing this one, or the record cannot be read or written.
    pub fn open(folder: &Path, plan: &Plan, afresh: bool) -> Result<(Self, Vec<Row>), SweepError> {
        let path = folder.join(PART);
        let of = Of { inputs: plan.hash(), sweep: plan.in_words() };
        let wrong = |problem: String| SweepError::Record { path: path.clone(), problem };
        // A record of this very sweep says that whatever else is here is its own, or was given up with --afresh.
        if !afresh && !begins_with(&path, &of) {
            refuse_finished(folder, &of)?;
        }
        let mut file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(&path)
            .map_err(|e| wrong(format!("cannot be opened: {e}")))?;
        file.try_lock().map_err(|_| wrong("another pullmap is writing this sweep".to_owned()))?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).map_err(|e| wrong(format!("cannot be read: {e}")))?;
        let (mut rows, mut good) = (Vec::new(), 0);
        if !afresh && !bytes.is_empty() {
            let mut lines = whole_lines(&bytes);
            let first = lines.next();
            match first.map(|l| (l, serde_json::from_slice::<Of>(l))) {
                Some((line, Ok(found))) if found.inputs == of.inputs => good = line.len() + 1,
                Some((_, Ok(found))) => {
                    return Err(SweepError::AnotherSweep {
                        folder: folder.to_owned(),
                        what: format!("the unfinished sweep of {}", found.sweep),
                    });
                }
                Some((_, Err(_))) => {
                    return Err(SweepError::AnotherSweep {
                        folder: folder.to_owned(),
                        what: format!("a {PART} that is not a record of this program"),
                    });
                }
                // Stopped while the first line was written: there is nothing to lose.
                None => {}
            }
            for line in lines {
                // What follows a damaged line was written after it; it is computed again.
                let Ok(row) = serde_json::from_slice::<Row>(line) else { break };
                if row.point >= plan.len() {
                    break;
                }
                good += line.len() + 1;
                rows.push(row);
            }
        }
        let mut record = Self { path: path.clone(), file };
        let keep = |e: std::io::Error| wrong(format!("cannot be written: {e}"));
        record.file.set_len(good as u64).map_err(keep)?;
        record.file.seek(SeekFrom::End(0)).map_err(keep)?;
        if good == 0 {
            record.line(&of)?;
        }
        Ok((record, rows))
    }

    /// Adds a finished point.
    ///
    /// # Errors
    /// The record cannot be written.
    pub fn add(&mut self, row: &Row) -> Result<(), SweepError> {
        self.line(row)
    }

    fn line(&mut self, of: &impl Serialize) -> Result<(), SweepError> {
        let wrong = |problem: String| SweepError::Record { path: self.path.clone(), problem };
        let mut text = serde_json::to_string(of).map_err(|e| wrong(e.to_string()))?;
        text.push('\n');
        // One write for the whole line: a stop leaves lines, hardly ever a piece of one.
        self.file.write_all(text.as_bytes()).map_err(|e| wrong(format!("cannot be written: {e}")))
    }

    /// Takes the record away: everything in it is in the table now.
    ///
    /// # Errors
    /// It cannot be removed.
    pub fn remove(self) -> Result<(), SweepError> {
        fs::remove_file(&self.path).map_err(|e| SweepError::Record {
            path: self.path.clone(),
            problem: format!("cannot be removed: {e}"),
        })
    }
}

/// Lines that end in a line feed, without it.
fn whole_lines(bytes: &[u8]) -> impl Iterator<Item = &[u8]> {
    bytes.split_inclusive(|b| *b == b'\n').filter_map(|line| line.strip_suffix(b"\n"))
}

/// Whether the record at a path is of this sweep.
fn begins_with(path: &Path, of: &Of) -> bool {
    let mut line = String::new();
    let read = File::open(path).and_then(|file| BufReader::new(file).read_line(&mut line));
    read.is_ok() && serde_json::from_str::<Of>(&line).is_ok_and(|found| found.inputs == of.inputs)
}

/// A finished sweep of other inputs is not written over: it may be the answer of yesterday.
fn refuse_finished(folder: &Path, of: &Of) -> Result<(), SweepError> {
    let refuse = |what: String| Err(SweepError::AnotherSweep { folder: folder.to_owned(), what });
    let Ok(bytes) = fs::read(folder.join(ABOUT)) else {
        return match folder.join(TABLE).exists() {
            true => refuse(format!("a {TABLE} without its {ABOUT}")),
            false => Ok(()),
        };
    };
    match serde_json::from_slice::<Of>(&bytes) {
        Ok(found) if found.inputs == of.inputs => Ok(()),
        Ok(found) => refuse(format!("the finished sweep of {}", found.sweep)),
        Err(_) => refuse(format!("a {ABOUT} that is not of this program")),
    }
}
