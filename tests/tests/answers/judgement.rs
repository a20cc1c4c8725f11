//! How much of a ranking hangs on each constant of judgement: the tables of docs/judgement.md, which hold what is computed here.
//! `PULLMAP_UPDATE=1 cargo test --release -p pullmap-tests --test answers judgement` writes them anew; read the difference first.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::judged::{Weighed, halved_and_doubled, weighed};
use pullmap_tests::project;
use report::numbers::kilonewtons;
use solver::causes::Judgement;
use std::fs;

/// Begins the line of the page from which on it is computed.
const COMPUTED: &str = "<!-- Computed from here on";
/// The judgement as it stands is the first in the list.
const STANDING: usize = 0;

/// A model with what is set of it.
fn sets(model: &str, pairs: &[(&str, &str)]) -> String {
    // What a metal is made of stands in words beside it.
    let short = |value: &str| if value.starts_with('{') { "{ .. }".to_owned() } else { value.to_owned() };
    let told = pairs.iter().map(|(key, value)| format!(" `{key}={}`", short(value)));
    format!("{model}{}", told.collect::<String>()).trim().to_owned()
}

/// The table of the made pulls, each with its number.
fn pulls_table(all: &[Weighed]) -> String {
    let rows = all.iter().enumerate().map(|(i, weighed)| {
        let pull = &weighed.pull;
        let place = weighed.observed.place.map_or("", report::places::word);
        let line = weighed.lines[STANDING].map_or_else(|| "none".to_owned(), |line| line.to_string());
        format!(
            "| {} | {} | {} | {} | {} | {} | {place} | {line} |\n",
            i + 1,
            pull.name,
            sets(pull.model, pull.entered),
            sets("", pull.hidden),
            pull.family,
            kilonewtons(weighed.observed.broke_at_kn),
        )
    });
    let head = "| pull | what differs | entered | hidden | cause | load | place | line |\n|---|---|---|---|---|---|---|---|\n";
    format!("{head}{}", rows.collect::<String>())
}

/// The table of the constants, each with the pulls whose true cause is lost. `places` of the changed judgements in the list, or why there
/// is none.
fn constants_table(all: &[Weighed], places: &[[Result<(usize, f64), &str>; 2]]) -> String {
    let rows = Judgement::default().all().into_iter().zip(places).map(|(judged, changed)| {
        let cells = changed.map(|changed| match changed {
            Err(reason) => format!("not asked: {reason}"),
            Ok((place, value)) => {
                let lost: Vec<String> = (1..)
                    .zip(all)
                    .filter(|(_, weighed)| weighed.pull.is_told_apart && !weighed.is_found(place))
                    .map(|(number, _)| number.to_string())
                    .collect();
                let lost = if lost.is_empty() { "none".to_owned() } else { lost.join(", ") };
                format!("{value}: {lost}")
            }
        });
        format!("| {} | {} | {} | {} | {} |\n", judged.name, judged.value, cells[0], cells[1], judged.reason)
    });
    let head = "| constant | value | lost at half | lost at double | reason |\n|---|---|---|---|---|\n";
    format!("{head}{}", rows.collect::<String>())
}

#[test]
fn the_page_tells_which_pulls_lose_their_true_cause_by_half_or_double_of_each_constant() {
    let mut judgements = vec![Judgement::default()];
    let places: Vec<[Result<(usize, f64), &str>; 2]> = Judgement::default()
        .all()
        .iter()
        .map(|judged| {
            halved_and_doubled(judged).map(|changed| {
                changed.map(|mut judgement| {
                    judgements.push(judgement);
                    (judgements.len() - 1, *judgement.named_mut(&judged.name).unwrap())
                })
            })
        })
        .collect();
    let all = weighed(&judgements);
    for weighed in &all {
        let (pull, line) = (weighed.pull, weighed.lines[STANDING]);
        assert_eq!(
            weighed.is_found(STANDING),
            pull.is_told_apart,
            "{} of {}: {line:?}",
            pull.name,
            pull.model
        );
    }
    let path = project().join("docs/judgement.md");
    let page = fs::read_to_string(&path).unwrap();
    let from = page.find(COMPUTED).unwrap();
    let (by_hand, held) = page.split_at(from + page[from..].find('\n').unwrap() + 1);
    let computed = format!(
        "\n## Made pulls\n\n{}\n## Constants\n\n{}",
        pulls_table(&all),
        constants_table(&all, &places)
    );
    if std::env::var_os("PULLMAP_UPDATE").is_some() {
        fs::write(&path, format!("{by_hand}{computed}")).unwrap();
    } else {
        assert_eq!(held, computed, "docs/judgement.md holds something else: see the head of this file");
    }
}
