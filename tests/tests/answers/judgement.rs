//! How much of a ranking hangs on each constant of judgement: the tables of docs/judgement.md, which hold what is computed here.
//! A run weighs the pulls of some models, the whole run those of all.
//! `PULLMAP_UPDATE=1 cargo test --release -p pullmap-tests --test answers judgement` writes them anew; read the difference first.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::judged::{Weighed, halved_and_doubled, weighed};
use pullmap_tests::project;
use pullmap_tests::trial::is_whole;
use report::numbers::kilonewtons;
use solver::causes::Judgement;
use std::fs;

/// Begins the line of the page from which on it is computed.
const COMPUTED: &str = "<!-- Computed from here on";
/// The judgement as it stands is the first in the list.
const STANDING: usize = 0;
const MODELS: [&str; 5] = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"];
/// Models of which a run weighs the pulls: those that most pulls are made of.
const SOME: [&str; 2] = ["broadbar-alu", "oval"];

/// A model with what is set of it.
fn sets(model: &str, pairs: &[(&str, &str)]) -> String {
    // What a metal is made of stands in words beside it.
    let short = |value: &str| if value.starts_with('{') { "{ .. }".to_owned() } else { value.to_owned() };
    let told = pairs.iter().map(|(key, value)| format!(" `{key}={}`", short(value)));
    format!("{model}{}", told.collect::<String>()).trim().to_owned()
}

/// The table of the made pulls, each with its number.
fn pulls_table(all: &[Weighed]) -> String {
    let rows = all.iter().map(|weighed| {
        let pull = &weighed.pull;
        let place = weighed.observed.place.map_or("", report::places::word);
        let line = weighed.lines[STANDING].map_or_else(|| "none".to_owned(), |line| line.to_string());
        format!(
            "| {} | {} | {} | {} | {} | {} | {place} | {line} |\n",
            weighed.number,
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

fn listed(numbers: impl Iterator<Item = usize>) -> String {
    let all: Vec<String> = numbers.map(|number| number.to_string()).collect();
    if all.is_empty() { "none".to_owned() } else { all.join(", ") }
}

/// What the page would hold had no more pulls been weighed than those of these numbers.
fn of_pulls(held: &str, numbers: &[usize]) -> String {
    // A cell names a value and the pulls that it loses; other cells are no such list.
    let cell = |cell: &str| -> String {
        let Some((value, lost)) = cell.split_once(": ") else { return cell.to_owned() };
        match lost.split(", ").map(str::parse::<usize>).collect::<Result<Vec<usize>, _>>() {
            Ok(lost) => format!("{value}: {}", listed(lost.into_iter().filter(|n| numbers.contains(n)))),
            Err(_) => cell.to_owned(),
        }
    };
    let line = |line: &str| -> Option<String> {
        let cells: Vec<&str> = line.split(" | ").collect();
        match cells[0].strip_prefix("| ").map(str::parse::<usize>) {
            Some(Ok(number)) => numbers.contains(&number).then(|| line.to_owned()),
            _ => Some(cells.into_iter().map(cell).collect::<Vec<_>>().join(" | ")),
        }
    };
    held.lines().filter_map(line).map(|line| line + "\n").collect()
}

/// The table of the constants, each with the pulls whose true cause is lost. `places` of the changed judgements in the list, or why there
/// is none.
fn constants_table(all: &[Weighed], places: &[[Result<(usize, f64), &str>; 2]]) -> String {
    let rows = Judgement::default().all().into_iter().zip(places).map(|(judged, changed)| {
        let cells = changed.map(|changed| match changed {
            Err(reason) => format!("not asked: {reason}"),
            Ok((place, value)) => {
                let lost = all
                    .iter()
                    .filter(|weighed| weighed.pull.is_told_apart && !weighed.is_found(place))
                    .map(|weighed| weighed.number);
                format!("{value}: {}", listed(lost))
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
    let updates = std::env::var_os("PULLMAP_UPDATE").is_some();
    let is_all = updates || is_whole();
    let all = weighed(&judgements, if is_all { &MODELS[..] } else { &SOME[..] });
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
    if updates {
        fs::write(&path, format!("{by_hand}{computed}")).unwrap();
    } else {
        let numbers: Vec<usize> = all.iter().map(|weighed| weighed.number).collect();
        let wanted = if is_all { held.to_owned() } else { of_pulls(held, &numbers) };
        assert_eq!(wanted, computed, "docs/judgement.md holds something else: see the head of this file");
    }
}
