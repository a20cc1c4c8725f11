//! `docs/bench.md`: its commands are run in order with the real binary, and each block must print the line that the page shows.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::run;
use pullmap_tests::{project, with_bench};
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// Commands of a block, and the line that the last of them prints.
#[derive(Debug, Default)]
struct Step {
    commands: Vec<String>,
    line: String,
}

/// The blocks of a page.
fn steps(page: &str) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let mut in_block = false;
    for line in page.lines() {
        if line.starts_with("```") {
            assert!(in_block || line == "```sh", "a block of another kind: {line}");
            in_block = !in_block;
            if in_block {
                steps.push(Step::default());
            }
        } else if in_block {
            steps.last_mut().unwrap().commands.push(line.to_owned());
        } else if let Some(told) = line.strip_prefix("> ") {
            let step = steps.last_mut().unwrap();
            assert!(step.line.is_empty(), "two lines after one block: {told}");
            told.clone_into(&mut step.line);
        }
    }
    assert!(!in_block, "the last block is not closed");
    steps
}

/// The words of a command, quotes around some.
fn words(command: &str) -> Vec<String> {
    let (mut words, mut open, mut word) = (Vec::new(), None, String::new());
    for c in command.chars() {
        match (open, c) {
            (None, '"' | '\'') => open = Some(c),
            (Some(quote), c) if c == quote => open = None,
            (None, ' ') => words.push(std::mem::take(&mut word)),
            (_, c) => word.push(c),
        }
    }
    words.push(word);
    words
}

/// Runs a block; `Err` tells what is amiss.
fn done(step: &Step, folder: &Path) -> Result<(), String> {
    let mut out = String::new();
    for command in &step.commands {
        let words = words(command);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let Some((&"pullmap", words)) = words.split_first() else {
            return Err(format!("`{command}` is no command of this program"));
        };
        let ran = run(folder, words);
        if ran.code != 0 {
            return Err(format!("`{command}` ended with {}:\n{}", ran.code, ran.err));
        }
        out = ran.out;
    }
    match out.lines().any(|line| !step.line.is_empty() && line.contains(&step.line)) {
        true => Ok(()),
        false => Err(format!("{:?} do not print `{}`, but:\n{out}", step.commands, step.line)),
    }
}

#[test]
fn a_day_at_the_bench_goes_as_the_page_has_it() {
    let folder = tempdir().unwrap();
    with_bench(folder.path());
    let steps = steps(&fs::read_to_string(project().join("docs/bench.md")).unwrap());
    for step in &steps {
        if let Err(why) = done(step, folder.path()) {
            panic!("{why}");
        }
    }
    // All twelve traces are told of, each with its result.
    let commands: Vec<&String> = steps.iter().flat_map(|step| &step.commands).collect();
    for number in 1..=12 {
        let added = format!("pullmap log add {number} --trace bench/traces/sb-{number:02}.csv ");
        assert!(commands.iter().any(|command| command.starts_with(&added)), "{number}");
    }
}

#[test]
fn the_picture_of_the_page_is_there_and_light() {
    let bytes = fs::read(project().join("docs/pictures/bench-lot.png")).unwrap();
    assert!(bytes.starts_with(b"\x89PNG\r\n\x1a\n") && bytes.len() <= 150_000, "{}", bytes.len());
}

#[test]
fn a_line_that_is_not_printed_and_a_command_that_fails_are_noticed() {
    let folder = tempdir().unwrap();
    for (page, says) in [
        ("```sh\npullmap materials\n```\n> unobtainium\n", "do not print `unobtainium`"),
        ("```sh\npullmap materials\n```\n", "do not print"),
        ("```sh\npullmap log add 1 --peak 20\npullmap materials\n```\n> 7075-t6\n", "ended with 2"),
        ("```sh\nother thing\n```\n> x\n", "is no command"),
    ] {
        let [step] = &steps(page)[..] else { panic!("one block") };
        assert!(done(step, folder.path()).unwrap_err().contains(says), "{says}");
    }
    assert_eq!(words("a \"b c\" --d 'e *' f=\"g h\""), ["a", "b c", "--d", "e *", "f=g h"]);
}
