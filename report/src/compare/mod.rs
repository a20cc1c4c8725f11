//! A comparison in words.

mod mistakes;

pub use mistakes::{all, mistake};
