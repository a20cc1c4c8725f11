//! The binary `pullmap`: see the library `explorer`.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(explorer::run(std::env::args_os()))
}
