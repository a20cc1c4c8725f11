//! The English of every answer: names of parts and places, sentences, captions, and one way of writing numbers.
//!
//! Geometry, solver and study give types with data; here they get their words. Nothing is decided here.

pub mod building;
pub mod changes;
pub mod keys;
pub mod letters;
pub mod mistakes;
pub mod notes;
pub mod numbers;
pub mod pictures;
pub mod quantities;
pub mod unknowns;
