//! Sweeps in words: how a forecast goes, what gives early, which rows are printed.

use super::sentence::course_in_words;
use super::table::WIDE;
use super::*;
use solver::strength::{Ends, FailureMode};
use solver::system::SystemSettings;
use study::model::Source;
use study::sweep::{Found, course, read};

const BASE: &str = include_str!("../../../study/src/model/tests/base.toml");

/// A point whose first part fails at one load and whose pull ends at another, kN.
fn row(point: usize, fails_at_kn: f64, peak_kn: f64) -> ToldRow {
    let found = Found {
        gate_fraction: 0.4,
        gate_kn: 4.0,
        spine_kn: 6.0,
        gate_engages_at_kn: None,
        spine_moment_nm: 50.0,
        peak_mpa: None,
        first_yield_kn: None,
        bends_at_kn: 9.0,
        opens_at_kn: None,
        peak_kn,
        fails_first: FailureMode::BehindNotch,
        fails_at_kn,
        ends: Ends::Opens,
        parts: Vec::new(),
    };
    Row { point, outcome: Ok(Box::new(found)) }
}

fn plan(vary: &[(&str, &str)]) -> Plan {
    let typed: Vec<_> = vary.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
    Plan::try_new(
        Source::of("base.toml", BASE),
        Vec::new(),
        read(&typed, &[]).unwrap(),
        SystemSettings::default(),
    )
    .unwrap()
}

fn through(loads: &[f64]) -> String {
    let rows: Vec<ToldRow> = loads.iter().enumerate().map(|(i, kn)| row(i, *kn, *kn)).collect();
    course_in_words(course(&rows).unwrap())
}

#[test]
fn only_what_goes_up_and_down_or_hardly_moves_is_flat() {
    // No step is larger than a wiggle, their sum is.
    let many: Vec<f64> = (0..30).map(|k| 20.2 - 0.04 * f64::from(k)).collect();
    assert_eq!(through(&many), "the forecast falls from 20.2 to 19.0 kN, by 6 %");
    let few: Vec<f64> = (0..20).map(|k| 22.0 - 0.02 * f64::from(k)).collect();
    assert_eq!(through(&few), "the forecast falls from 22.0 to 21.6 kN, by 2 %");
    assert_eq!(through(&[20.0, 20.2, 20.5]), "the forecast rises from 20.0 to 20.5 kN, by 2 %");
    assert_eq!(through(&[20.5, 20.4, 20.0]), "the forecast falls from 20.5 to 20.0 kN, by 2 %");
    assert_eq!(through(&[3.01, 3.04]), "the forecast is flat, within 1 % of 3.0 kN");
    assert_eq!(through(&[2.96, 3.04]), "the forecast rises from 2.96 to 3.04 kN, by 3 %");
    // Up by 3 %, down by 1 %: neither.
    assert_eq!(through(&[20.0, 20.6, 20.4]), "the forecast is flat, within 2 % of 20.3 kN");
    assert_eq!(through(&[20.0, 30.0, 29.95]), "the forecast rises from 20.0 to 29.9 kN");
    assert_eq!(through(&[20.0, 30.0, 20.0]), "the forecast lies between 20.0 and 30.0 kN");
}

#[test]
fn a_part_that_gives_before_the_end_is_told_with_its_load() {
    let one = plan(&[("rig.gate", "closed,half")]);
    let rows = [row(0, 3.27, 7.14), row(1, 3.47, 7.14)];
    assert_eq!(
        sentence(&one, &rows),
        "closed, half: the gate behind its notch fails first, at 3.3 to 3.5 kN; the open hook still holds, \
         and the forecast is flat, within 1 % of 7.1 kN."
    );
    let told = table(&one, &rows, "sweep.csv");
    assert!(told.lines().next().unwrap().contains("fails, kN  peak, kN"), "{told}");
    assert!(told.contains("3.27      7.14"), "{told}");
    // One percent is no early end.
    let rows = [row(0, 7.07, 7.14), row(1, 3.47, 7.14)];
    let told = sentence(&one, &rows);
    assert!(told.contains("at 3.5 to 7.1 kN, at 1 of 2 points before the end"), "{told}");
    assert!(!sentence(&one, &[row(0, 7.07, 7.14), row(1, 7.14, 7.14)]).contains("still holds"));
    let two = plan(&[("rig.gate", "closed,half"), ("rig.load_kn", "5,10")]);
    let rows: Vec<ToldRow> = (0..4).map(|i| row(i, if i < 3 { 3.0 } else { 7.0 }, 7.0)).collect();
    let told = sentence(&two, &rows);
    assert!(told.contains("At 3 of 4 points the first part fails before the pull ends, at 3.0 kN"), "{told}");
}

#[test]
fn rows_that_are_left_out_are_counted() {
    let long = plan(&[("rig.load_kn", "1..24:24")]);
    let rows: Vec<ToldRow> = (0..24).map(|i| row(i, 7.0, 7.0)).collect();
    let told = table(&long, &rows, "sweep.csv");
    let lines = told.lines().count() - 2;
    assert!(lines < 24, "{told}");
    assert!(
        told.ends_with(&format!("{lines} of 24 points are shown; sweep.csv has all of them.\n")),
        "{told}"
    );
    let short = plan(&[("rig.load_kn", "1..5:5")]);
    assert!(!table(&short, &rows[..5], "sweep.csv").contains("shown"));
}

#[test]
fn a_reason_is_told_whole_beside_its_value() {
    let plan = plan(&[("rig.load_kn", "1..40:40")]);
    let reason = "one two three four five six seven eight nine ten ".repeat(5);
    let rows: Vec<ToldRow> =
        (0..40).map(|point| Row { point, outcome: Err(format!("{reason}end")) }).collect();
    let told = table(&plan, &rows, "sweep.csv");
    assert!(told.lines().all(|line| line.chars().count() <= WIDE), "{told}");
    let whole = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(whole.contains(&format!("1 failed: {reason}end")), "{told}");
}
