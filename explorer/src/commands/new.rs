//! `pullmap new`: a form to fill in.

use crate::args::NewArguments;
use crate::failure::{Failure, Outcome};
use crate::output::{Existing, OutputError, print, write_file};
use crate::source;
use report::keys::template;
use report::program::files::{UNTITLED, form_written};

/// The model whose numbers stand in a form that was not asked to be like any model in particular.
const PLAIN: &str = "broadbar-alu";

/// Writes the form, and says what to do with it.
///
/// # Errors
/// The model to start from has mistakes, the file exists and `--force` is not given, or it cannot be written.
pub fn run(arguments: &NewArguments) -> Result<Outcome, Failure> {
    write(arguments)?;
    print(&form_written(arguments.file.display(), &arguments.like))?;
    Ok(Outcome::Done)
}

fn write(arguments: &NewArguments) -> Result<(), Failure> {
    let source = source::find(&arguments.like)?;
    let title = (arguments.like == PLAIN).then_some(UNTITLED);
    let text = template::form(&source, title)?;
    let existing = if arguments.force { Existing::Replace } else { Existing::Keep };
    write_file(&arguments.file, text.as_bytes(), existing).map_err(|error| match error {
        OutputError::Exists { .. } => Failure::NeedsForce(error),
        other => Failure::Output(other),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{builtin, load, load_argument};
    use std::path::Path;

    fn new(file: &Path, like: &str, force: bool) -> Result<(), Failure> {
        write(&NewArguments { file: file.to_owned(), like: like.to_owned(), force })
    }

    #[test]
    fn a_form_gives_the_model_again() {
        let folder = tempfile::tempdir().unwrap();
        for (name, _) in builtin::MODELS {
            let file = folder.path().join(format!("{name}.toml"));
            new(&file, name, false).unwrap();
            let mut expected = load_argument(name, &[]).unwrap();
            if name == PLAIN {
                expected.title = UNTITLED.to_owned();
            }
            assert_eq!(load(&file, &[]).unwrap(), expected);
        }
    }

    #[test]
    fn a_material_of_ones_own_survives() {
        let folder = tempfile::tempdir().unwrap();
        let (mine, copy) = (folder.path().join("mine.toml"), folder.path().join("copy.toml"));
        let text = builtin::find("oval").unwrap().replace(
            "frame = \"7075-t6\"",
            "frame = { name = \"X\", youngs_modulus_mpa = \"70 GPa\", poisson_ratio = 0.33, yield_mpa = 300, \
             ultimate_mpa = { between = [340, 360] }, density_g_cm3 = 2.7, source = \"a tensile bar\" }",
        );
        std::fs::write(&mine, text).unwrap();
        new(&copy, mine.to_str().unwrap(), false).unwrap();
        assert_eq!(load(&copy, &[]).unwrap(), load(&mine, &[]).unwrap());
        assert_eq!(load(&copy, &[]).unwrap().materials.frame.shear_ultimate_mpa, 0.6 * 350.0);
    }

    #[test]
    fn nothing_is_overwritten_without_force() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("mine.toml");
        std::fs::write(&file, "my notes").unwrap();
        let refused = new(&file, "oval", false).unwrap_err();
        assert!(
            refused.to_string().ends_with(
                "exists already and is left as it is\n  hint: choose another name, or add --force"
            )
        );
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "my notes");
        new(&file, "oval", true).unwrap();
        assert!(std::fs::read_to_string(&file).unwrap().contains("[window]"));
    }
}
