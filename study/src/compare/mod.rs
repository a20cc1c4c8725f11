//! A comparison as it is asked for: values of one key, or several models, and every mistake in them as a type.

mod asked;
mod mistake;

pub use asked::{models, values};
pub use mistake::{COUNT, CompareMistake};
