//! Limit loads of small parts: rigid, perfectly plastic metal on a local mesh, pressed by a rigid, smooth pin.
//!
//! [`least_dissipation`] is the core: it knows metal, nodes that are held or driven, and rows under a pin. Around it stand
//! what the parts of a connector make of it.
//!
//! The velocities give a force from above (up to the integration of the dissipation), the stress that belongs to them one
//! from weak equilibrium; the two meet at the end of every solve, and the difference is told.

mod bedding;
mod cone;
mod linear;
mod lip;
mod lug;
mod lug_table;
mod metal;
mod nose_part;
mod programme;

pub use bedding::Bedding;
pub use linear::Linear;
pub use lip::{Press, Pressed, lip_bedding, lip_under_pin};
pub use lug::{lug_factor, lug_flow};
pub use lug_table::lug_factor_tabulated;
pub use metal::{Metal, Sample, add_stiffness};
pub use nose_part::{
    Collapse, FINE_IN_BEDDING, Fineness, Flowing, NosePart, Patch, PlasticError, nose_collapse,
};
pub use programme::{Flow, Row, least_dissipation};

#[cfg(test)]
mod lower_bound;
#[cfg(test)]
mod tests;
