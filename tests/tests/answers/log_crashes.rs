//! `pullmap log` by the real binary, killed, out of room and several at once: what it acknowledges stays, whatever happens to it.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use lab::logbook::{DEFAULT_FILE, Filter, Logbook};
use pullmap_tests::binary::{self, acknowledged, done, run};
use pullmap_tests::draws::Draws;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};
use tempfile::tempdir;

/// Runs the binary, and kills it after so many seconds; left alone without them.
fn for_a_while(folder: &Path, words: &[&str], lives_s: Option<f64>) -> Output {
    let mut child = Command::new(binary::path())
        .args(words)
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    if let Some(lives_s) = lives_s {
        std::thread::sleep(Duration::from_secs_f64(lives_s));
        // One that has ended already cannot be killed.
        let _ = child.kill();
    }
    child.wait_with_output().unwrap()
}

#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_takes_no_more_loses_nothing_that_was_acknowledged() {
    let folder = tempdir().unwrap();
    done(folder.path(), &["log", "add", "--sample", "ring 1", "--peak", "20"]);
    fs::write(folder.path().join("trace.bin"), vec![7; 900_000]).unwrap();
    // No file may grow beyond 400 blocks of 1 KiB, as on a disk that is nearly full.
    let line =
        "trap '' XFSZ; ulimit -f 400; exec \"$0\" log add --sample 'ring 2' --peak 20 --trace trace.bin";
    let output = Command::new("bash")
        .args(["-c", line, binary::path().to_str().unwrap()])
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let told = String::from_utf8(output.stderr).unwrap();
    assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0), "{told}");
    assert!(told.contains("the logbook cannot be used") || told.contains("the disk is full"), "{told}");
    let book = Logbook::read(&folder.path().join(DEFAULT_FILE)).unwrap();
    book.check().unwrap();
    assert_eq!(book.pulls(&Filter::default()).unwrap().len(), 1);
    assert_eq!(
        acknowledged(&done(folder.path(), &["log", "add", "--sample", "ring 3", "--peak", "20"])),
        Some(2)
    );
}

#[test]
fn killed_at_any_moment_it_keeps_all_that_it_acknowledged() {
    let folder = tempdir().unwrap();
    let mut draws = Draws::of(20_260_503);
    let mut kept: BTreeMap<i64, String> = BTreeMap::new();
    let (mut killed, mut finished) = (0, 0);
    // How long one takes that is left alone, as far as is known: a guess before the first.
    let mut takes_s = 0.05;
    for round in 0..120 {
        let sample = format!("ring {round}");
        // Every trace is another, so that each is written.
        fs::write(folder.path().join("trace.csv"), format!("{round}\n").repeat(30_000)).unwrap();
        let began = Instant::now();
        // Every third is left alone, and tells how long one takes; the others are killed at some moment of that.
        let lives_s = (round % 3 != 0).then(|| draws.between(0.0, 1.2 * takes_s));
        let words = ["log", "add", "--sample", &sample, "--peak", "20", "--trace", "trace.csv"];
        let output = for_a_while(folder.path(), &words, lives_s);
        if lives_s.is_none() {
            takes_s = began.elapsed().as_secs_f64();
            assert!(output.status.success(), "{output:?}");
        }
        if output.status.success() {
            finished += 1;
        } else {
            killed += 1;
        }
        if let Some(number) = acknowledged(&String::from_utf8(output.stdout).unwrap()) {
            assert_eq!(kept.insert(number, sample), None, "a number was given twice");
        }
    }
    assert!(
        killed > 20 && finished > 10,
        "{killed} were killed, {finished} were not: the moments do not lie where they should"
    );
    let book = Logbook::read(&folder.path().join(DEFAULT_FILE)).unwrap();
    book.check().unwrap();
    for (number, sample) in &kept {
        let pull = book.pull(*number).unwrap();
        assert_eq!(&pull.now.plan.sample, sample);
        let trace = pull.now.pulled.unwrap().trace.unwrap();
        book.content(&trace.sha256.unwrap()).unwrap();
    }
    let there = book.pulls(&Filter::default()).unwrap();
    assert!(there.len() >= kept.len());
    drop(book);
    let next =
        acknowledged(&done(folder.path(), &["log", "add", "--sample", "last", "--peak", "20"])).unwrap();
    assert_eq!(next, i64::try_from(there.len()).unwrap() + 1, "no number is left out");
}

#[test]
fn killed_while_it_makes_the_file_it_leaves_one_that_can_be_gone_on_with() {
    let mut draws = Draws::of(7);
    let mut takes_s = 0.05;
    for round in 0..100 {
        let folder = tempdir().unwrap();
        let began = Instant::now();
        let lives_s = (round % 10 != 0).then(|| draws.between(0.0, takes_s));
        let output = for_a_while(folder.path(), &["log", "add", "--sample", "one", "--peak", "20"], lives_s);
        if lives_s.is_none() {
            takes_s = began.elapsed().as_secs_f64();
        }
        let first = acknowledged(&String::from_utf8(output.stdout).unwrap());
        // Reading what was left is answered, one way or the other.
        let listed = run(folder.path(), &["log", "list"]);
        assert!(first.is_none() || listed.code == 0, "{listed:?}");
        let says = ["there is no logbook", "nothing was recorded in it yet"];
        assert!(listed.code == 0 || says.iter().any(|text| listed.err.contains(text)), "{listed:?}");
        let next =
            acknowledged(&done(folder.path(), &["log", "add", "--sample", "two", "--peak", "20"])).unwrap();
        assert!(next == 2 || next == 1 && first.is_none(), "{first:?} {next}");
    }
}

#[test]
fn programs_at_once_never_share_a_number() {
    let folder = tempdir().unwrap();
    let add = |of: usize| {
        let numbers = (0..12).map(|place| {
            let sample = format!("ring {of} {place}");
            acknowledged(&done(folder.path(), &["log", "add", "--sample", &sample, "--peak", "20"])).unwrap()
        });
        numbers.collect::<Vec<i64>>()
    };
    // The first of them makes the file, whichever that is.
    let mut numbers: Vec<i64> = std::thread::scope(|scope| {
        let add = &add;
        let programs: Vec<_> = (0..4).map(|of| scope.spawn(move || add(of))).collect();
        programs.into_iter().flat_map(|program| program.join().unwrap()).collect()
    });
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=48).collect::<Vec<i64>>());
    Logbook::read(&folder.path().join(DEFAULT_FILE)).unwrap().check().unwrap();
}
