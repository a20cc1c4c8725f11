//! Files that are no logbook, or none that is known.

use super::*;
use rusqlite::Connection;
use std::fs;

#[test]
fn none_is_made_by_reading() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bench.sqlite");
    assert!(matches!(Logbook::read(&path), Err(LogbookError::NotThere(_))));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    for open in [Logbook::read, Logbook::write] {
        assert!(matches!(open(folder.path()), Err(LogbookError::NotAFile(_))));
    }
    assert!(Logbook::write(&folder.path().join("no/such/folder.sqlite")).is_err());
}

#[test]
fn a_file_of_somebody_else_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("other.sqlite");
    Connection::open(&path)
        .unwrap()
        .execute_batch("CREATE TABLE notes (text TEXT); INSERT INTO notes VALUES ('x')")
        .unwrap();
    let text = folder.path().join("notes.txt");
    fs::write(&text, "no database, but long enough to look like one to somebody ".repeat(40)).unwrap();
    for path in [&path, &text] {
        let before = fs::read(path).unwrap();
        for open in [Logbook::read, Logbook::write] {
            assert!(matches!(open(path), Err(LogbookError::NotALogbook(_))), "{path:?}");
        }
        assert_eq!(fs::read(path).unwrap(), before);
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
}

#[test]
fn a_newer_version_is_refused_with_both_versions() {
    let (_folder, path, logbook) = fresh();
    drop(logbook);
    Connection::open(&path).unwrap().execute_batch("PRAGMA user_version = 7").unwrap();
    for open in [Logbook::read, Logbook::write] {
        assert!(matches!(open(&path), Err(LogbookError::Newer { found: 7, known: 3, .. })));
    }
}

#[test]
fn damage_is_told_and_is_never_a_panic() {
    let (_folder, path, mut logbook) = fresh();
    let record = whole();
    for place in 0..60 {
        let plan = Plan { sample: format!("ring {place}"), ..record.plan.clone() };
        logbook.add(&plan, record.pulled.as_ref().unwrap(), &[b"one"]).unwrap();
    }
    drop(logbook);
    let whole = fs::read(&path).unwrap();
    let read = |bytes: &[u8]| {
        fs::write(&path, bytes).unwrap();
        let logbook = Logbook::read(&path)?;
        logbook.pulls(&Filter::default())?;
        logbook.check()
    };
    read(&whole).unwrap();
    let mut told = 0;
    for place in (0..whole.len()).step_by(2048) {
        let mut damaged = whole.clone();
        let end = (place + 900).min(damaged.len());
        damaged[place..end].fill(0xa5);
        told += usize::from(read(&damaged).is_err());
    }
    // Some damage lies in pages that nothing stands in.
    assert!(told * 10 > whole.len() / 2048 * 7, "{told} of {}", whole.len() / 2048);
    assert!(read(&whole[..whole.len() / 2]).is_err());
    assert!(matches!(read(b""), Err(LogbookError::NothingInIt(_))));
}

#[test]
fn a_disk_that_fills_up_loses_nothing_that_was_recorded() {
    let (_folder, path, mut logbook) = fresh();
    logbook.add(&plan("ring 1"), &pulled("20", "broke"), &[]).unwrap();
    let pages: i64 = logbook.file.query_row("PRAGMA page_count", [], |row| row.get(0)).unwrap();
    logbook.file.execute_batch(&format!("PRAGMA max_page_count = {}", pages + 1)).unwrap();
    let large = vec![7; 100_000];
    let full = logbook.add(&plan("ring 2"), &pulled("20", "broke"), &[&large]).unwrap_err();
    assert!(matches!(full, LogbookError::Full), "{full}");
    drop(logbook);
    let logbook = Logbook::read(&path).unwrap();
    assert_eq!(logbook.pulls(&Filter::default()).unwrap().len(), 1);
    logbook.check().unwrap();
}

#[test]
fn a_step_to_a_version_is_done_whole_or_not_at_all() {
    use super::migrations::{bring_up, version};
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bench.sqlite");
    let mut file = Connection::open(&path).unwrap();
    let transaction = file.transaction().unwrap();
    bring_up(&transaction, 0).unwrap();
    // The program ends here.
    drop(transaction);
    assert_eq!((version(&file).unwrap(), super::migrations::made(&file).unwrap().len()), (0, 0));
    drop(file);
    Logbook::write(&path).unwrap().plan(&plan("ring 1"), None, &[]).unwrap();
}
