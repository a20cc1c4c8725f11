//! Elastic, perfectly plastic metal after von Mises in plane strain or plane stress, pushed step by step: for verification only.
//!
//! [`law`] is what happens at a point: the elastic guess is drawn back to the yield surface, and the stiffness
//! that goes with that finite step is the exact derivative of the stress. [`Pushed`] is a body of such points, brought into
//! balance by Newton's method. Neither shares anything with the limit loads of `solver::collapse` but mesh, shape functions
//! and the sparse factor.
//!
//! Six-node triangles with three points each: in plane strain plastic flow keeps the volume, and more points would ask that of
//! the element at more places than it has freedom for.

pub mod law;
mod pushed;

pub use pushed::{Pushed, Spring};
