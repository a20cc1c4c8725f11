//! Plane-stress elements, contact, stress and findings of a loaded connector.

pub mod findings;
pub mod material;
pub mod plane;
pub mod rig;
