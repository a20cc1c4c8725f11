//! A comparison in words: what variants are called, how they differ, what of them cannot be computed, the short plain answer, and
//! the JSON.

mod answer;
mod beyond;
mod difference;
mod document;
mod left_out;
mod mistakes;
mod names;
mod notes;
mod rigs;

pub use answer::answer;
pub use beyond::beyond;
pub use difference::{difference, headline};
pub use document::Document;
pub use left_out::{reason, too_few};
pub use mistakes::{all, mistake};
pub use names::{label, models, title};
pub use notes::{notes, taken};
pub use rigs::rigs;
