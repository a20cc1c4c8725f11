//! What of a request is not of the form that the protocol describes.

use super::allowed::{
    LONGEST_KEY, MOST_ENLARGED, MOST_KEPT, MOST_KEYS, MOST_LETTERS, MOST_PIXELS, SIDE, VALUES, VERSION,
};
use report::page::{records, request};

/// What is wrong with the form of a request.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BadRequest {
    /// It is not JSON, or not what this address takes: the words of the reader.
    #[error("{0}")]
    Json(String),
    /// It is of another version of the protocol.
    #[error("{}", request::version(*.0, VERSION))]
    Version(u32),
    /// The name of its session.
    #[error("{}", request::SESSION)]
    Session,
    /// The ends of a range.
    #[error("{}", request::ENDS)]
    Ends,
    /// The number of values of a range.
    #[error("{}", request::values(*.0, &VALUES))]
    Values(usize),
    /// How far displacements are enlarged.
    #[error("{}", request::enlarged(MOST_ENLARGED))]
    Enlarged,
    /// Width and height of a picture, pixels.
    #[error("{}", request::size(*.0, &SIDE, MOST_PIXELS))]
    Size([u32; 2]),
    /// The length of a key, bytes.
    #[error("{}", request::key_length(*.0, LONGEST_KEY))]
    KeyLength(usize),
    /// The number of keys.
    #[error("{}", request::keys(*.0, MOST_KEYS))]
    Keys(usize),
    /// The value of this key.
    #[error("{}", request::value(.0))]
    Value(String),
    /// The model.
    #[error("{}", request::MODEL)]
    Model,
    /// The states that are kept, or their names.
    #[error("{}", request::kept(MOST_KEPT, MOST_LETTERS))]
    Kept,
    /// A question on the wire that is no text.
    #[error("{}", request::NO_TEXT)]
    NoText,
    /// A request that carries a file, and is none.
    #[error("{}", records::CARRIED)]
    Carried,
    /// Its body ended before its end.
    #[error("{}", request::BROKEN_OFF)]
    BrokenOff,
    /// It asks for no WebSocket where there is nothing else.
    #[error("{}", request::NO_WEB_SOCKET)]
    NoWebSocket,
}
