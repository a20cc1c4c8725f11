//! The model file as a whole: what resolves, and what is found wrong with what does not.

mod measured;
mod mistakes;
mod sets;
mod values;

use super::*;

/// A small model in which every line is known. Line numbers in the tests count from the first.
pub(crate) const BASE: &str = include_str!("base.toml");

pub(crate) fn resolved(text: &str) -> Model {
    Source::of("base.toml", text).model(&[]).unwrap_or_else(|errors| panic!("{errors}"))
}

fn set(key: &str, value: &str) -> (String, String) {
    (key.to_owned(), value.to_owned())
}

/// One of the models that come with the program.
fn of_the_program(name: &str) -> Source {
    let path = format!("{}/../models/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    Source::of(&format!("{name}.toml"), &std::fs::read_to_string(path).unwrap())
}
