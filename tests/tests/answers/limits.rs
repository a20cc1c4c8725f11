//! Every key at its limits: where a value begins to be refused, and where a piece of the outline vanishes, a hair either way
//! solves or is refused in words that name a key. Never the words of the mesher.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::source::builtin;
use geometry::outline::Outline;
use pullmap_tests::trial::{extent, has_turn};
use rayon::prelude::*;
use report::{building, mistakes};
use solver::system::SystemSettings;
use study::model::keys;
use study::model::{Model, Source, To, raw, set};
use study::{Engine, map};

const MODELS: [&str; 5] = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"];
/// Steps in which a key's range is searched for values from which on it is refused.
const STEPS: u32 = 48;
/// How far beside a limit, mm, degrees or kN; the limit itself first.
const BESIDE: [f64; 5] = [0.0, 1e-12, -1e-12, 1e-9, -1e-9];

/// A value, and how far beside it is asked as well.
type Turn = (f64, &'static [f64]);

/// What becomes of a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fate {
    RefusedByTheFile,
    RefusedByTheOutline,
    Solved,
}

struct Trial<'a> {
    text: &'a str,
    key: &'a str,
}

impl Trial<'_> {
    fn model(&self, value: f64) -> Result<Model, String> {
        let sets = [(self.key.to_owned(), format!("{value:?}"))];
        Source::of("model.toml", self.text).model(&sets).map_err(|e| mistakes::errors(&e))
    }

    /// The same value in the file itself.
    fn model_of_file(&self, value: f64) -> Result<Model, String> {
        let mut table = raw::parse(self.text).unwrap();
        set::apply(&mut table, &[(self.key.to_owned(), To::Typed(format!("{value:?}")))]);
        let lines = table.iter().map(|(key, entry)| format!("{key} = {}\n", entry.value.to_toml()));
        Source::of("model.toml", &lines.collect::<String>()).model(&[]).map_err(|e| mistakes::errors(&e))
    }

    fn fate(&self, value: f64) -> Fate {
        match self.model(value) {
            Err(_) => Fate::RefusedByTheFile,
            Ok(model) => {
                let place = model.rig.gate.place();
                match Outline::try_new(&model.connector, place) {
                    Ok(_) => Fate::Solved,
                    Err(_) => Fate::RefusedByTheOutline,
                }
            }
        }
    }

    /// Values where the fate turns, to the last digit, each with how far beside it is asked as well: of two that are neighbours among
    /// all numbers only the first has others beside it, which are those beside the second.
    fn turns(&self, [low, high]: [f64; 2]) -> Vec<Turn> {
        let at = |i: u32| low + (high - low) * f64::from(i) / f64::from(STEPS);
        let mut found = vec![(low, &BESIDE[..]), (high, &BESIDE[..])];
        let mut before = self.fate(low);
        for i in 1..=STEPS {
            let after = self.fate(at(i));
            if after != before {
                let (mut a, mut b) = (at(i - 1), at(i));
                for _ in 0..60 {
                    let middle = 0.5 * (a + b);
                    if self.fate(middle) == before { a = middle } else { b = middle }
                }
                found.extend([(a, &BESIDE[..]), (b, &BESIDE[..1])]);
            }
            before = after;
        }
        found
    }

    /// What is wrong with what the program says of a value; nothing where it solves or refuses in words.
    fn wrong(&self, engine: &Engine, value: f64) -> Option<String> {
        let (by_set, by_file) = (self.model(value), self.model_of_file(value));
        if by_set.is_ok() != by_file.is_ok() {
            return Some(format!("{by_set:?} by a set, {by_file:?} in the file"));
        }
        let model = match by_set {
            Err(words) => return is_no_answer(&words).then_some(words),
            Ok(model) => model,
        };
        let settings = SystemSettings { mesh_size_mm: Some(3.0), ..SystemSettings::default() };
        let words = building::case(&map::solve(engine, &model.case(settings), &|_| ()).err()?);
        is_no_answer(&words).then_some(words)
    }
}

/// True for words that name no key, or are those of the mesher.
fn is_no_answer(words: &str) -> bool {
    let of_the_mesher =
        ["could not be meshed", "next piece", "no length", "triangle"].iter().any(|w| words.contains(w));
    let a_way = ["allowed", "no meaning"].iter().any(|w| words.contains(w));
    of_the_mesher || !a_way || !keys::all().iter().any(|key| words.contains(&key.path))
}

#[test]
fn a_hair_beside_a_limit_solves_or_is_refused_in_words() {
    let mut cases: Vec<(&str, &str, Turn)> = Vec::new();
    for (of_model, name) in MODELS.into_iter().enumerate() {
        let text = builtin::find(name).unwrap();
        let found: Vec<_> = keys::all()
            .par_iter()
            .enumerate()
            .filter(|(i, key)| has_turn(*i, of_model, MODELS.len()) && !key.path.starts_with("material."))
            .flat_map_iter(|(_, key)| {
                let Some(range) = key.kind.range() else { return Vec::new() };
                Trial { text, key: &key.path }
                    .turns(range)
                    .into_iter()
                    .map(|v| (name, key.path.as_str(), v))
                    .collect()
            })
            .collect();
        cases.extend(found);
    }
    assert!(cases.len() > extent(160, 800), "{}", cases.len());
    // Values of a rig's key share one system.
    let engine = &Engine::default();
    let wrong: Vec<String> = cases
        .par_iter()
        .flat_map_iter(|(name, key, (value, asked))| {
            let trial = Trial { text: builtin::find(name).unwrap(), key };
            asked.iter().filter_map(move |beside| {
                let value = value + beside;
                trial.wrong(engine, value).map(|words| format!("{name} {key}={value:?}: {words}"))
            })
        })
        .collect();
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}
