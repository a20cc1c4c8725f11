//! What a reader must know about the values of the variants, each note once.

use super::compared::Compared;
use super::variant::VariantName;
use crate::model::{Model, Note, Taken};
use solver::rig::GateState;

/// A note, and of which variant it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoteOf<'a> {
    /// The variant; `None` where the note is of all models, and where one model's key varies.
    pub variant: Option<&'a VariantName>,
    /// The note.
    pub note: Note<'a>,
}

impl<E> Compared<E> {
    /// The notes of all variants, each once.
    #[must_use]
    pub fn notes(&self) -> Vec<NoteOf<'_>> {
        self.each_once(Model::notes)
    }

    /// Of these, what was taken because a set left it untold, or is told to no purpose: no rig says it.
    #[must_use]
    pub fn taken(&self) -> Vec<NoteOf<'_>> {
        self.each_once(|model| model.taken.iter().copied().map(Note::Taken).collect())
    }

    /// Each note once. What plays no part in one variant and does in another is no news.
    fn each_once<'a>(&'a self, of: impl Fn(&'a Model) -> Vec<Note<'a>>) -> Vec<NoteOf<'a>> {
        let half = self.variants.iter().any(|v| matches!(v.model.rig.gate, GateState::Half { .. }));
        let each: Vec<Vec<Note<'a>>> = self.variants.iter().map(|variant| of(&variant.model)).collect();
        let mut all: Vec<NoteOf<'a>> = Vec::new();
        for (variant, notes) in self.variants.iter().zip(&each) {
            for note in notes.iter().filter(|note| !(half && **note == Note::Taken(Taken::IdleEngaged))) {
                let of_all = each.iter().all(|notes| notes.contains(note));
                let variant = Some(&variant.name).filter(|_| self.key.is_none() && !of_all);
                let told = NoteOf { variant, note: *note };
                if !all.contains(&told) {
                    all.push(told);
                }
            }
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::super::{asked, solve};
    use super::*;
    use crate::Engine;
    use crate::model::Source;
    use crate::model::misfit::LoaderKind;
    use solver::system::SystemSettings;
    use std::convert::Infallible;

    const BASE: &str = include_str!("../model/tests/base.toml");

    /// Models by name: "half" is told with its gate half shut, "bars" with its bench bars, any other without a rig.
    fn compared(models: &[&str], sets: &[(&str, &str)], vary: Option<(&str, &str)>) -> Compared<Infallible> {
        let typed = |(key, value): (&str, &str)| (key.to_owned(), value.to_owned());
        let models: Vec<String> = models.iter().map(|model| (*model).to_owned()).collect();
        let sets: Vec<(String, String)> = sets.iter().copied().map(typed).collect();
        let find = |model: &str| {
            let rig = match model {
                "half" => "[rig]\ngate = 'half'\nengaged_mm = 2\n",
                "bars" => {
                    "[rig]\nupper = { kind = 'bar', diameter_mm = 10 }\nlower = { kind = 'bar', diameter_mm = 10 }\n"
                }
                _ => "",
            };
            Ok(Source::of(model, &format!("{BASE}{rig}")))
        };
        let asked = asked(&models, &sets, vary.map(typed).as_ref(), &find).unwrap();
        let mesh = SystemSettings { unknowns: 3000.0, ..SystemSettings::default() };
        solve(asked, &Engine::default(), &mesh).unwrap()
    }

    #[test]
    fn a_note_of_one_model_names_it_and_one_of_all_or_of_a_value_does_not() {
        let bars = Note::Taken(Taken::Size { kind: LoaderKind::Bar, end: None, size_mm: 12.0 });
        let told = compared(&["base"], &[], Some(("rig.gate", "closed,half")));
        assert_eq!(told.taken(), [NoteOf { variant: None, note: Note::Taken(Taken::HalfEngaged) }]);
        let told = compared(&["base", "other"], &[("rig.both.kind", "bar")], None);
        assert_eq!(told.taken(), [NoteOf { variant: None, note: bars }]);
        assert_eq!(told.notes(), told.taken());
        let told = compared(&["base", "bars"], &[("rig.both.kind", "bar")], None);
        let base = VariantName::Model("base".to_owned());
        assert_eq!(told.taken(), [NoteOf { variant: Some(&base), note: bars }]);
    }

    #[test]
    fn a_depth_that_one_variant_uses_is_no_news_of_the_other() {
        let depth = [("rig.engaged_mm", "2")];
        let idle = Note::Taken(Taken::IdleEngaged);
        let told = compared(&["half", "base"], &depth, None);
        assert!(
            told.variants[1].model.taken.contains(&Taken::IdleEngaged),
            "{:?}",
            told.variants[1].model.taken
        );
        assert_eq!(told.taken(), []);
        let told = compared(&["base", "other"], &depth, None);
        assert_eq!(told.taken(), [NoteOf { variant: None, note: idle }]);
    }
}
