//! What a command leaves in its folder, and the lines that say so: the same for every answer with a picture.

use crate::failure::Failure;
use crate::output::{Existing, check_folder, make_folder, print, write_file};
use report::caution::CAUTION;
use report::program::files::written;
use serde::Serialize;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use viz::{Drawing, PictureError};

/// A drawing as PNG and as SVG.
#[derive(Debug)]
pub struct Rendered {
    png: Vec<u8>,
    svg: String,
    /// Letters that the PNG leaves out.
    lacking: BTreeSet<char>,
}

/// Renders a drawing.
///
/// # Errors
/// The picture cannot be made.
pub fn rendered(drawing: &Drawing) -> Result<Rendered, PictureError> {
    let (png, svg) = rayon::join(|| drawing.to_png(), || drawing.to_svg());
    Ok(Rendered { png: png?, svg: svg?, lacking: drawing.lacking() })
}

/// Numbers as JSON with a line feed at the end.
///
/// # Errors
/// JSON cannot hold them.
pub fn json_of(numbers: &(impl Serialize + ?Sized)) -> Result<String, Failure> {
    Ok(serde_json::to_string_pretty(numbers).map_err(Failure::json)? + "\n")
}

/// Where the files of a model go: what `--out` says, or a folder of the model's name; with several models each has one.
#[must_use]
pub fn folder_of(out: Option<&Path>, stem: &str, several: bool) -> PathBuf {
    match out {
        None => Path::new("pullmap-out").join(stem),
        Some(out) if several => out.join(stem),
        Some(out) => out.to_owned(),
    }
}

/// The files of one answer.
#[derive(Debug)]
pub struct Files {
    folder: PathBuf,
    names: Vec<String>,
    lacking: BTreeSet<char>,
}

impl Files {
    /// Files in this folder, which is made where needed: one that cannot be is told before a picture is drawn.
    ///
    /// # Errors
    /// The folder cannot be made.
    pub fn new(folder: PathBuf) -> Result<Self, Failure> {
        make_folder(&folder)?;
        Ok(Self { folder, names: Vec::new(), lacking: BTreeSet::new() })
    }

    /// Checks that files could be put into a folder, before anything is computed for them.
    ///
    /// # Errors
    /// They could not.
    pub fn check(folder: &Path) -> Result<(), Failure> {
        Ok(check_folder(folder)?)
    }

    /// The folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Writes a text, or puts it in the place of the one that is there.
    ///
    /// # Errors
    /// It cannot be written.
    pub fn text(&mut self, name: &str, text: &str) -> Result<(), Failure> {
        self.bytes(name, text.as_bytes())
    }

    /// Writes a file of these bytes, or puts them in the place of the one that is there.
    ///
    /// # Errors
    /// It cannot be written.
    pub fn bytes(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        write_file(&self.folder.join(name), bytes, Existing::Replace)?;
        self.also(name);
        Ok(())
    }

    /// Writes `stem.png` and `stem.svg`.
    ///
    /// # Errors
    /// They cannot be written.
    pub fn picture(&mut self, stem: &str, rendered: &Rendered) -> Result<(), Failure> {
        let name = format!("{stem}.png");
        write_file(&self.folder.join(&name), &rendered.png, Existing::Replace)?;
        self.also(&name);
        self.lacking.extend(&rendered.lacking);
        self.text(&format!("{stem}.svg"), &rendered.svg)
    }

    /// Renders a drawing and writes it as `stem.png` and `stem.svg`.
    ///
    /// # Errors
    /// The picture cannot be made, or the files not be written.
    pub fn drawing(&mut self, stem: &str, drawing: &Drawing) -> Result<(), Failure> {
        self.picture(stem, &rendered(drawing)?)
    }

    /// Tells of a file that was written otherwise.
    pub fn also(&mut self, name: &str) {
        self.names.push(name.to_owned());
    }

    /// "Written to DIR: a.png, a.svg" on a line; before it, once, which letters a PNG leaves out.
    #[must_use]
    pub fn told(&self) -> String {
        written(self.folder.display(), &self.names, &self.lacking)
    }

    /// Prints the answer, what was written, and the line of caution.
    ///
    /// # Errors
    /// The standard output fails.
    pub fn print_with(&self, answer: &str) -> Result<(), Failure> {
        print(&format!("{answer}{}{CAUTION}\n", self.told()))?;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_file_is_named_in_the_order_of_writing() {
        let folder = tempfile::tempdir().unwrap();
        let mut files = Files::new(folder.path().join("a/b")).unwrap();
        let rendered = |lacking: &str| Rendered {
            png: vec![1, 2],
            svg: "<svg/>".to_owned(),
            lacking: lacking.chars().collect(),
        };
        files.picture("map", &rendered("")).unwrap();
        files.text("findings.json", "{}\n").unwrap();
        let told = files.told();
        assert!(
            told.starts_with("Written to ") && told.ends_with(": map.png, map.svg, findings.json\n"),
            "{told}"
        );
        files.picture("map", &rendered("Жa")).unwrap();
        assert!(
            files.told().starts_with("Note: the font of the pictures has no `a`, `Ж`: PNG"),
            "{}",
            files.told()
        );
        for name in ["map.png", "map.svg", "findings.json"] {
            assert!(folder.path().join("a/b").join(name).is_file(), "{name}");
        }
    }

    #[test]
    fn each_of_several_models_has_a_folder() {
        let out = Some(Path::new("day"));
        assert_eq!(folder_of(None, "oval", false), Path::new("pullmap-out/oval"));
        assert_eq!(folder_of(out, "oval", false), Path::new("day"));
        assert_eq!(folder_of(out, "oval", true), Path::new("day/oval"));
    }
}
