//! What the live page and its server say when something is wrong, and what the server says where it was started.

use crate::steps;
use study::Step;

pub mod pulls;
pub mod records;
pub mod request;
pub mod serving;

/// Who asks names this server by another name than its address.
pub const OTHER_NAME: &str = "this server is reached by its address alone, not by another name";
/// Who asks is another site.
pub const OTHER_SITE: &str = "requests from other sites are refused";
/// Nothing lives at the address that is asked.
pub const NOTHING_THERE: &str = "there is nothing at this address";
/// Something lives there, but takes another method.
pub const OTHER_METHOD: &str = "this address takes another method";
/// A newer request took its place.
pub const SUPERSEDED: &str = "superseded by a newer request";
/// The body of a request is no JSON.
pub const NO_JSON: &str = "a request carries JSON, with Content-Type: application/json, or at an address that takes files application/octet-stream";
/// No connector can be made from a state.
pub const IMPOSSIBLE: &str = "this cannot be built or loaded as it stands";
/// More is asked at once than the server takes.
pub const BUSY: &str = "too much is asked at once; ask again";
/// The program was built without the page that is saved.
pub const NO_SAVED_PAGE: &str = "the self-contained page is not part of this version";
/// A piece of work panicked.
pub const WORK_STOPPED: &str = "the work stopped in the middle; the server goes on";
/// The server is being ended.
pub const CLOSING: &str = "the server is closing";
/// The answer to a question on a wire went astray.
pub const ANSWER_LOST: &str = "the answer was lost";
/// The text of a model that was checked cannot be read.
pub const NO_TOML: &str = "a checked model is no TOML";
/// What a connector is called that is the page's own.
pub const OWN_CONNECTOR: &str = "own connector";
/// What may stand for the key of a chart.
pub const KEY_OF_A_NUMBER: &str = "a key of the model that is a number";

/// What has not begun waits for other answers.
pub const WAITING: &str = "Waiting for another answer to be finished.";
/// A pull that has not begun waits for another one.
pub const WAITING_FOR_A_PULL: &str = "Waiting for another pull to be finished: one is computed at a time.";

/// How far an answer has come that is being worked out: what is being done, and how many of how many cases are solved.
#[must_use]
pub fn progress(step: Option<Step>, done: usize, of: usize) -> String {
    let solved = if of > 0 { format!("Solved {done} of {of}") } else { "At work".to_owned() };
    step.map_or_else(|| format!("{solved}."), |step| format!("{solved}: {}.", steps::step(step)))
}

/// A pull has come to its end, in so many steps; what is done besides.
#[must_use]
pub fn pulled(steps: usize, step: Step) -> String {
    format!("Pulled in {steps} steps: {}.", steps::step(step))
}

/// A request came too slowly; allowed in seconds.
#[must_use]
pub fn too_slow(allowed_s: u64) -> String {
    format!("the request took too long to arrive; allowed: {allowed_s} s")
}

/// A body is too large; allowed in KiB.
#[must_use]
pub fn too_large(allowed_kib: usize) -> String {
    format!("the request is too large; allowed: {allowed_kib} KiB")
}

/// The work took longer than allowed, seconds.
#[must_use]
pub fn too_long(allowed_s: u64) -> String {
    format!("it took longer than allowed: {allowed_s} s")
}

/// A fault of the program, in its own words.
#[must_use]
pub fn fault(words: &str) -> String {
    format!("a fault of the program, not of the input: {words}")
}

/// A line of a file that was opened.
#[must_use]
pub fn line(number: usize) -> String {
    format!("line {number}")
}

/// The first of several mistakes, and how many more there are.
#[must_use]
pub fn and_more(first: &str, more: usize) -> String {
    if more == 0 { first.to_owned() } else { format!("{first} ({more} more)") }
}

#[cfg(test)]
mod tests {
    use super::and_more;

    #[test]
    fn one_mistake_stands_alone() {
        assert_eq!([0, 2].map(|more| and_more("a", more)), ["a", "a (2 more)"]);
    }
}
