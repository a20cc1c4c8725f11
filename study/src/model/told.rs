//! A model as it was told: the values of its text, read once, and what was put over them. Other values may be put over it as
//! often as wanted, each time through every check.

use super::checked::Model;
use super::mistake::{ModelErrors, ModelMistake, Problem};
use super::raw::{self, Place, Table};
use super::set::Set;
use super::source::Source;
use super::{resolve, set, unquoted};
use std::sync::Arc;

/// A model as it was told.
#[derive(Clone, Debug)]
pub struct Told {
    /// What messages call the file.
    pub(super) file: String,
    /// Its short name.
    pub(super) stem: String,
    /// The values of the text, without the sets.
    pub(crate) table: Arc<Table>,
    /// What takes their place, later ones over earlier ones.
    pub(crate) sets: Vec<Set>,
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
                ModelMistake { file: file.clone(), place, key: String::new(), problem, hint }
            });
            ModelErrors(told.collect())
        })?;
        Ok(Self { file: file.clone(), stem: stem.clone(), table: Arc::new(table), sets })
    }

    /// The same with further sets over those it has.
    #[must_use]
    pub fn with(&self, sets: impl IntoIterator<Item = Set>) -> Self {
        let mut told = self.clone();
        told.sets.extend(sets);
        told
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
