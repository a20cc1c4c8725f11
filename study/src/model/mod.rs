//! The model file: a connector in TOML, read and checked.
//!
//! `raw` mirrors the text with the place of every value, `set` puts the values of `--set` over it, `resolve` makes the
//! checked [`Model`] or reports every mistake at once. [`keys`] is the one table of what a file may say. Mistakes, hints and
//! notes are types with data: their words are another's business, as are files.

mod checked;
mod checking;
mod converted;
mod dimension;
mod fit;
pub mod hint;
pub mod key_of;
pub mod keys;
pub mod misfit;
pub mod mistake;
pub mod quantity;
pub mod raw;
pub mod reader;
pub mod renamed;
mod resolve;
pub mod set;
mod source;
mod to;
mod told;
pub mod typed_range;
mod unquoted;
pub mod word;

pub use checked::{Converted, End, Marking, Model, Note, Spread, SpreadKind, Taken};
pub use mistake::{ModelErrors, ModelMistake, Problem};
pub use source::Source;
pub use to::{Set, To, as_typed};
pub use told::{MARK, Told, marked_lines};

#[cfg(test)]
pub(crate) mod tests;
