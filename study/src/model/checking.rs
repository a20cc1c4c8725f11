//! From the text of a model, and what is put over its values, to the checked model. Whoever makes a model comes through here,
//! and through every check.

use super::checked::Model;
use super::mistake::{ModelErrors, ModelMistake, Problem};
use super::raw::{self, Place, Table};
use super::source::Source;
use super::to::{Set, To};
use super::told::{Told, marked_lines};
use super::{resolve, set, unquoted};
use std::sync::Arc;

impl Source {
    /// The model as it is told here, with values that take the place of the file's, later ones over earlier ones.
    ///
    /// # Errors
    /// Every place where the text is not TOML.
    pub fn told(&self, sets: &[(String, String)]) -> Result<Told, ModelErrors> {
        Told::read(self, set::typed(sets))
    }

    /// The checked model, likewise.
    ///
    /// # Errors
    /// Every mistake there is, in the order of the file's lines, those of `sets` last.
    pub fn model(&self, sets: &[(String, String)]) -> Result<Model, ModelErrors> {
        self.told(sets)?.model()
    }
}

impl Told {
    /// Reads a text, and keeps the sets that take the place of its values, later ones over earlier ones.
    ///
    /// # Errors
    /// Every place where the text is not TOML.
    pub fn read(source: &Source, sets: Vec<Set>) -> Result<Self, ModelErrors> {
        let Source { file, stem, text } = source;
        let table = raw::parse(text).map_err(|mistakes| {
            let lines: Vec<&str> = text.lines().collect();
            let told = mistakes.into_iter().map(|mistake| {
                let line = lines.get(mistake.line - 1).copied().unwrap_or_default();
                let (problem, hint) = match unquoted::unquoted(line) {
                    Some(told) => told,
                    None => (Problem::NotToml(mistake.syntax), None),
                };
                let place = Place::Line(mistake.line);
                ModelMistake { file: file.clone(), place, key: String::new(), problem, hint, range: None }
            });
            ModelErrors(told.collect())
        })?;
        let marked = Arc::new(marked_lines(text));
        Ok(Self { file: file.clone(), stem: stem.clone(), table: Arc::new(table), marked, sets })
    }

    /// The checked model.
    ///
    /// # Errors
    /// Every mistake there is, in the order of the file's lines, those of the sets last.
    pub fn model(&self) -> Result<Model, ModelErrors> {
        let mut table = Table::clone(&self.table);
        let set::Applied { refused, taken } = set::apply(&mut table, &self.sets);
        let mut mistakes: Vec<ModelMistake> = refused
            .into_iter()
            .map(|refused| ModelMistake {
                file: self.file.clone(),
                place: refused.place,
                key: refused.key,
                problem: refused.problem,
                hint: refused.hint,
                range: None,
            })
            .collect();
        match resolve::resolve(&table, self) {
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

impl Model {
    /// The model with other numbers, in the base units of their keys, put over what it was told by: whatever follows from them
    /// follows again, and every check is made. What was changed in its fields since it was read is not in it.
    ///
    /// # Errors
    /// A number out of its range, or one that fits no other.
    pub fn with_numbers(&self, numbers: &[(&str, f64)]) -> Result<Self, ModelErrors> {
        let told = self.told.with(numbers.iter().map(|(key, value)| ((*key).to_owned(), To::Number(*value))));
        let model = told.model()?.with_constants(&self.constants);
        Ok(Self { calibration: self.calibration.clone(), ..model })
    }
}
