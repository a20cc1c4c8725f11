//! A question about one model: the model, and what is left behind when it is answered. The same for every command that answers
//! one with a picture and a document.

use super::files::{Files, folder_of, json_of};
use crate::args::QuestionArguments;
use crate::failure::{Failure, Outcome};
use crate::output::print;
use crate::progress::Progress;
use crate::source;
use report::steps;
use serde::Serialize;
use solver::system::SystemSettings;
use std::path::PathBuf;
use study::model::{Model, Source};
use viz::Drawing;

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// A model that is asked about.
pub struct Question<'a> {
    /// Its text.
    pub source: Source,
    /// The model, with what was set.
    pub model: Model,
    arguments: &'a QuestionArguments,
    folder: PathBuf,
}

/// The short name of a model and the hash of its inputs, as they stand on a picture.
type OnPicture<'a> = (&'a str, &'a str);

impl<'a> Question<'a> {
    /// Reads the model, and checks the folder before anything is computed for it.
    ///
    /// # Errors
    /// The model has mistakes, or the folder cannot be used.
    pub fn read(arguments: &'a QuestionArguments) -> Result<Self, Failure> {
        let source = source::find(&arguments.model)?;
        let model = source.model(&arguments.change.set)?;
        let folder = folder_of(arguments.out.as_deref(), &source.stem, false);
        if !arguments.json {
            Files::check(&folder)?;
        }
        Ok(Self { source, model, arguments, folder })
    }

    /// Prints the document, or writes it beside its picture under the name of the command and prints the answer. `picture` is given
    /// the model's name and hash, what was set, and the size in pixels.
    ///
    /// # Errors
    /// The picture cannot be made, or a file not be written.
    pub fn answer(
        &self,
        command: &str,
        progress: &Progress,
        document: &impl Serialize,
        picture: impl FnOnce(OnPicture<'_>, &[(String, String)], [u32; 2]) -> Drawing,
        words: &str,
    ) -> Result<Outcome, Failure> {
        let json = json_of(document)?;
        if self.arguments.json {
            progress.done();
            print(&json)?;
            return Ok(Outcome::Done);
        }
        let mut files = Files::new(self.folder.clone())?;
        progress.say(steps::PICTURE);
        let hash = self.model.inputs_hash(&SystemSettings::default());
        let drawing = picture((&self.source.stem, &hash), &self.arguments.change.set, PICTURE);
        files.drawing(command, &drawing)?;
        files.text(&format!("{command}.json"), &json)?;
        progress.done();
        files.print_with(words)?;
        Ok(Outcome::Done)
    }
}
