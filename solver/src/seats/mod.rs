//! Where straps and bars come to rest: the shape of the window decides, and friction as far as it can.
//!
//! A pull draws its two load points apart as far as the inner edges let it. Without friction they come to rest only at a
//! local maximum of their distance; with friction they stay wherever the pull axis lies within the friction angle of both
//! edge normals. [`Track`] is the path of one load point along its bar, [`Seating`] the pair of them.
//!
//! Left out: the stretch of straps and the bending of the bars under the pull, which move a rest by less than the strap's
//! own clearance on its bar; and tilting of wide straps on sloping ends.

mod regime;
mod rests;
mod track;

pub use regime::{Regime, regime};
pub use rests::{Footing, Rest, Seating, strap_friction_needed};
pub use track::Track;

#[cfg(test)]
mod tests;
