//! `docs/questions.md`: every command is run with the real binary, and must print the sentence that the page shows.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::run;
use pullmap_tests::{project, with_bench};
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// How many questions the page holds.
const QUESTIONS: usize = 29;
/// Those that cannot be answered yet.
const OPEN: [usize; 6] = [11, 12, 20, 21, 22, 24];
/// What an unanswered question's reason begins with.
const NOT_YET: &str = "Cannot be answered yet: ";
/// A picture larger than this is too heavy for a page of words, bytes.
const HEAVIEST: u64 = 150_000;

/// One question as the page holds it.
#[derive(Debug, Default)]
struct Question {
    number: usize,
    title: String,
    commands: Vec<String>,
    sentences: Vec<String>,
    pictures: Vec<String>,
    reason: Option<String>,
}

/// The questions of a page: a heading `## N. words` each, commands in `sh` blocks, sentences after `> `.
fn questions(page: &str) -> Vec<Question> {
    let mut found: Vec<Question> = Vec::new();
    let mut in_block = false;
    for line in page.lines() {
        if let Some(heading) = line.strip_prefix("## ") {
            let (number, title) = heading.split_once(". ").unwrap_or_else(|| panic!("no number in `{line}`"));
            let number = number.parse().unwrap_or_else(|_| panic!("no number in `{line}`"));
            found.push(Question { number, title: title.to_owned(), ..Question::default() });
            continue;
        }
        let Some(question) = found.last_mut() else { continue };
        if line.starts_with("```") {
            assert!(in_block || line == "```sh", "question {}: a block of another kind", question.number);
            in_block = !in_block;
        } else if in_block {
            question.commands.push(line.to_owned());
        } else if let Some(sentence) = line.strip_prefix("> ") {
            question.sentences.push(sentence.to_owned());
        } else if let Some(picture) = line.strip_prefix("![") {
            let (words, path) = picture.split_once("](").unwrap();
            assert!(!words.is_empty(), "question {}: a picture without words", question.number);
            question.pictures.push(path.strip_suffix(')').unwrap().to_owned());
        } else if let Some(reason) = line.strip_prefix(NOT_YET) {
            question.reason = Some(reason.to_owned());
        }
    }
    assert!(!in_block, "the last block is not closed");
    found
}

fn page() -> Vec<Question> {
    questions(&fs::read_to_string(project().join("docs/questions.md")).unwrap())
}

/// Runs the command of an answered question; `Err` tells what is amiss.
fn answers(question: &Question, folder: &Path) -> Result<(), String> {
    let [command] = &question.commands[..] else {
        return Err(format!("{} commands, one is wanted", question.commands.len()));
    };
    let [sentence] = &question.sentences[..] else {
        return Err(format!("{} sentences, one is wanted", question.sentences.len()));
    };
    let words: Vec<&str> = command.split(' ').collect();
    let Some((&"pullmap", words)) = words.split_first() else {
        return Err(format!("`{command}` is no command of this program"));
    };
    let ran = run(folder, words);
    if ran.code != 0 {
        return Err(format!("`{command}` ended with {}:\n{}", ran.code, ran.err));
    }
    if !ran.out.lines().any(|line| line.contains(sentence)) {
        return Err(format!("`{command}` does not print `{sentence}`, but:\n{}", ran.out));
    }
    Ok(())
}

#[test]
fn all_questions_are_there_and_each_is_answered_or_says_why_not() {
    let page = page();
    let numbers: Vec<usize> = page.iter().map(|question| question.number).collect();
    assert_eq!(numbers, (1..=QUESTIONS).collect::<Vec<_>>());
    for question in &page {
        let number = question.number;
        assert!(question.title.contains('?'), "question {number} asks nothing: `{}`", question.title);
        // Either one command, or a reason against.
        let commands = usize::from(question.reason.is_none());
        assert_eq!(question.commands.len(), commands, "question {number}: {:?}", question.reason);
    }
    // A reason takes no question out of the answers that is not known to be open.
    let open: Vec<usize> = page.iter().filter(|q| q.reason.is_some()).map(|q| q.number).collect();
    assert_eq!(open, OPEN);
}

#[test]
fn every_picture_is_there_and_light() {
    let pictures: Vec<String> = page().into_iter().flat_map(|question| question.pictures).collect();
    assert!(pictures.len() >= 8, "only {} pictures", pictures.len());
    for picture in pictures {
        let path = project().join("docs").join(&picture);
        let bytes = fs::read(&path).unwrap_or_else(|fault| panic!("{picture}: {fault}"));
        assert!(bytes.starts_with(b"\x89PNG\r\n\x1a\n"), "{picture} is no PNG");
        assert!(bytes.len() as u64 <= HEAVIEST, "{picture} holds {} bytes", bytes.len());
    }
}

#[test]
fn every_command_prints_its_sentence() {
    let folder = tempdir().unwrap();
    with_bench(folder.path());
    let amiss: Vec<String> = page()
        .iter()
        .filter(|question| question.reason.is_none())
        .filter_map(|question| answers(question, folder.path()).err().map(|why| (question.number, why)))
        .map(|(number, why)| format!("question {number}: {why}"))
        .collect();
    assert!(amiss.is_empty(), "{}", amiss.join("\n\n"));
}

/// The README tells some of the questions by the same commands and sentences, so they are run here too.
#[test]
fn the_readme_tells_them_alike() {
    let readme = fs::read_to_string(project().join("README.md")).unwrap();
    let start = readme.find("## Three questions").unwrap();
    let told = readme[start..].lines().skip(1).take_while(|line| !line.starts_with("## "));
    let answered: Vec<Question> = page().into_iter().filter(|question| question.reason.is_none()).collect();
    let mut found = 0;
    for line in told {
        let known = if let Some(sentence) = line.strip_prefix("> ") {
            answered.iter().any(|question| question.sentences.iter().any(|s| s == sentence))
        } else if line.starts_with("pullmap ") {
            found += 1;
            answered.iter().any(|question| question.commands.iter().any(|c| c == line))
        } else {
            continue;
        };
        assert!(known, "docs/questions.md does not hold `{line}`");
    }
    assert_eq!(found, 4, "three questions, and the one above all");
}

#[test]
fn a_sentence_that_is_not_printed_is_noticed() {
    let page = "## 1. What metals are there?\n```sh\npullmap materials\n```\n> 8090-T6 unobtainium\n";
    let folder = tempdir().unwrap();
    let [question] = &questions(page)[..] else { panic!("one question") };
    assert!(answers(question, folder.path()).unwrap_err().contains("does not print"));
}
