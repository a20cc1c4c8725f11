//! The file itself refuses what is not an addition, whoever asks.

use super::*;
use rusqlite::Connection;

const TABLES: [&str; 8] =
    ["contents", "imports", "entries", "pulls", "forecasts", "results", "amendments", "withdrawals"];

/// A logbook with a row in every table, opened as any program opens a file.
fn filled() -> (TempDir, Connection) {
    let (folder, path, mut logbook) = fresh();
    let number = logbook.plan(&plan("ring 1"), Some(&forecast()), &[b"text"]).unwrap();
    logbook.finish(number, &pulled("21.3", "broke"), &[]).unwrap();
    logbook.amend(number, &[(Field::Peak, Some("21.5".to_owned()))], "read again", &[]).unwrap();
    logbook.plan(&plan("ring 2"), None, &[]).unwrap();
    logbook.plan(&plan("ring 3"), None, &[]).unwrap();
    logbook.withdraw(3, "never pulled").unwrap();
    drop(logbook);
    let plain = Connection::open(path).unwrap();
    plain
        .execute("INSERT INTO imports (imported_at, file, hash) VALUES ('x', 'y', printf('%064d', 1))", [])
        .unwrap();
    (folder, plain)
}

fn refused(plain: &Connection, sql: &str, word: &str) {
    let error = plain.execute_batch(sql).unwrap_err().to_string();
    assert!(error.contains(word), "{sql}: {error}");
}

/// Where several guards stand, whichever comes first.
fn refused_by_a_guard(plain: &Connection, sql: &str) {
    let error = plain.execute_batch(sql).unwrap_err().to_string();
    let guards = ["append_only", "out_of_order", "forecast_after_result", "old_value"];
    assert!(guards.iter().any(|word| error.contains(word)), "{sql}: {error}");
}

#[test]
fn plain_sql_changes_and_deletes_nothing() {
    let (_folder, plain) = filled();
    for table in TABLES {
        let count = |plain: &Connection| -> i64 {
            plain.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0)).unwrap()
        };
        let before = count(&plain);
        assert!(before > 0, "{table}");
        refused(&plain, &format!("DELETE FROM {table}"), "append_only");
        let mut columns = plain.prepare(&format!("SELECT name FROM pragma_table_info('{table}')")).unwrap();
        let columns: Vec<String> =
            columns.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap();
        for column in columns {
            refused(&plain, &format!("UPDATE {table} SET {column} = {column}"), "append_only");
        }
        refused_by_a_guard(&plain, &format!("INSERT OR REPLACE INTO {table} SELECT * FROM {table} LIMIT 1"));
        refused_by_a_guard(&plain, &format!("REPLACE INTO {table} SELECT * FROM {table} LIMIT 1"));
        assert_eq!(count(&plain), before, "{table}");
    }
}

#[test]
fn what_replaces_by_another_unique_column_is_refused_as_well() {
    let (_folder, plain) = filled();
    refused(
        &plain,
        "INSERT INTO entries (recorded_at) VALUES ('x'); INSERT OR REPLACE INTO pulls (number, seq, uid, sample) \
         SELECT 9, (SELECT max(seq) FROM entries), uid, 'other' FROM pulls WHERE number = 1",
        "append_only",
    );
    refused_by_a_guard(
        &plain,
        "INSERT OR REPLACE INTO pulls (number, seq, uid, sample) SELECT 9, 1, printf('%032d', 1), 'x'",
    );
    // The newest entry, but the result is there already.
    refused(
        &plain,
        "INSERT INTO entries (recorded_at) VALUES ('x'); INSERT OR REPLACE INTO results (pull, seq, pulled_on, peak, peak_kn) \
         SELECT 1, max(seq), '2026-05-03', '25', 25 FROM entries",
        "append_only",
    );
}

#[test]
fn no_table_is_replaced_into_by_the_hidden_number_of_a_row() {
    let (_folder, plain) = filled();
    let all = |plain: &Connection, table: &str| -> Vec<String> {
        let mut rows = plain.prepare(&format!("SELECT * FROM {table}")).unwrap();
        let count = rows.column_count();
        let told = |row: &rusqlite::Row<'_>| {
            Ok((0..count).map(|i| format!("{:?}", row.get_ref(i).unwrap())).collect())
        };
        rows.query_map([], told).unwrap().map(Result::unwrap).collect()
    };
    for table in TABLES {
        let before = all(&plain, table);
        let mut columns = plain.prepare(&format!("SELECT name FROM pragma_table_info('{table}')")).unwrap();
        let names: Vec<String> =
            columns.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect();
        for hidden in ["rowid", "_rowid_", "oid"] {
            // The first row again under its hidden number, every text of it another.
            let others: Vec<String> = names
                .iter()
                .map(|n| {
                    if n == "hash" || n == "uid" {
                        format!("replace({n}, substr({n}, 1, 1), 'f')")
                    } else {
                        n.clone()
                    }
                })
                .collect();
            let sql = format!(
                "INSERT OR REPLACE INTO {table} ({hidden}, {}) SELECT {hidden}, {} FROM {table} LIMIT 1",
                names.join(", "),
                others.join(", ")
            );
            let error = plain.execute_batch(&sql).unwrap_err().to_string();
            assert!(
                [
                    "append_only",
                    "out_of_order",
                    "forecast_after_result",
                    "old_value",
                    "no such column",
                    "no column named"
                ]
                .iter()
                .any(|word| error.contains(word)),
                "{sql}: {error}"
            );
        }
        assert_eq!(all(&plain, table), before, "{table}");
    }
}

#[test]
fn a_forecast_is_neither_added_nor_replaced_once_there_is_a_result() {
    let (_folder, plain) = filled();
    let forecast = |pull: i64, seq: &str| {
        format!(
            "INSERT INTO entries (recorded_at) VALUES ('x'); INSERT OR REPLACE INTO forecasts (pull, seq, p5_kn, p50_kn, p95_kn, first, \
             program, inputs) VALUES ({pull}, {seq}, 1, 2, 3, 'spine', 'x', 'y')"
        )
    };
    let newest = "(SELECT max(seq) FROM entries)";
    refused_by_a_guard(&plain, &forecast(1, newest));
    refused(&plain, &forecast(2, "1"), "out_of_order");
    plain
        .execute_batch(
            "INSERT INTO entries (recorded_at) VALUES ('x'); INSERT INTO results (pull, seq, pulled_on, peak, peak_kn) \
             VALUES (2, (SELECT max(seq) FROM entries), '2026-05-03', '20', 20)",
        )
        .unwrap();
    refused(&plain, &forecast(2, newest), "forecast_after_result");
}

#[test]
fn nothing_is_slipped_in_between_earlier_entries() {
    let (_folder, plain) = filled();
    for sql in [
        "INSERT INTO entries (seq, recorded_at) VALUES (-5, 'x')",
        "INSERT INTO entries (seq, recorded_at) VALUES (0, 'x')",
        "INSERT INTO pulls (seq, uid, sample) VALUES (2, printf('%032d', 1), 'x')",
        "INSERT INTO entries (recorded_at) VALUES ('x'); INSERT INTO pulls (number, seq, uid, sample) \
         VALUES (-1, (SELECT max(seq) FROM entries), printf('%032d', 1), 'x')",
        "INSERT INTO results (pull, seq, pulled_on, peak, peak_kn) VALUES (2, 1, 'x', '20', 20)",
        // The last entry is that of a pull.
        "INSERT INTO pulls (seq, uid, sample) SELECT max(seq) + 1, printf('%032d', 1), 'x' FROM entries",
    ] {
        refused(&plain, sql, "out_of_order");
    }
    let newest = "INSERT INTO entries (recorded_at) VALUES ('x'); INSERT INTO amendments VALUES ((SELECT max(seq) FROM entries)";
    let kept = content::sha256(b"text");
    refused(&plain, &format!("{newest}, 1, 'model', NULL, '{kept} x', 'y')"), "locked_by_forecast");
    for field in Field::ALL.into_iter().filter(|field| field.is_forecast_from()) {
        refused(
            &plain,
            &format!("{newest}, 1, '{}', NULL, '{kept} x', 'y')", field.word()),
            "locked_by_forecast",
        );
    }
    refused(&plain, &format!("{newest}, 2, 'peak', NULL, '20', 'y')"), "no_result");
    // What an amendment says stood there stood there: as amended last, or as first recorded.
    for row in [
        "1, 'peak', '21.3 kN', '22', 'y'",
        "1, 'peak', NULL, '22', 'y'",
        "1, 'outcome', NULL, 'stopped', 'y'",
        "1, 'outcome', 'opened', 'stopped', 'y'",
        "2, 'sample', 'ring 1', 'ring 3', 'y'",
        "2, 'age_years', '3', '4', 'y'",
        "2, 'marked_closed_kn', NULL, '24', 'y'",
        "2, 'marked_closed_kn', '23', '24', 'y'",
        "2, 'nonsense', NULL, '24', 'y'",
    ] {
        refused(&plain, &format!("{newest}, {row})"), "old_value");
    }
    plain.execute_batch(&format!("{newest}, 2, 'marked_closed_kn', '22', '24', 'y')")).unwrap();
    refused(&plain, &format!("{newest}, 2, 'marked_closed_kn', '22', '25', 'y')"), "old_value");
    refused(&plain, &format!("{newest}, 2, 'model', NULL, '{} x', 'y')", "a".repeat(64)), "no_content");
}

#[test]
fn the_program_refuses_a_second_result() {
    let (_folder, _, mut logbook) = fresh();
    logbook.plan(&plan("ring 1"), Some(&forecast()), &[]).unwrap();
    logbook.finish(1, &pulled("20", "broke"), &[]).unwrap();
    assert!(matches!(logbook.finish(1, &pulled("25", "broke"), &[]), Err(LogbookError::HasResult(1))));
    assert!(matches!(
        logbook.finish(7, &pulled("25", "broke"), &[]),
        Err(LogbookError::NoPull { number: 7, last: 1 })
    ));
    let wrong = Forecast { p5_kn: 30.0, ..forecast() };
    assert!(matches!(logbook.plan(&plan("ring 2"), Some(&wrong), &[]), Err(LogbookError::NoForecast)));
    assert_eq!(logbook.pulls(&Filter::default()).unwrap().len(), 1);
}

#[test]
fn a_file_whose_guards_were_taken_away_is_refused() {
    let (_folder, path, logbook) = fresh();
    drop(logbook);
    Connection::open(&path).unwrap().execute_batch("DROP TRIGGER results_no_update").unwrap();
    for refused in [Logbook::read(&path).unwrap_err(), Logbook::write(&path).unwrap_err()] {
        assert!(
            matches!(&refused, LogbookError::Altered { names, .. } if names == &["results_no_update"]),
            "{refused}"
        );
    }
}

#[test]
fn writers_at_once_never_share_a_number() {
    let (_folder, path, logbook) = fresh();
    drop(logbook);
    let write = |thread: usize| {
        let mut logbook = Logbook::write(&path).unwrap();
        let add = |place: usize| {
            let plan = plan(&format!("ring {thread} {place}"));
            logbook.add(&plan, &pulled("20", "broke"), &[]).unwrap()
        };
        (0..25).map(add).collect::<Vec<i64>>()
    };
    let mut numbers: Vec<i64> = std::thread::scope(|scope| {
        let write = &write;
        let threads: Vec<_> = (0..4).map(|thread| scope.spawn(move || write(thread))).collect();
        threads.into_iter().flat_map(|thread| thread.join().unwrap()).collect()
    });
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=100).collect::<Vec<i64>>());
    Logbook::read(&path).unwrap().check().unwrap();
}
