//! Builds the program anew when a file of the page is added or taken away: the list of files is made by a macro, which
//! notices changed files but not new ones.
#![allow(clippy::print_stdout, reason = "this is how a build script speaks to cargo")]

fn main() {
    println!("cargo::rerun-if-changed=assets/live");
}
