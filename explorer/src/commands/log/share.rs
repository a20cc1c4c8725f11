//! Pulls for a spreadsheet and for others.

use super::attached;
use crate::args::{LogExportArguments, LogImportArguments};
use crate::commands::files::json_of;
use crate::failure::{Failure, Outcome};
use crate::output::{Existing, OutputError, print, write_file};
use crate::recording::is_place;
use lab::logbook::package::MOST_BYTES;
use lab::logbook::{Filter, Logbook, LogbookError, Sound, table};
use report::caution::CAUTION;
use report::logbook::{
    export_format, exported, imported, is_the_logbook, left_out, none_readable, too_large,
};
use std::path::Path;

/// Writes pulls to a file.
///
/// # Errors
/// The logbook cannot be read, or the file not be written.
pub fn export(logbook: &Path, arguments: &LogExportArguments) -> Result<Outcome, Failure> {
    let file = &arguments.file;
    let ending = file.extension().and_then(|ending| ending.to_str());
    if !matches!(ending, Some("csv" | "json")) {
        return Err(Failure::Log(export_format(file.display())));
    }
    if is_the_same(logbook, file) {
        return Err(Failure::Log(is_the_logbook(file.display())));
    }
    let open = Logbook::read(logbook)?;
    let filter = arguments.filter.filter();
    let (bytes, count, unreadable) = if ending == Some("csv") {
        // A table marks what is withdrawn.
        let (pulls, unreadable) = open.readable(&Filter { withdrawn: true, ..filter })?;
        (table(&pulls, CAUTION).map_err(Failure::table)?, pulls.len(), unreadable)
    } else {
        let (package, unreadable) = open.package(&filter, CAUTION)?;
        let bytes = json_of(&package)?.into_bytes();
        if bytes.len() > MOST_BYTES {
            return Err(Failure::Log(too_large(MOST_BYTES)));
        }
        (bytes, package.pulls.len(), unreadable)
    };
    if !unreadable.is_empty() && count == 0 {
        return Err(Failure::Log(none_readable(&unreadable)));
    }
    let existing = if arguments.force { Existing::Replace } else { Existing::Keep };
    write_file(file, &bytes, existing).map_err(|error| match error {
        OutputError::Exists { .. } => Failure::NeedsForce(error),
        other => Failure::Output(other),
    })?;
    print(&format!("{}{}{CAUTION}\n", exported(count, file.display()), left_out(&unreadable)))?;
    Ok(Outcome::Done)
}

/// Whether a file is the logbook, by whatever way it is named.
fn is_the_same(logbook: &Path, file: &Path) -> bool {
    match (logbook.canonicalize(), file.canonicalize()) {
        (Ok(logbook), Ok(file)) => logbook == file,
        _ => false,
    }
}

/// Takes in a package.
///
/// # Errors
/// It cannot be read, is damaged or contradicts the logbook, or the logbook cannot be written.
pub fn import(logbook: &Path, arguments: &LogImportArguments) -> Result<Outcome, Failure> {
    let file = &arguments.file;
    let bytes = attached::package(file)?;
    let name = file.file_name().map_or_else(|| file.to_string_lossy(), |name| name.to_string_lossy());
    let sound = Sound::read(&bytes, &name, &is_place).map_err(LogbookError::Package)?;
    let done = Logbook::write(logbook)?.import(&sound)?;
    print(&format!("{}{CAUTION}\n", imported(file.display(), &done)))?;
    Ok(Outcome::Done)
}
