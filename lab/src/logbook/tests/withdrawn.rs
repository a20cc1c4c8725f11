//! Pulls that are withdrawn, logbooks of the version that had none, and pulls that cannot be read.

use super::*;
use crate::logbook::migrations::{NEWEST, bring_to, version};
use rusqlite::Connection;

fn numbers(pulls: &[Pull]) -> Vec<i64> {
    pulls.iter().map(|pull| pull.number).collect()
}

#[test]
fn a_withdrawn_pull_stays_on_record_and_counts_no_more() {
    let (_folder, _, mut logbook) = fresh();
    for sample in ["ring 1", "ring 2", "ring 3"] {
        logbook.add(&plan(sample), &pulled("21.3", "broke"), &[]).unwrap();
    }
    logbook.plan(&plan("ring 4"), Some(&forecast()), &[]).unwrap();
    assert!(matches!(logbook.withdraw(2, "  "), Err(LogbookError::Why(Problem::Empty))));
    assert!(matches!(logbook.withdraw(9, "why"), Err(LogbookError::NoPull { number: 9, last: 4 })));
    logbook.withdraw(2, " pulled by the wrong cell ").unwrap();
    logbook.withdraw(4, "never pulled").unwrap();
    assert!(matches!(logbook.withdraw(2, "again"), Err(LogbookError::Withdrawn(2))));
    let counts = Filter::default();
    let all = Filter { withdrawn: true, ..Filter::default() };
    assert_eq!(numbers(&logbook.pulls(&counts).unwrap()), [1, 3]);
    assert_eq!(numbers(&logbook.pulls(&all).unwrap()), [1, 2, 3, 4]);
    assert_eq!(logbook.planned_of("ring 4").unwrap(), [0; 0]);
    let pull = logbook.pull(2).unwrap();
    let (why, at) = pull.withdrawn.clone().unwrap();
    assert_eq!((why.as_str(), pull.peak_kn()), ("pulled by the wrong cell", Some(21.3)));
    assert!(at.seq > logbook.pull(4).unwrap().planned.seq);
    // Nothing is recorded of it any more.
    let peak = [(Field::Peak, Some("20".to_owned()))];
    assert!(matches!(logbook.amend(2, &peak, "read again", &[]), Err(LogbookError::Withdrawn(2))));
    assert!(matches!(logbook.finish(4, &pulled("20", "broke"), &[]), Err(LogbookError::Withdrawn(4))));
    // A spreadsheet marks it.
    let text = String::from_utf8(table(&logbook.pulls(&all).unwrap(), "careful").unwrap()).unwrap();
    assert_eq!(text.matches("pulled by the wrong cell").count(), 1, "{text}");
}

#[test]
fn a_logbook_of_an_earlier_version_is_brought_up_with_all_its_pulls() {
    for earlier in 1..NEWEST {
        brought_up_from(earlier);
    }
}

fn brought_up_from(earlier: i64) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("old.sqlite");
    let mut file = Connection::open(&path).unwrap();
    let transaction = file.transaction().unwrap();
    bring_to(&transaction, 0, earlier).unwrap();
    transaction
        .execute_batch(
            "INSERT INTO entries (recorded_at) VALUES ('2026-05-03T10:00:00Z');
             INSERT INTO pulls (seq, uid, sample) VALUES (1, printf('%032d', 1), 'ring 1')",
        )
        .unwrap();
    transaction.commit().unwrap();
    drop(file);
    let old = Logbook::read(&path).unwrap();
    assert_eq!(numbers(&old.pulls(&Filter::default()).unwrap()), [1]);
    assert_eq!((version(&old.file).unwrap(), old.pull(1).unwrap().withdrawn), (NEWEST, None));
    drop(old);
    let mut new = Logbook::write(&path).unwrap();
    new.withdraw(1, "never pulled").unwrap();
    assert_eq!(numbers(&new.pulls(&Filter::default()).unwrap()), [0; 0]);
    drop(new);
    // A guard of the version that it has must be there.
    Connection::open(&path).unwrap().execute_batch("DROP TRIGGER withdrawals_no_update").unwrap();
    assert!(matches!(
        Logbook::read(&path),
        Err(LogbookError::Altered { names, .. }) if names == ["withdrawals_no_update"]
    ));
}

#[test]
fn a_pull_that_cannot_be_read_is_named_and_the_others_are_given() {
    let (_folder, path, mut logbook) = fresh();
    for sample in ["ring 1", "ring 2", "ring 3", "ring 4"] {
        logbook.add(&plan(sample), &pulled("21.3", "broke"), &[]).unwrap();
    }
    // Kilonewtons that are not those of the load, and a field that is none; no guard keeps from that.
    let plain = Connection::open(&path).unwrap();
    plain
        .execute_batch(
            "INSERT INTO entries (recorded_at) VALUES ('2026-05-03T10:00:00Z');
             INSERT INTO pulls (seq, uid, sample) VALUES (9, printf('%032d', 1), 'ring 5');
             INSERT INTO entries (recorded_at) VALUES ('2026-05-03T10:00:00Z');
             INSERT INTO results (pull, seq, pulled_on, peak, peak_kn) VALUES (5, 10, '2026-05-03', '20', 25);
             DROP TRIGGER amendments_follow_the_first_text;
             INSERT INTO entries (recorded_at) VALUES ('2026-05-03T10:00:00Z');
             INSERT INTO amendments (seq, pull, field, old_value, new_value, why) VALUES (11, 2, 'colour', NULL, 'red', 'x')",
        )
        .unwrap();
    let all = Filter::default();
    let (pulls, unreadable) = logbook.readable(&all).unwrap();
    assert_eq!(numbers(&pulls), [1, 3, 4]);
    assert_eq!(unreadable.iter().map(|one| one.number).collect::<Vec<_>>(), [2, 5]);
    assert!(
        unreadable[0].words.contains("colour") && unreadable[1].words.contains("peak_kn"),
        "{unreadable:?}"
    );
    let (package, left_out) = logbook.package(&all, "careful").unwrap();
    assert_eq!((package.pulls.len(), left_out), (3, unreadable));
    // A lot that lacks one of its pulls would be another: whoever asks for all of them is refused.
    assert!(matches!(logbook.pulls(&all), Err(LogbookError::Damaged(_))));
    // One that is withdrawn is missed by nobody.
    logbook.withdraw(5, "cannot be read").unwrap();
    assert!(matches!(logbook.pulls(&all), Err(LogbookError::Damaged(words)) if words.contains("colour")));
    logbook.withdraw(2, "cannot be read").unwrap();
    assert_eq!(numbers(&logbook.pulls(&all).unwrap()), [1, 3, 4]);
    let (_, unreadable) = logbook.readable(&Filter { withdrawn: true, ..all }).unwrap();
    assert_eq!(unreadable.len(), 2);
}
