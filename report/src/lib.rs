//! The English of every answer: names of parts and places, sentences, captions, and one way of writing numbers.
//!
//! Geometry, solver and study give types with data; here they get their words. Nothing is decided here.

pub mod beyond;
pub mod building;
pub mod caution;
pub mod changes;
pub mod compare;
pub mod explain;
pub mod failure_modes;
pub mod findings;
pub mod forecast;
pub mod formulas;
pub mod in_use;
pub mod json;
pub mod keys;
pub mod letters;
pub mod levers;
pub mod locations;
pub mod lot;
pub mod map;
pub mod materials;
pub mod mistakes;
pub mod notes;
pub mod numbers;
pub mod page;
pub mod pictures;
pub mod places;
pub mod program;
pub mod published;
pub mod pull_so_far;
pub mod pull_to_failure;
pub mod quantities;
pub mod reach;
pub mod reason;
pub mod refinement;
pub mod rigs;
pub mod schemas;
pub mod seats;
pub mod sensitivity;
pub mod sketch;
pub mod steps;
pub mod story;
pub mod sweep;
pub mod trace;
pub mod unknowns;
pub mod warnings;
