//! Stills: a statement as a picture for a post or a film, with its caption, its words for those who cannot see it, and its
//! source.
//!
//! `request` judges what was typed, `content` fills the picture and its caption.

mod content;
mod request;

pub use content::{Scene, still};
pub use request::{StillError, StillRequest, requested_still};
