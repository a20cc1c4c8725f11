//! Requests that are not of the form that the protocol describes: what was found, what is allowed.

use std::ops::RangeInclusive;

/// The name of a session.
pub const SESSION: &str = "session: allowed: 8 to 64 letters and digits";
/// The ends of a range.
pub const ENDS: &str = "from and to: allowed: two numbers, rising";
/// The model.
pub const MODEL: &str = "model: a name, or a map of keys";
/// A question on the wire that is no text.
pub const NO_TEXT: &str = "a question is text";
/// A body that ended before its end.
pub const BROKEN_OFF: &str = "the body broke off";
/// A request for no WebSocket where there is nothing else.
pub const NO_WEB_SOCKET: &str = "this address is for a WebSocket";

/// Another version of the protocol.
#[must_use]
pub fn version(found: u32, allowed: u32) -> String {
    format!("found version {found}; allowed: {allowed}. Load the page again")
}

/// The number of values of a range.
#[must_use]
pub fn values(found: usize, allowed: &RangeInclusive<usize>) -> String {
    format!("n: found {found}; allowed: {} to {}", allowed.start(), allowed.end())
}

/// How far displacements are enlarged.
#[must_use]
pub fn enlarged(most: f64) -> String {
    format!("enlarged: allowed: 0 to {most}")
}

/// Width and height of a picture, pixels; allowed sides, and pixels in all.
#[must_use]
pub fn size([width, height]: [u32; 2], side: &RangeInclusive<u32>, most_pixels: u64) -> String {
    format!(
        "size: found {width} x {height}; allowed: sides of {} to {} pixels, at most {most_pixels} pixels in all",
        side.start(),
        side.end()
    )
}

/// The length of a key, bytes.
#[must_use]
pub fn key_length(found: usize, most: usize) -> String {
    format!("found a key of {found} bytes; allowed: {most}")
}

/// The number of keys.
#[must_use]
pub fn keys(found: usize, most: usize) -> String {
    format!("found {found} keys; allowed: {most}")
}

/// The value of a key.
#[must_use]
pub fn value(key: &str) -> String {
    format!("{key}: a value is a number or a text")
}

/// The states that are kept, and the letters of their names.
#[must_use]
pub fn kept(most: usize, letters: usize) -> String {
    format!("kept: allowed: {most} states with names of {letters} letters")
}
