//! What a logbook must keep, and what it must refuse.

mod files;
mod guards;
mod packages;
mod withdrawn;

use super::field::{GATES, Shape};
use super::record::untold;
use super::*;
use std::path::PathBuf;
use tempfile::TempDir;

/// A folder and a logbook to be made in it.
pub fn fresh() -> (TempDir, PathBuf, Logbook) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bench.sqlite");
    let logbook = Logbook::write(&path).unwrap();
    (folder, path, logbook)
}

pub fn plan(sample: &str) -> Plan {
    Plan { sample: sample.to_owned(), marked_closed_kn: Some(22.0), ..Plan::default() }
}

pub fn pulled(peak: &str, outcome: &str) -> Pulled {
    Pulled {
        pulled_on: "2026-05-03".to_owned(),
        peak: peak::Peak::read(peak).unwrap(),
        outcome: Some(outcome.to_owned()),
        ..untold()
    }
}

pub fn forecast() -> Forecast {
    Forecast {
        p5_kn: 19.5,
        p50_kn: 21.75,
        p95_kn: 24.0,
        first: "hinge pin, sheared".to_owned(),
        program: "0.1.0".to_owned(),
        calibration: None,
        inputs: "0123456789ab".to_owned(),
    }
}

/// Two values of a field, both written as they are kept.
pub fn two_values(field: Field) -> [String; 2] {
    let both = |one: &str, other: &str| [one.to_owned(), other.to_owned()];
    match field.shape() {
        Shape::Text { .. } => both("one \u{e9}", "another, \"quoted\""),
        Shape::Number(range) => [(0.25 * range[1]).to_string(), (0.1 + 0.2 * range[1]).to_string()],
        Shape::Count(_) => both("3", "0"),
        Shape::Word(words) => both(words[0], words[words.len() - 1]),
        Shape::Pairs => both("bar=11.8 mm", "bar=11.9 mm\nnose.tip_mm=14"),
        Shape::File => {
            [content::sha256(b"one"), content::sha256(b"two")].map(|hash| format!("{hash} a file.csv"))
        }
        Shape::Date => both("2026-05-03", "2026-05-04T10:00:00Z"),
        Shape::Peak => both("5400 lbf", "21.3"),
    }
}

/// A pull of which every field is told.
pub fn whole() -> Record {
    let mut record = Record { pulled: Some(untold()), ..Record::default() };
    let values = Field::ALL.map(|field| (field, Some(two_values(field)[0].clone())));
    record::fill(&mut record, values).unwrap();
    record
}

#[test]
fn what_is_recorded_is_read_again_by_whoever_opens_the_file() {
    let (_folder, path, mut logbook) = fresh();
    let record = whole();
    let number = logbook.add(&record.plan, record.pulled.as_ref().unwrap(), &[b"one"]).unwrap();
    let planned = logbook.plan(&plan("ring 2"), Some(&forecast()), &[]).unwrap();
    assert_eq!((number, planned), (1, 2));
    drop(logbook);
    let logbook = Logbook::read(&path).unwrap();
    let pull = logbook.pull(1).unwrap();
    assert_eq!((&pull.now, &pull.first, pull.amendments.len()), (&record, &record, 0));
    assert_eq!((pull.peak_kn(), pull.broke()), (Some(peak::Peak::read("5400 lbf").unwrap().kn), Some(true)));
    assert!(pull.forecast.is_none() && pull.done.is_some());
    assert_eq!(logbook.content(&content::sha256(b"one")).unwrap(), b"one");
    let pull = logbook.pull(2).unwrap();
    let (told, at) = pull.forecast.clone().unwrap();
    assert_eq!((told, pull.done.clone(), pull.peak_kn()), (forecast(), None, None));
    assert!(at.seq > pull.planned.seq && at.at.len() == 20);
    assert!(matches!(logbook.pull(3), Err(LogbookError::NoPull { number: 3, last: 2 })));
    logbook.check().unwrap();
}

#[test]
fn every_field_is_amended_and_what_stood_there_stays() {
    let (_folder, _, mut logbook) = fresh();
    let record = whole();
    logbook.add(&record.plan, record.pulled.as_ref().unwrap(), &[b"one"]).unwrap();
    let mut expected = record.clone();
    for (place, field) in Field::ALL.into_iter().enumerate() {
        let [old, new] = two_values(field);
        logbook.amend(1, &[(field, Some(new.clone()))], "read again", &[b"two"]).unwrap();
        expected.set(field, Some(&new)).unwrap();
        let pull = logbook.pull(1).unwrap();
        assert_eq!((&pull.now, &pull.first), (&expected, &record), "{field:?}");
        let (amendment, _) = pull.amendments.last().unwrap();
        assert_eq!(amendment.field, field);
        assert_eq!((&amendment.old, &amendment.new), (&Some(old), &Some(new)));
        assert_eq!((amendment.why.as_str(), pull.amendments.len()), ("read again", place + 1));
        assert!(pull.is_amended(field));
    }
    // What need not be told may be taken back, what must be told may not.
    for field in Field::ALL {
        match logbook.amend(1, &[(field, None)], "it was never told", &[]) {
            Ok(()) => assert_eq!(logbook.pull(1).unwrap().now.get(field), None, "{field:?}"),
            Err(LogbookError::Values(mistakes)) => {
                assert!(field.is_needed() && mistakes[0].problem == Problem::Needed, "{field:?}");
            }
            Err(other) => panic!("{field:?}: {other}"),
        }
    }
    assert!(
        Field::ALL.into_iter().all(|field| logbook.pull(1).unwrap().first.get(field) == record.get(field))
    );
}

#[test]
fn an_amendment_that_is_none_is_refused_whole() {
    let (_folder, _, mut logbook) = fresh();
    logbook.plan(&plan("ring 1"), Some(&forecast()), &[]).unwrap();
    let to = |field, text: &str| (field, Some(text.to_owned()));
    let refused =
        |logbook: &mut Logbook, changes: &[_], why: &str| logbook.amend(1, changes, why, &[]).unwrap_err();
    let early = refused(&mut logbook, &[to(Field::Peak, "20"), to(Field::Rig, "x")], "why");
    assert!(matches!(early, LogbookError::NoResult { fields, .. } if fields == [Field::Peak]));
    let locked = refused(&mut logbook, &[to(Field::Sets, "a=1")], "why");
    assert!(matches!(locked, LogbookError::LockedByForecast { fields, .. } if fields == [Field::Sets]));
    // All that the forecast was made for is locked, not its model alone.
    for (field, text) in
        [(Field::Gate, "open"), (Field::Upper, "bar"), (Field::LowerSizeMm, "9"), (Field::UpperOffsetMm, "3")]
    {
        let locked = refused(&mut logbook, &[to(field, text)], "why");
        assert!(matches!(locked, LogbookError::LockedByForecast { fields, .. } if fields == [field]));
    }
    let twice =
        refused(&mut logbook, &[to(Field::Rig, "x"), to(Field::Kind, "y"), (Field::Rig, None)], "why");
    assert!(matches!(twice, LogbookError::Twice(fields) if fields == [Field::Rig]));
    let same = refused(&mut logbook, &[to(Field::Rig, "x"), to(Field::Sample, " ring 1 ")], "why");
    assert!(matches!(same, LogbookError::Unchanged { fields, .. } if fields == [Field::Sample]));
    let all = refused(
        &mut logbook,
        &[to(Field::AgeYears, "-1"), to(Field::MarkedOpenKn, "ajar"), to(Field::Rig, "x")],
        "why",
    );
    let LogbookError::Values(mistakes) = all else { panic!("{all}") };
    assert_eq!(mistakes.iter().map(|m| m.field).collect::<Vec<_>>(), [Field::AgeYears, Field::MarkedOpenKn]);
    for (why, problem) in [("  ", Problem::Empty), ("a\u{1b}b", Problem::Control)] {
        let none = refused(&mut logbook, &[to(Field::Rig, "x")], why);
        assert!(matches!(none, LogbookError::Why(found) if found == problem));
    }
    assert!(logbook.pull(1).unwrap().amendments.is_empty());
}

#[test]
fn every_value_is_bounded() {
    let mut record = whole();
    let long = "x".repeat(5000);
    for (field, text, problem) in [
        (Field::Sample, " ", Problem::Empty),
        (Field::Sample, long.as_str(), Problem::TooLong { most: 80 }),
        (Field::Remark, long.as_str(), Problem::TooLong { most: 4000 }),
        (Field::Kind, "a\nb", Problem::Control),
        (Field::Kind, "a\u{202e}b", Problem::Control),
        (Field::AgeYears, "nan", Problem::NoNumber),
        (Field::AgeYears, "inf", Problem::NoNumber),
        (Field::AgeYears, "1e3", Problem::NoNumber),
        (Field::AgeYears, "101", Problem::Outside([0.0, 100.0])),
        (Field::UpperOffsetMm, "-200.5", Problem::Outside([-200.0, 200.0])),
        (Field::EarlierPulls, "-1", Problem::NoCount(1_000_000)),
        (Field::EarlierPulls, "1.5", Problem::NoCount(1_000_000)),
        (Field::Gate, "shut", Problem::NoWord(&GATES)),
        (Field::Measured, "bar", Problem::NoPair),
        (Field::Measured, "=3", Problem::NoPair),
        (Field::Model, "- oval", Problem::NoFile),
        (Field::Trace, "0123 t.csv", Problem::NoFile),
        (Field::PulledOn, "yesterday", Problem::NoDate),
        (Field::Peak, "5,400 lbf", Problem::NoPeak(peak::NoPeak::Comma)),
    ] {
        assert_eq!(record.set(field, Some(text)), Err(problem), "{field:?} {text}");
    }
    let many = vec!["a=1"; field::MOST_PAIRS + 1].join("\n");
    assert_eq!(record.set(Field::Sets, Some(&many)), Err(Problem::TooManyPairs));
    assert_eq!(record, whole());
    record.set(Field::Remark, Some("two\nlines")).unwrap();
    record.set(Field::Outcome, Some("Strap-Broke")).unwrap();
    assert_eq!(record.get(Field::Outcome).as_deref(), Some("strap broke"));
    assert_eq!(record.mistakes(&|_| true), []);
    // What was put together by hand is held to the same.
    let mut wrong = whole();
    wrong.plan.age_years = Some(f64::NAN);
    wrong.pulled.as_mut().unwrap().peak.kn = 24.0;
    assert_eq!(
        wrong.mistakes(&|_| false).iter().map(|m| m.field).collect::<Vec<_>>(),
        [Field::AgeYears, Field::Place]
    );
    wrong.plan.age_years = None;
    let problems: Vec<_> = wrong.mistakes(&|_| true).into_iter().map(|m| (m.field, m.problem)).collect();
    assert_eq!(problems, [(Field::Peak, Problem::OtherKn)]);
}

#[test]
fn a_filter_goes_by_what_is_true_now() {
    let (_folder, _, mut logbook) = fresh();
    let model = NamedFile { name: "oval".to_owned(), sha256: Some(content::sha256(b"one")) };
    let first = Plan {
        gate: Some("closed".to_owned()),
        rig: Some("Trapeze bar".to_owned()),
        model: Some(model),
        ..plan("ring 1")
    };
    logbook.add(&first, &pulled("21", "broke"), &[b"one"]).unwrap();
    let second = Pulled { pulled_on: "2026-06-01T08:00:00Z".to_owned(), ..pulled("18", "stopped") };
    logbook.add(&Plan { upper: Some("strap".to_owned()), ..plan("ring 2") }, &second, &[]).unwrap();
    logbook.plan(&plan("ring 3"), None, &[]).unwrap();
    let numbers = |logbook: &Logbook, filter: &Filter| -> Vec<i64> {
        logbook.pulls(filter).unwrap().iter().map(|pull| pull.number).collect()
    };
    let none = Filter::default;
    let text = |text: &str| Some(text.to_owned());
    for (filter, expected) in [
        (none(), vec![1, 2, 3]),
        (Filter { sample: text("RING 2"), ..none() }, vec![2]),
        (Filter { marking_kn: Some(22.04), ..none() }, vec![1, 2, 3]),
        (Filter { marking_kn: Some(22.1), ..none() }, vec![]),
        (Filter { gate: text("closed"), ..none() }, vec![1]),
        (Filter { outcome: text("stopped"), ..none() }, vec![2]),
        (Filter { since: text("2026-05-04"), ..none() }, vec![2]),
        (Filter { until: text("2026-06-01"), ..none() }, vec![1, 2]),
        (Filter { until: text("2026-05-31"), ..none() }, vec![1]),
        (Filter { rig: text("trapeze"), ..none() }, vec![1]),
        (Filter { rig: text("STRAP"), ..none() }, vec![2]),
        (Filter { model: text("oval"), ..none() }, vec![1]),
        (Filter { model: Some(content::sha256(b"one")[..8].to_owned()), ..none() }, vec![1]),
        (Filter { model: text("ova"), ..none() }, vec![]),
        (Filter { sample: text("ring 1"), outcome: text("stopped"), ..none() }, vec![]),
    ] {
        assert_eq!(numbers(&logbook, &filter), expected, "{filter:?}");
    }
    logbook.amend(1, &[(Field::Outcome, text("stopped"))], "the strap slipped off", &[]).unwrap();
    assert_eq!(numbers(&logbook, &Filter { outcome: text("stopped"), ..none() }), [1, 2]);
    assert_eq!(logbook.pull(1).unwrap().broke(), Some(false));
}

#[test]
fn a_peak_is_held_against_the_forecast_only_where_something_follows() {
    let (_folder, _, mut logbook) = fresh();
    for (place, (peak, outcome, beside)) in [
        ("19.4", "broke", Beside::Below),
        ("19.5", "opened", Beside::Within),
        ("24", "broke", Beside::Within),
        ("24.1", "broke", Beside::Above),
        ("19.4", "stopped", Beside::EndedBefore),
        ("22", "strap broke", Beside::EndedBefore),
        ("24.1", "stopped", Beside::Above),
    ]
    .into_iter()
    .enumerate()
    {
        let number = logbook.plan(&plan(&format!("ring {place}")), Some(&forecast()), &[]).unwrap();
        assert_eq!(logbook.pull(number).unwrap().beside_forecast(), None);
        logbook.finish(number, &pulled(peak, outcome), &[]).unwrap();
        assert_eq!(logbook.pull(number).unwrap().beside_forecast(), Some(beside), "{peak} {outcome}");
    }
    // Of a pull whose outcome was not told no more follows than of one that ended without a break.
    for (peak, beside) in
        [("19.4", Beside::OutcomeNotTold), ("22", Beside::OutcomeNotTold), ("24.1", Beside::Above)]
    {
        let number = logbook.plan(&plan(&format!("ring {peak}")), Some(&forecast()), &[]).unwrap();
        logbook.finish(number, &Pulled { outcome: None, ..pulled(peak, "broke") }, &[]).unwrap();
        assert_eq!(logbook.pull(number).unwrap().beside_forecast(), Some(beside), "{peak}");
    }
}

#[test]
fn a_pull_that_is_dated_before_its_forecast_is_known() {
    let (_folder, _, mut logbook) = fresh();
    let today = dates::now();
    for (told, is_before) in
        [("2026-05-03", true), (&today[..10], false), ("2199-01-01", false), ("2026-05-03T10:00:00Z", true)]
    {
        let number = logbook.plan(&plan("ring"), Some(&forecast()), &[]).unwrap();
        assert!(!logbook.pull(number).unwrap().is_dated_before_forecast());
        let result = Pulled { pulled_on: told.to_owned(), ..pulled("20", "broke") };
        logbook.finish(number, &result, &[]).unwrap();
        let forecast_at = logbook.pull(number).unwrap().forecast.unwrap().1.at;
        assert_eq!(
            logbook.pull(number).unwrap().is_dated_before_forecast(),
            is_before && told < &forecast_at[..],
            "{told}"
        );
    }
}

#[test]
fn a_table_fires_no_formula() {
    let (_folder, _, mut logbook) = fresh();
    let risky = Plan {
        upper_offset_mm: Some(-3.0),
        kind: Some("=1+1".to_owned()),
        rig: Some("@x".to_owned()),
        ..plan("+ring")
    };
    let result = Pulled { remark: Some("-2, \"said\"\nhe".to_owned()), ..pulled("5400 lbf", "broke") };
    logbook.add(&risky, &result, &[]).unwrap();
    logbook.add(&plan("ring 2"), &pulled("20", "broke"), &[]).unwrap();
    let bytes = table(&logbook.pulls(&Filter::default()).unwrap(), "careful").unwrap();
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    let head = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().unwrap();
    let cell = |row: usize, name: &str| rows[row][head.iter().position(|n| n == name).unwrap()].to_owned();
    assert_eq!(
        (cell(0, "sample"), cell(0, "kind"), cell(0, "rig")),
        ("'+ring".into(), "'=1+1".into(), "'@x".into())
    );
    assert_eq!((cell(0, "remark"), cell(0, "upper_offset_mm")), ("'-2, \"said\"\nhe".into(), "-3".into()));
    assert_eq!((cell(0, "peak_entered"), cell(1, "peak_kn")), ("5400 lbf".into(), "20".into()));
    assert_eq!((cell(0, "caution"), cell(1, "caution"), rows.len()), ("careful".into(), String::new(), 2));
    assert!(cell(0, "peak_kn").starts_with("24.0203967"));
}
