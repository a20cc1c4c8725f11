//! `pullmap verify`: published problems, solved again.

use crate::args::VerifyArguments;
use crate::failure::{Failure, Outcome};
use crate::output::{Existing, check_folder, make_folder, print, write_file};
use crate::progress::Progress;
use crate::verification::{Verified, as_json, page, table, verify};
use report::program::files::one_written;
use report::steps;

/// Runs the published problems.
///
/// # Errors
/// The page cannot be drawn or written.
pub fn run(arguments: &VerifyArguments) -> Result<Outcome, Failure> {
    let progress = Progress::new("verify");
    if !arguments.json {
        check_folder(&arguments.out)?;
    }
    progress.say(steps::PROBLEMS);
    let all = verify();
    progress.done();
    if arguments.json {
        print(&(serde_json::to_string_pretty(&as_json(&all)).map_err(Failure::json)? + "\n"))?;
    } else {
        make_folder(&arguments.out)?;
        let path = arguments.out.join("verification.html");
        write_file(&path, page(&all)?.as_bytes(), Existing::Replace)?;
        print(&(table(&all) + &one_written(path.display())))?;
    }
    Ok(if all.iter().all(Verified::passes) { Outcome::Done } else { Outcome::LimitExceeded })
}
