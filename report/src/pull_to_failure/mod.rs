//! A connector pulled until it fails, in words: the sentence of how it ended, the table, and the JSON.

mod answer;
mod document;
mod ends;
mod error;
mod left_out;
mod no_step;
mod places;
mod rows;
mod shares;
mod stays;
mod step;
mod warnings;

pub use answer::answer;
pub use document::Document;
pub use ends::{ended, headline, hook, nothing_more, stopped};
pub use error::{Refused, error, refused};
pub use left_out::LEFT_OUT;
pub use places::place;
pub use rows::{Row, rows};
pub use shares::shares;
pub use stays::{bent, set_found};
pub use step::{carries, yielded};
pub use warnings::warnings;
