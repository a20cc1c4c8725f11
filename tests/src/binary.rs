//! The real binary, in a folder of its own.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// Where the binary is: `PULLMAP_BIN`, or the build of the profile that the tests are built in, else the release.
///
/// # Panics
/// When it has not been built.
#[must_use]
pub fn path() -> PathBuf {
    let beside_tests = || {
        let test = std::env::current_exe().ok()?;
        Some(test.parent()?.parent()?.join("pullmap")).filter(|path| path.is_file())
    };
    let path = std::env::var_os("PULLMAP_BIN")
        .map(PathBuf::from)
        .or_else(beside_tests)
        .unwrap_or_else(|| crate::project().join("target/release/pullmap"));
    assert!(path.is_file(), "{} is missing: run `cargo build --release` first", path.display());
    path
}

/// What a run gave.
#[derive(Debug)]
pub struct Ran {
    /// Exit code.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

/// Runs the binary in `folder` with words as typed.
#[must_use]
pub fn run(folder: &Path, words: &[&str]) -> Ran {
    finish(Command::new(path()).args(words).current_dir(folder).stdin(Stdio::null()).output())
}

/// Runs it with a limit on its threads.
#[must_use]
pub fn run_with_threads(folder: &Path, words: &[&str], threads: usize) -> Ran {
    let mut command = Command::new(path());
    command.args(words).current_dir(folder).stdin(Stdio::null());
    finish(command.env("RAYON_NUM_THREADS", threads.to_string()).output())
}

/// What a command prints as JSON, which must succeed.
///
/// # Panics
/// When it does not.
#[must_use]
pub fn json(folder: &Path, words: &[&str]) -> serde_json::Value {
    let ran = run(folder, &[words, &["--json"]].concat());
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{words:?}");
    serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{words:?}: {error}"))
}

/// What a command prints that succeeds without a word on the standard error.
///
/// # Panics
/// When it does not.
pub fn done(folder: &Path, words: &[&str]) -> String {
    let ran = run(folder, words);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{words:?}");
    ran.out
}

/// A command that could not be done: nothing on the standard output, and these texts on the standard error.
///
/// # Panics
/// When it was done, or says otherwise.
pub fn refused(folder: &Path, words: &[&str], says: &[&str]) -> Ran {
    let ran = run(folder, words);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words:?}: {ran:?}");
    for text in says {
        assert!(ran.err.contains(text), "{words:?}: `{text}` is missing in:\n{}", ran.err);
    }
    assert!(!ran.err.contains("panicked"), "{}", ran.err);
    ran
}

/// The number of the pull that a command of `log` acknowledged.
#[must_use]
pub fn acknowledged(out: &str) -> Option<i64> {
    out.strip_prefix("Pull ")?.split(' ').next()?.parse().ok()
}

fn finish(output: std::io::Result<Output>) -> Ran {
    let output = output.expect("the binary starts");
    Ran {
        code: output.status.code().expect("the binary is not killed"),
        out: String::from_utf8(output.stdout).expect("UTF-8 on the standard output"),
        err: String::from_utf8(output.stderr).expect("UTF-8 on the standard error"),
    }
}
