//! Connector parameters, outline, cross-section and mesh. Knows no stress.

pub mod connector;
pub mod curve;
pub mod graded;
pub mod mesh;
pub mod outline;
pub mod region;
pub mod sizes;
