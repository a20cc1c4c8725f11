//! Packages: out and in again, and those that are not taken in.

use super::package::{Package, PackageError, Part, What};
use super::*;

fn text(logbook: &Logbook) -> String {
    serde_json::to_string_pretty(&logbook.package(&Filter::default(), "careful").unwrap().0).unwrap() + "\n"
}

fn take(logbook: &mut Logbook, text: &str) -> Result<Imported, LogbookError> {
    let sound = Sound::read(text.as_bytes(), "shared.json", &|place| place != "nozzle");
    logbook.import(&sound.map_err(LogbookError::Package)?)
}

/// A logbook with pulls of every kind.
fn filled() -> (TempDir, Logbook) {
    let (folder, _, mut logbook) = fresh();
    let record = whole();
    let trace: &[u8] = &[0xff, 0, 13, 10, 0xfe];
    let hash = content::sha256(trace);
    let mut result = record.pulled.clone().unwrap();
    result.trace = Some(NamedFile { name: "t.csv".to_owned(), sha256: Some(hash) });
    logbook.add(&record.plan, &result, &[b"one", trace]).unwrap();
    logbook.plan(&plan("ring 2"), Some(&forecast()), &[]).unwrap();
    logbook.plan(&plan("ring 3"), Some(&forecast()), &[]).unwrap();
    logbook.finish(2, &pulled("21.3 kN", "opened"), &[]).unwrap();
    let to = |field, text: &str| (field, Some(text.to_owned()));
    logbook.amend(2, &[to(Field::Peak, "21.5"), to(Field::Place, "spine")], "read again", &[]).unwrap();
    logbook
        .amend(
            1,
            &[to(Field::Trace, &format!("{} u.csv", content::sha256(b"two")))],
            "the other file",
            &[b"two"],
        )
        .unwrap();
    (folder, logbook)
}

fn wrong(result: Result<Imported, LogbookError>) -> Vec<What> {
    match result {
        Err(LogbookError::Package(PackageError::Wrong(wrong))) => {
            wrong.into_iter().map(|wrong| wrong.what).collect()
        }
        other => panic!("{other:?}"),
    }
}

/// A package after a change, its hashes written anew.
fn changed(text: &str, change: impl Fn(&mut Package)) -> String {
    let mut package: Package = serde_json::from_str(text).unwrap();
    change(&mut package);
    package.pulls.iter_mut().for_each(|pull| pull.sha256 = pull.hash());
    serde_json::to_string(&package).unwrap()
}

#[test]
fn out_and_in_again_is_the_same_to_the_byte() {
    let (_folder, logbook) = filled();
    let out = text(&logbook);
    let (_other_folder, _, mut other) = fresh();
    let done = take(&mut other, &out).unwrap();
    assert_eq!((done.new.as_slice(), done.extended.len(), done.there.len()), ([1, 2, 3].as_slice(), 0, 0));
    assert_eq!(text(&other), out);
    let [mine, theirs] = [&logbook, &other].map(|book| book.pulls(&Filter::default()).unwrap());
    for (mine, theirs) in mine.iter().zip(&theirs) {
        assert_eq!((&mine.now, &mine.first), (&theirs.now, &theirs.first));
        assert_eq!(theirs.planned.taken_in.as_deref(), Some("shared.json"));
        assert_eq!(mine.planned.taken_in, None);
    }
    // Once more: all is there, and nothing is recorded.
    let seq = |book: &Logbook| -> i64 {
        book.file.query_row("SELECT count(*) FROM imports", [], |row| row.get(0)).unwrap()
    };
    assert_eq!(take(&mut other, &out).unwrap().there, [1, 2, 3]);
    assert_eq!((text(&other), seq(&other)), (out, 1));
}

#[test]
fn a_part_of_a_logbook_is_a_package_of_its_own() {
    let (_folder, logbook) = filled();
    let filter = Filter { sample: Some("ring 2".to_owned()), ..Filter::default() };
    let (package, _) = logbook.package(&filter, "careful").unwrap();
    assert_eq!((package.pulls.len(), package.contents.len()), (1, 0));
    let (_other_folder, _, mut other) = fresh();
    other.plan(&plan("ring 0"), None, &[]).unwrap();
    assert_eq!(take(&mut other, &serde_json::to_string(&package).unwrap()).unwrap().new, [2]);
    assert_eq!(other.package(&filter, "careful").unwrap().0, package);
}

#[test]
fn more_than_is_taken_in_is_not_given_out() {
    let (_folder, logbook) = filled();
    let all = Filter::default();
    let bytes = "one".len() + 5 + "two".len();
    assert!(logbook.package_within(&all, "careful", bytes).is_ok());
    let refused = logbook.package_within(&all, "careful", bytes - 1).unwrap_err();
    assert!(matches!(refused, LogbookError::PackageTooLarge { most } if most == bytes - 1), "{refused}");
}

#[test]
fn times_that_run_backwards_are_refused() {
    let (_folder, logbook) = filled();
    let out = text(&logbook);
    let (_other_folder, _, mut other) = fresh();
    for change in [
        (|p: &mut Package| {
            p.pulls[1].forecast.as_mut().unwrap().recorded_at = "2199-01-01T00:00:00Z".to_owned()
        }) as fn(&mut Package),
        |p| p.pulls[1].forecast.as_mut().unwrap().recorded_at = "1999-01-01T00:00:00Z".to_owned(),
        |p| p.pulls[1].result.as_mut().unwrap().recorded_at = "1999-01-01T00:00:00Z".to_owned(),
        |p| p.pulls[1].amendments[1].recorded_at = "1999-01-01T00:00:00Z".to_owned(),
        |p| p.pulls[0].recorded_at = "2199-01-01T00:00:00Z".to_owned(),
    ] {
        let found = wrong(take(&mut other, &changed(&out, change)));
        assert!(matches!(found[..], [What::Order(_)]), "{found:?}");
    }
    take(&mut other, &out).unwrap();
}

#[test]
fn a_package_that_knows_more_adds_it_and_one_that_knows_less_adds_nothing() {
    let (_folder, mut logbook) = filled();
    let early = text(&logbook);
    logbook.finish(3, &pulled("19", "stopped"), &[]).unwrap();
    logbook.amend(2, &[(Field::Rig, Some("the tent".to_owned()))], "not told", &[]).unwrap();
    let late = text(&logbook);
    let (_other_folder, _, mut other) = fresh();
    take(&mut other, &early).unwrap();
    let done = take(&mut other, &late).unwrap();
    assert_eq!((done.new.len(), done.extended, done.there), (0, vec![2, 3], vec![1]));
    assert_eq!(text(&other), late);
    assert_eq!(take(&mut other, &early).unwrap().there, [1, 2, 3]);
    assert_eq!(text(&other), late);
}

#[test]
fn corrections_of_different_fields_by_two_people_are_merged() {
    let (_folder, mut mine) = filled();
    let (_other_folder, _, mut theirs) = fresh();
    take(&mut theirs, &text(&mine)).unwrap();
    let to = |field, text: &str| [(field, Some(text.to_owned()))];
    mine.amend(2, &to(Field::Rig, "the tent"), "not told", &[]).unwrap();
    theirs.amend(2, &to(Field::Kind, "broad bar"), "not told", &[]).unwrap();
    theirs.finish(3, &pulled("19", "stopped"), &[]).unwrap();
    mine.amend(3, &to(Field::Rig, "the hall"), "not told", &[]).unwrap();
    let (of_mine, of_theirs) = (text(&mine), text(&theirs));
    assert_eq!(take(&mut mine, &of_theirs).unwrap().extended, [2, 3]);
    assert_eq!(take(&mut theirs, &of_mine).unwrap().extended, [2, 3]);
    for book in [&mine, &theirs] {
        let pull = book.pull(2).unwrap();
        assert_eq!(pull.now.get(Field::Rig).as_deref(), Some("the tent"));
        assert_eq!(pull.now.get(Field::Kind).as_deref(), Some("broad bar"));
        let pull = book.pull(3).unwrap();
        assert_eq!((pull.now.get(Field::Rig).as_deref(), pull.peak_kn()), (Some("the hall"), Some(19.0)));
    }
    // What was merged is a package that is taken in, and each has all that the other has.
    let merged = text(&mine);
    assert_eq!(take(&mut theirs, &merged).unwrap().there, [1, 2, 3]);
    let (_third_folder, _, mut third) = fresh();
    take(&mut third, &merged).unwrap();
    // The same field, told otherwise by each: a contradiction.
    mine.amend(2, &to(Field::Rig, "the yard"), "it was there", &[]).unwrap();
    theirs.amend(2, &to(Field::Rig, "the barn"), "it was here", &[]).unwrap();
    assert!(matches!(
        take(&mut mine, &text(&theirs)),
        Err(LogbookError::Package(PackageError::Conflicts(found))) if found[0].part == Part::Amendments
    ));
}

#[test]
fn files_go_out_by_their_names_alone() {
    let (_folder, _, mut logbook) = fresh();
    let named = |name: &str| NamedFile { name: name.to_owned(), sha256: Some(content::sha256(b"one")) };
    let of = Plan { model: Some(named("/home/somebody/models/ring.toml")), ..plan("ring 1") };
    let photo = Some(named("C:\\photos\\ring 1.jpg"));
    logbook.add(&of, &Pulled { photo, ..pulled("21.3", "broke") }, &[b"one"]).unwrap();
    let to = |name: &str| [(Field::Model, Some(format!("{} {name}", content::sha256(b"one"))))];
    logbook.amend(1, &to("/other/folder/ring.toml"), "it lies there", &[]).unwrap();
    logbook.amend(1, &to("/other/folder/ring 2.toml"), "the other one", &[]).unwrap();
    let out = text(&logbook);
    for folder in ["home", "somebody", "photos", "other/folder"] {
        assert!(!out.contains(folder), "{folder}: {out}");
    }
    // Here they stay, and what comes back is the same pull.
    assert!(logbook.pull(1).unwrap().now.get(Field::Model).unwrap().contains("/other/folder/ring 2.toml"));
    assert_eq!(take(&mut logbook, &out).unwrap().there, [1]);
    let (_other_folder, _, mut other) = fresh();
    take(&mut other, &out).unwrap();
    assert_eq!(text(&other), out);
    other.amend(1, &to("ring 3.toml"), "the third one", &[]).unwrap();
    assert_eq!(take(&mut logbook, &text(&other)).unwrap().extended, [1]);
    assert!(logbook.pull(1).unwrap().now.get(Field::Model).unwrap().ends_with(" ring 3.toml"));
}

#[test]
fn a_withdrawal_goes_out_and_comes_in() {
    let (_folder, mut logbook) = filled();
    let (_other_folder, _, mut other) = fresh();
    take(&mut other, &text(&logbook)).unwrap();
    logbook.withdraw(2, "pulled by the wrong cell").unwrap();
    let out = text(&logbook);
    assert_eq!(take(&mut other, &out).unwrap().extended, [2]);
    assert_eq!((text(&other), other.pulls(&Filter::default()).unwrap().len()), (out.clone(), 2));
    let (_third_folder, _, mut third) = fresh();
    take(&mut third, &out).unwrap();
    assert_eq!(text(&third), out);
    let without = changed(&out, |p| p.pulls[1].withdrawn.as_mut().unwrap().why = " ".to_owned());
    assert!(wrong(take(&mut third, &without)).contains(&What::Withdrawal));
}

#[test]
fn a_plan_may_be_corrected_before_there_is_a_result() {
    let (_folder, _, mut logbook) = fresh();
    logbook.plan(&plan("ring 1"), None, &[]).unwrap();
    logbook.amend(1, &[(Field::Kind, Some("oval".to_owned()))], "not told", &[]).unwrap();
    logbook.finish(1, &pulled("20", "broke"), &[]).unwrap();
    let out = changed(&text(&logbook), |p| {
        p.pulls[0].recorded_at = "2026-05-03T10:00:00Z".to_owned();
        p.pulls[0].amendments[0].recorded_at = "2026-05-03T11:00:00Z".to_owned();
    });
    let (_other_folder, _, mut other) = fresh();
    assert_eq!(take(&mut other, &out).unwrap().new, [1]);
}

#[test]
fn a_contradiction_is_told_and_nothing_is_taken_in() {
    let (_folder, mut logbook) = filled();
    let here = text(&logbook);
    for (part, change) in [
        (Part::Plan, (|p: &mut Package| p.pulls[1].plan.rig = Some("other".to_owned())) as fn(&mut Package)),
        (Part::Forecast, |p| p.pulls[1].forecast = None),
        (Part::Result, |p| p.pulls[1].result.as_mut().unwrap().told.remark = Some("other".to_owned())),
        (Part::Amendments, |p| p.pulls[1].amendments[0].why = "other".to_owned()),
    ] {
        let other = changed(&here, |package| {
            change(package);
            // A new pull before the one that contradicts.
            package.pulls[0].uid = "0".repeat(32);
        });
        match take(&mut logbook, &other) {
            Err(LogbookError::Package(PackageError::Conflicts(found))) => {
                assert_eq!(found.iter().map(|c| (c.number, c.part)).collect::<Vec<_>>(), [(2, part)]);
            }
            other => panic!("{part:?}: {other:?}"),
        }
        assert_eq!(text(&logbook), here);
    }
}

#[test]
fn damage_and_values_that_may_not_be_are_told_all_at_once() {
    let (_folder, logbook) = filled();
    let out = text(&logbook);
    let (_other_folder, _, mut other) = fresh();
    let empty = text(&other);
    let damaged = out.replace("ring 2", "ring 9").replace("\"one\"", "\"eno\"");
    assert_eq!(wrong(take(&mut other, &damaged)), [What::Hash, What::Hash]);
    let values = changed(&out, |package| {
        package.pulls[0].plan.age_years = Some(-1.0);
        package.pulls[0].result.as_mut().unwrap().told.place = Some("nozzle".to_owned());
        package.pulls[1].forecast.as_mut().unwrap().told.p5_kn = 99.0;
        package.pulls[1].amendments[0].old = Some("20".to_owned());
        package.pulls[2].uid = package.pulls[1].uid.clone();
        package.pulls[2].recorded_at = "yesterday".to_owned();
        package.contents.clear();
    });
    let found = wrong(take(&mut other, &values));
    let is = |what: fn(&What) -> bool| found.iter().filter(|found| what(found)).count();
    assert_eq!(is(|w| matches!(w, What::Value(_))), 2, "{found:?}");
    assert_eq!(is(|w| matches!(w, What::NoContent(_))), 4, "{found:?}");
    assert_eq!(is(|w| matches!(w, What::Forecast)), 1);
    assert_eq!(is(|w| matches!(w, What::Amendment(1))), 1);
    assert_eq!(is(|w| matches!(w, What::Uid)), 1);
    assert_eq!(is(|w| matches!(w, What::Time(_))), 1);
    for (text, is) in [
        ("", 0),
        ("{", 0),
        ("[]", 0),
        (r#"{"format": "pullmap-pulls-1"}"#, 0),
        (r#"{"format": "pullmap-pulls-2"}"#, 1),
        (r#"{"format": "pullmap-pulls-1", "pulls": [], "contents": [], "caution": "", "more": 1}"#, 0),
    ] {
        match take(&mut other, text) {
            Err(LogbookError::Package(PackageError::NotOfTheForm(_))) if is == 0 => {}
            Err(LogbookError::Package(PackageError::Format(_))) if is == 1 => {}
            other => panic!("{text}: {other:?}"),
        }
    }
    assert_eq!(text(&other), empty);
}
