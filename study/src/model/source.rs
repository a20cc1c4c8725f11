//! The text of a model, and what to call it.

use super::checked::{Model, Taken};
use super::mistake::{ModelErrors, ModelMistake, Problem};
use super::raw::{self, Place, Table};
use super::{resolve, set, unquoted};
use std::path::Path;

/// Where a model comes from, before it is read: its text, and what to call it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// What messages call it: the path as given, or `oval (built in)`.
    pub file: String,
    /// Its short name, for folders and for a missing title: `oval`.
    pub stem: String,
    /// The text.
    pub text: String,
}

impl Source {
    /// A text under the name of a file, whose short name is the file's without its ending.
    #[must_use]
    pub fn of(file: &str, text: &str) -> Self {
        let stem = Path::new(file).file_stem().map_or(file.into(), |stem| stem.to_string_lossy());
        Self { file: file.to_owned(), stem: stem.into_owned(), text: text.to_owned() }
    }

    /// Parses the text and puts the sets over it: the values, the sets that cannot be applied, and what was taken for
    /// what they leave untold.
    fn table(
        &self,
        sets: &[(String, String)],
    ) -> Result<(Table, Vec<ModelMistake>, Vec<Taken>), ModelErrors> {
        let mut table = raw::parse(&self.text).map_err(|mistakes| {
            let lines: Vec<&str> = self.text.lines().collect();
            ModelErrors(
                mistakes
                    .into_iter()
                    .map(|mistake| {
                        let line = lines.get(mistake.line - 1).copied().unwrap_or_default();
                        let (problem, hint) = match unquoted::unquoted(line) {
                            Some(told) => told,
                            None => (Problem::NotToml(mistake.syntax), None),
                        };
                        let place = Place::Line(mistake.line);
                        ModelMistake { file: self.file.clone(), place, key: String::new(), problem, hint }
                    })
                    .collect(),
            )
        })?;
        let set::Applied { refused, taken } = set::apply(&mut table, sets);
        let refused = refused
            .into_iter()
            .map(|refused| ModelMistake {
                file: self.file.clone(),
                place: refused.place,
                key: refused.key,
                problem: refused.problem,
                hint: refused.hint,
            })
            .collect();
        Ok((table, refused, taken))
    }

    /// The checked model.
    ///
    /// `sets`: keys and values that take the place of the file's, later ones over earlier ones.
    ///
    /// # Errors
    /// Every mistake there is, in the order of the file's lines, those of `sets` last.
    pub fn model(&self, sets: &[(String, String)]) -> Result<Model, ModelErrors> {
        let (table, mut mistakes, taken) = self.table(sets)?;
        let resolved = resolve::resolve(&table, &self.file, &self.stem);
        match resolved {
            Ok(mut model) if mistakes.is_empty() => {
                model.taken.extend(taken);
                Ok(model)
            }
            Ok(_) => Err(ModelErrors(set::as_typed(mistakes))),
            Err(ModelErrors(more)) => {
                mistakes.extend(more);
                mistakes.sort_by(|a, b| a.place.cmp(&b.place));
                Err(ModelErrors(set::as_typed(mistakes)))
            }
        }
    }
}
