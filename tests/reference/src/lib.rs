//! Published problems with their numbers and sources, run by the tests and by the binary alike.

pub mod problem;
