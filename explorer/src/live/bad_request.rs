//! What of a request is not of the form that the protocol describes.

use super::allowed::{
    LONGEST_KEY, MOST_ENLARGED, MOST_KEPT, MOST_KEYS, MOST_LETTERS, MOST_PIXELS, SIDE, VALUES, VERSION,
};

/// What is wrong with the form of a request.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BadRequest {
    /// It is not JSON, or not what this address takes: the words of the reader.
    #[error("{0}")]
    Json(String),
    /// It is of another version of the protocol.
    #[error("found version {0}; allowed: {VERSION}. Load the page again")]
    Version(u32),
    /// The name of its session.
    #[error("session: allowed: 8 to 64 letters and digits")]
    Session,
    /// The ends of a range.
    #[error("from and to: allowed: two numbers, rising")]
    Ends,
    /// The number of values of a range.
    #[error("n: found {}; allowed: {} to {}", .0, VALUES.start(), VALUES.end())]
    Values(usize),
    /// How far displacements are enlarged.
    #[error("enlarged: allowed: 0 to {MOST_ENLARGED}")]
    Enlarged,
    /// Width and height of a picture, pixels.
    #[error(
        "size: found {} x {}; allowed: sides of {} to {} pixels, at most {MOST_PIXELS} pixels in all",
        .0[0], .0[1], SIDE.start(), SIDE.end()
    )]
    Size([u32; 2]),
    /// The length of a key, bytes.
    #[error("found a key of {0} bytes; allowed: {LONGEST_KEY}")]
    KeyLength(usize),
    /// The number of keys.
    #[error("found {0} keys; allowed: {MOST_KEYS}")]
    Keys(usize),
    /// The value of this key.
    #[error("{0}: a value is a number or a text")]
    Value(String),
    /// The model.
    #[error("model: a name, or a map of keys")]
    Model,
    /// The states that are kept, or their names.
    #[error("kept: allowed: {MOST_KEPT} states with names of {MOST_LETTERS} letters")]
    Kept,
    /// A question on the wire that is no text.
    #[error("a question is text")]
    NoText,
    /// Its body ended before its end.
    #[error("the body broke off")]
    BrokenOff,
    /// It asks for no WebSocket where there is nothing else.
    #[error("this address is for a WebSocket")]
    NoWebSocket,
}
