//! The record of finished points, so that a stopped sweep goes on where it was and a finished one need not be computed
//! again.
//!
//! `sweep.part` has one line of JSON per finished point, in the order in which they were finished, under a first line that
//! says of which sweep, and each line ends in a check of what stands before it. It is locked while a sweep writes it. When the table is written it becomes `sweep.rows`, the same
//! lines in the order of the points. A stop in the middle of a line costs that line only.

use super::error::{Held, OtherSweep, RecordProblem, SweepError};
use super::line::RowLine;
use super::names::{ABOUT, PART, ROWS, TABLE};
use crate::output::{Existing, write_file};
use report::sweep::folder::Cannot;
use report::sweep::{ToldRow, title};
use same_file::Handle;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use study::sweep::Plan;

/// Names of its charts.
const CHARTS: [&str; 2] = ["sweep.png", "sweep.svg"];

/// First line of the record; also what is read of [`ABOUT`].
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Of {
    inputs: String,
    sweep: String,
}

impl Of {
    fn plan(plan: &Plan) -> Self {
        Self { inputs: plan.hash(), sweep: title(plan) }
    }

    /// What `found` is when it is not this sweep; what it is a sweep of may be the same all the same.
    fn another(&self, found: Self) -> OtherSweep {
        OtherSweep { same_words: found.sweep == self.sweep, sweep: found.sweep }
    }
}

/// An open record.
#[derive(Debug)]
pub struct Record {
    folder: PathBuf,
    path: PathBuf,
    file: File,
    of: Of,
    /// Whether `sweep.rows` holds every point already.
    whole: bool,
}

impl Record {
    /// Opens the record of a sweep in a folder that exists, and gives the rows that are finished, in order. With `restart`,
    /// whatever sweep the folder holds is begun anew.
    ///
    /// # Errors
    /// The folder holds another sweep, another process is writing this one, or the record cannot be read or written.
    pub fn open(folder: &Path, plan: &Plan, restart: bool) -> Result<(Self, Vec<ToldRow>), SweepError> {
        let path = folder.join(PART);
        let of = Of::plan(plan);
        let cannot = |what| cannot(&path, what);
        // Locked before anything is judged: of two that start in one folder the second must not judge what the first is
        // about to change.
        let mut file = locked(&path)?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).map_err(cannot(Cannot::Read))?;
        let (rows, good) = if restart {
            // A stop that comes soon must not bring back what was thrown away, nor leave pictures of it.
            for name in [ROWS, ABOUT, TABLE].into_iter().chain(CHARTS) {
                remove(&folder.join(name))?;
            }
            (BTreeMap::new(), 0)
        } else {
            match kept(folder, &of, &bytes, plan.len()) {
                Ok(kept) => kept,
                Err(refusal) => {
                    // A refusal leaves nothing, and an empty record is nothing to lose.
                    if bytes.is_empty() {
                        remove(&path)?;
                    }
                    return Err(refusal);
                }
            }
        };
        let whole = good == 0 && rows.len() == plan.len();
        let mut record = Self { folder: folder.to_owned(), path: path.clone(), file, of, whole };
        record.file.set_len(good as u64).map_err(cannot(Cannot::Write))?;
        record.file.seek(SeekFrom::End(0)).map_err(cannot(Cannot::Write))?;
        if good == 0 {
            let first = line(&record.of).map_err(cannot(Cannot::Write))?;
            record.file.write_all(&first).map_err(cannot(Cannot::Write))?;
        }
        Ok((record, rows.into_values().collect()))
    }

    /// Adds a finished point.
    ///
    /// # Errors
    /// The record cannot be written.
    pub fn add(&mut self, row: &ToldRow) -> Result<(), SweepError> {
        // One write for the whole line: a stop leaves lines, hardly ever a piece of one.
        let written = line(&RowLine::from(row)).and_then(|bytes| self.file.write_all(&bytes));
        written.map_err(cannot(&self.path, Cannot::Write))
    }

    /// Keeps all rows, in order, for the next time the same sweep is asked for.
    ///
    /// # Errors
    /// They cannot be written, or the record of the unfinished sweep cannot be removed.
    pub fn finish(self, rows: &[ToldRow]) -> Result<(), SweepError> {
        if !self.whole {
            let path = self.folder.join(ROWS);
            let wrong = |problem| SweepError::Record { path: path.clone(), problem };
            let json = |error| wrong(RecordProblem::Json(error));
            let mut bytes = line(&self.of).map_err(json)?;
            for row in rows {
                bytes.extend(line(&RowLine::from(row)).map_err(json)?);
            }
            write_file(&path, &bytes, Existing::Replace).map_err(|e| wrong(e.into()))?;
        }
        remove(&self.path)
    }
}

/// The error of a record with which the system does not let something be done.
fn cannot(path: &Path, what: Cannot) -> impl Fn(io::Error) -> SweepError {
    move |error| SweepError::Record { path: path.to_owned(), problem: RecordProblem::Cannot(what, error) }
}

/// Opens the record, made where needed, and locks it.
fn locked(path: &Path) -> Result<File, SweepError> {
    let busy = || SweepError::Busy { path: path.to_owned() };
    for _ in 0..TRIES {
        let file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(path)
            .map_err(cannot(path, Cannot::Open))?;
        file.try_lock().map_err(|error| match error {
            TryLockError::WouldBlock => busy(),
            TryLockError::Error(e) => cannot(path, Cannot::Lock)(e),
        })?;
        // Whoever held it before may have removed it between the two steps above: the lock is then on a file without a
        // name, and another may be on one that has it.
        let locked = Handle::from_file(file.try_clone().map_err(cannot(path, Cannot::Open))?)
            .map_err(cannot(path, Cannot::Open))?;
        match Handle::from_path(path) {
            Ok(named) if named == locked => return Ok(file),
            Ok(_) => {}
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {}
            Err(e) => return Err(cannot(path, Cannot::Open)(e)),
        }
    }
    Err(busy())
}

/// Times that a record is opened again which others keep removing.
const TRIES: usize = 10;

/// The rows that the folder holds of this sweep, and the length of what can be read of its record, bytes.
fn kept(
    folder: &Path,
    of: &Of,
    bytes: &[u8],
    points: usize,
) -> Result<(BTreeMap<usize, ToldRow>, usize), SweepError> {
    let another = |what: Held| SweepError::AnotherSweep { folder: folder.to_owned(), what };
    let (more, good) = match lines(bytes, of, points) {
        Lines::Ours { rows, good } => (rows, good),
        Lines::None => (BTreeMap::new(), 0),
        Lines::Another(found) => return Err(another(Held::Unfinished(of.another(found)))),
        Lines::Foreign => return Err(another(Held::Foreign { name: PART })),
    };
    // A record of this very sweep says that whatever else is here is its own, or was given up with --restart.
    if good == 0 {
        refuse_finished(folder, of)?;
    }
    let mut rows = BTreeMap::new();
    if let Ok(finished) = fs::read(folder.join(ROWS))
        && let Lines::Ours { rows: finished, .. } = lines(&finished, of, points)
    {
        rows.extend(finished);
    }
    rows.extend(more);
    Ok((rows, good))
}

/// A line of the record, its check and a line feed after it.
fn line(of: &impl Serialize) -> io::Result<Vec<u8>> {
    Ok(checked(&serde_json::to_string(of)?).into_bytes())
}

/// A text with its check and a line feed, as the record has its lines: a tab, and the first eight digits of the text's SHA-256.
#[must_use]
pub fn checked(text: &str) -> String {
    format!("{text}\t{}\n", check(text.as_bytes()))
}

fn check(text: &[u8]) -> String {
    Sha256::digest(text).iter().take(4).map(|byte| format!("{byte:02x}")).collect()
}

/// What stands before the check of a line, where the two agree.
fn unchecked(line: &[u8]) -> Option<&[u8]> {
    let tab = line.iter().rposition(|byte| *byte == b'\t')?;
    let (text, told) = (&line[..tab], &line[tab + 1..]);
    (told == check(text).as_bytes()).then_some(text)
}

/// Removes a file that may not be there.
fn remove(path: &Path) -> Result<(), SweepError> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(cannot(path, Cannot::Remove)(error)),
        _ => Ok(()),
    }
}

/// What the lines of a record are.
enum Lines {
    /// Nothing, or a first line that was being written: there is nothing to lose.
    None,
    /// Rows of this sweep.
    Ours {
        /// By point.
        rows: BTreeMap<usize, ToldRow>,
        /// Length of what can be read, bytes.
        good: usize,
    },
    /// The record of another sweep.
    Another(Of),
    /// No record.
    Foreign,
}

fn lines(bytes: &[u8], of: &Of, points: usize) -> Lines {
    let mut lines = whole_lines(bytes);
    let Some(first) = lines.next() else { return Lines::None };
    // A record of an earlier version has no checks: it says of which sweep it is all the same.
    let has_check = first.contains(&b'\t');
    let Some(head) = (if has_check { unchecked(first) } else { Some(first) }) else { return Lines::Foreign };
    match serde_json::from_slice::<Of>(head) {
        Ok(found) if found.inputs == of.inputs => {}
        Ok(found) => return Lines::Another(found),
        Err(_) => return Lines::Foreign,
    }
    let (mut rows, mut good) = (BTreeMap::new(), first.len() + 1);
    for line in lines {
        // What follows a damaged line was written after it; it is computed again.
        let row =
            unchecked(line).and_then(|text| serde_json::from_slice::<RowLine>(text).ok()).map(ToldRow::from);
        match row {
            Some(row) if row.point < points => {
                good += line.len() + 1;
                rows.insert(row.point, row);
            }
            _ => break,
        }
    }
    Lines::Ours { rows, good }
}

/// Lines that end in a line feed, without it.
fn whole_lines(bytes: &[u8]) -> impl Iterator<Item = &[u8]> {
    bytes.split_inclusive(|b| *b == b'\n').filter_map(|line| line.strip_suffix(b"\n"))
}

/// Whether the record at a path is of this sweep.
fn begins_with(path: &Path, of: &Of) -> bool {
    let mut line = String::new();
    let read = File::open(path).and_then(|file| BufReader::new(file).read_line(&mut line));
    let head = line.split('\t').next().unwrap_or_default();
    read.is_ok() && serde_json::from_str::<Of>(head).is_ok_and(|found| found.inputs == of.inputs)
}

/// A finished sweep of other inputs is not written over: it may be the answer of yesterday.
fn refuse_finished(folder: &Path, of: &Of) -> Result<(), SweepError> {
    let refuse = |what: Held| Err(SweepError::AnotherSweep { folder: folder.to_owned(), what });
    let Ok(bytes) = fs::read(folder.join(ABOUT)) else {
        let left = [TABLE, ROWS].into_iter().find(|name| folder.join(name).exists());
        return match left {
            Some(name) if !begins_with(&folder.join(ROWS), of) => refuse(Held::WithoutAbout { name }),
            _ => Ok(()),
        };
    };
    match serde_json::from_slice::<Of>(&bytes) {
        Ok(found) if found.inputs == of.inputs => Ok(()),
        Ok(found) => refuse(Held::Finished(of.another(found))),
        Err(_) => refuse(Held::Foreign { name: ABOUT }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source;
    use solver::system::SystemSettings;
    use study::sweep::read;

    fn plan(values: &str) -> Plan {
        Plan::try_new(
            source::find("oval").unwrap(),
            Vec::new(),
            read(&[("rig.load_kn".to_owned(), values.to_owned())], &[]).unwrap(),
            SystemSettings::default(),
        )
        .unwrap()
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut all: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        all.sort();
        all
    }

    #[test]
    fn of_two_that_start_in_one_folder_the_second_is_told_of_the_first() {
        let folder = tempfile::tempdir().unwrap();
        let finished = serde_json::to_string(&Of::plan(&plan("1,2"))).unwrap();
        fs::write(folder.path().join(ABOUT), finished).unwrap();
        let (first, _) = Record::open(folder.path(), &plan("3,4"), true).unwrap();
        for restart in [false, true] {
            let told = Record::open(folder.path(), &plan("5,6"), restart).unwrap_err();
            assert!(matches!(told, SweepError::Busy { .. }), "{told:?}");
        }
        first.finish(&[]).unwrap();
        assert_eq!(names(folder.path()), [ROWS]);
    }

    /// What the folder holds that refuses a plan.
    fn held(folder: &Path, plan: &Plan) -> Held {
        match Record::open(folder, plan, false) {
            Err(SweepError::AnotherSweep { what, .. }) => what,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn each_thing_that_is_not_this_sweep_is_refused_as_what_it_is() {
        let asked = plan("3,4");
        let of = |inputs: &str, sweep: String| {
            serde_json::to_string(&Of { inputs: inputs.to_owned(), sweep }).unwrap()
        };
        let one = Of::plan(&plan("1,2"));
        let other = |same_words: bool| OtherSweep {
            sweep: if same_words { title(&asked) } else { one.sweep.clone() },
            same_words,
        };
        let same = of("0123456789ab", title(&asked));
        for (name, text, what) in [
            (PART, checked(&of(&one.inputs, one.sweep.clone())), Held::Unfinished(other(false))),
            (PART, checked(&same), Held::Unfinished(other(true))),
            (PART, "a shopping list\n".to_owned(), Held::Foreign { name: PART }),
            (ABOUT, same, Held::Finished(other(true))),
            (ABOUT, "{}".to_owned(), Held::Foreign { name: ABOUT }),
            (TABLE, String::new(), Held::WithoutAbout { name: TABLE }),
            (ROWS, String::new(), Held::WithoutAbout { name: ROWS }),
        ] {
            let folder = tempfile::tempdir().unwrap();
            fs::write(folder.path().join(name), &text).unwrap();
            assert_eq!(held(folder.path(), &asked), what, "{name}: {text}");
            assert_eq!(names(folder.path()), [name], "a refusal leaves nothing");
        }
    }

    #[test]
    fn begun_again_nothing_of_the_old_sweep_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let finished = serde_json::to_string(&Of::plan(&plan("1,2"))).unwrap();
        fs::write(folder.path().join(ABOUT), finished).unwrap();
        for name in [TABLE, ROWS, "sweep.png", "sweep.svg", "notes.txt"] {
            fs::write(folder.path().join(name), "old").unwrap();
        }
        let before = names(folder.path());
        assert_eq!(
            held(folder.path(), &plan("3,4")),
            Held::Finished(OtherSweep { sweep: title(&plan("1,2")), same_words: false })
        );
        assert_eq!(names(folder.path()), before, "a refusal changes nothing");
        Record::open(folder.path(), &plan("3,4"), true).unwrap();
        assert_eq!(names(folder.path()), ["notes.txt", PART]);
    }

    #[test]
    fn a_record_that_was_removed_while_it_was_waited_for_is_made_again() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(PART);
        let first = locked(&path).unwrap();
        fs::remove_file(&path).unwrap();
        // The name stands for another file than the one that is locked.
        let second = locked(&path).unwrap();
        assert!(path.exists());
        assert!(matches!(locked(&path), Err(SweepError::Busy { path: busy }) if busy == path));
        drop((first, second));
        assert!(locked(&path).is_ok());
    }
}
