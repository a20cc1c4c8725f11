//! Model files as hands and accidents break them, from text to outline to mesh: each is read or refused in words, and what is
//! read has an outline and a mesh, or is refused in words. Cases that once failed are kept in `proptest-regressions`.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::source::builtin;
use geometry::mesh::MeshError;
use proptest::prelude::*;
use pullmap_tests::refusals::is_borne_out;
use pullmap_tests::trial::extent;
use solver::system::{System, SystemError, SystemSettings};
use study::model::Source;

const MODELS: [&str; 5] = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"];

/// What happens to a line.
#[derive(Clone, Debug)]
enum Edit {
    /// It is lost.
    Lost,
    /// It stands twice.
    Twice,
    /// Its number becomes another.
    Number(f64),
    /// Its number is made so many times larger or smaller.
    Times(f64),
    /// Its value becomes this text.
    Value(String),
    /// It is cut off.
    Cut(usize),
    /// A letter comes in.
    Letter(usize, char),
}

fn edit() -> impl Strategy<Value = Edit> {
    prop_oneof![
        1 => Just(Edit::Lost),
        1 => Just(Edit::Twice),
        4 => (-200.0..200.0).prop_map(Edit::Number),
        8 => (0.5..2.0).prop_map(Edit::Times),
        1 => prop_oneof![Just(0.0), Just(-1.0), Just(1e-12), Just(1e300), Just(f64::NAN)].prop_map(Edit::Number),
        2 => "[0-9a-z.,/\"' −½{}=-]{0,12}".prop_map(Edit::Value),
        1 => (0..40_usize).prop_map(Edit::Cut),
        1 => (0..40_usize, any::<char>()).prop_map(|(at, letter)| Edit::Letter(at, letter)),
    ]
}

fn edited(line: &str, edit: &Edit) -> String {
    let at = |places: usize| line.char_indices().nth(places).map_or(line.len(), |(at, _)| at);
    let value = |new: &dyn Fn(&str) -> String| match line.split_once('=') {
        Some((key, value)) => format!("{key}= {}", new(value.split('#').next().unwrap_or_default().trim())),
        None => line.to_owned(),
    };
    match edit {
        Edit::Lost => String::new(),
        Edit::Twice => format!("{line}\n{line}"),
        Edit::Number(number) => value(&|_| format!("{number:?}")),
        Edit::Times(times) => value(&|old| {
            old.parse::<f64>().map_or_else(|_| old.to_owned(), |number| format!("{:?}", times * number))
        }),
        Edit::Value(text) => value(&|_| text.clone()),
        Edit::Cut(places) => line[..at(*places)].to_owned(),
        Edit::Letter(places, letter) => {
            let at = at(*places);
            format!("{}{letter}{}", &line[..at], &line[at..])
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: extent(200, 600), ..ProptestConfig::default() })]

    #[test]
    fn a_broken_file_is_read_or_refused_in_words(
        model in 0..MODELS.len(),
        edits in prop::collection::vec((0..60_usize, edit()), 1..5),
    ) {
        let mut lines: Vec<String> = builtin::find(MODELS[model]).unwrap().lines().map(str::to_owned).collect();
        for (line, edit) in &edits {
            let line = line % lines.len();
            lines[line] = edited(&lines[line], edit);
        }
        let text = lines.join("\n");
        let model = match Source::of("broken.toml", &text).model(&[]) {
            Ok(model) => model,
            Err(errors) => {
                prop_assert!(!errors.0.is_empty());
                for mistake in &errors.0 {
                    let words = report::mistakes::mistake(mistake);
                    prop_assert!(words.starts_with("broken.toml") && words.len() < 1000, "{}", words);
                }
                return Ok(());
            }
        };
        // Coarse meshes are quick, and meet narrow places first.
        let settings = SystemSettings { mesh_size_mm: Some(4.0), ..SystemSettings::default() };
        match System::try_new(&model.connector, model.rig.gate.place(), &model.materials, &settings) {
            Ok(system) => prop_assert!(system.unknowns() < 100_000, "{} unknowns", system.unknowns()),
            Err(SystemError::Outline(reasons)) => {
                prop_assert!(!reasons.is_empty() && reasons.iter().all(is_borne_out), "{:?}", reasons);
            }
            Err(SystemError::Mesh { reason, .. }) => {
                prop_assert!(matches!(reason, MeshError::Crossing { .. }), "{}\n{}", reason, text);
            }
            Err(other) => prop_assert!(false, "{}\n{}", other, text),
        }
    }
}
