//! What stands in a logbook.

use crate::args::{LogListArguments, LogShowArguments};
use crate::commands::files::json_of;
use crate::failure::{Failure, Outcome};
use crate::output::{Existing, print, write_file};
use lab::logbook::{Filter, Logbook, NamedFile};
use report::caution::CAUTION;
use report::logbook::{
    ListDocument, ShowDocument, list as table, none_readable, nothing_kept, show as whole,
};
use report::program::files::one_written;
use std::path::Path;

/// Lists pulls.
///
/// # Errors
/// There is no logbook, or it cannot be read, or none of its pulls can.
pub fn list(logbook: &Path, arguments: &LogListArguments) -> Result<Outcome, Failure> {
    let filter = Filter { withdrawn: arguments.withdrawn, ..arguments.filter.filter() };
    let open = Logbook::read(logbook)?;
    let (pulls, unreadable) = open.readable(&filter)?;
    if !unreadable.is_empty() && pulls.is_empty() {
        return Err(Failure::Log(none_readable(&unreadable)));
    }
    let hidden = if arguments.withdrawn {
        0
    } else {
        let all = open.readable(&Filter { withdrawn: true, ..filter })?.0;
        all.len() - pulls.len()
    };
    print(&match arguments.json {
        true => json_of(&ListDocument::new(&pulls, &unreadable, hidden))?,
        false => format!("{}{CAUTION}\n", table(&pulls, &unreadable, hidden)),
    })?;
    Ok(Outcome::Done)
}

/// Shows a pull, and writes what is kept of it where that is asked for.
///
/// # Errors
/// There is no such pull, the logbook cannot be read, or a file cannot be written.
pub fn show(logbook: &Path, arguments: &LogShowArguments) -> Result<Outcome, Failure> {
    let open = Logbook::read(logbook)?;
    let pull = open.pull(arguments.number)?;
    let trace = pull.now.pulled.as_ref().and_then(|pulled| pulled.trace.as_ref());
    let files = [
        (&arguments.save_trace, trace, "--save-trace"),
        (&arguments.save_model, pull.now.plan.model.as_ref(), "--save-model"),
    ];
    let mut written = String::new();
    for (path, file, option) in files {
        let Some(path) = path else { continue };
        let hash = file.and_then(|NamedFile { sha256, .. }| sha256.as_deref());
        let hash = hash.ok_or_else(|| Failure::Log(nothing_kept(option, arguments.number)))?;
        write_file(path, &open.content(hash)?, Existing::Keep)?;
        written.push_str(&one_written(path.display()));
    }
    print(&match arguments.json {
        true => json_of(&ShowDocument::new(&pull))?,
        false => format!("{}{written}{CAUTION}\n", whole(&pull)),
    })?;
    Ok(Outcome::Done)
}
