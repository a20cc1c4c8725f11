//! Connector parameters, outline, cross-section and mesh. Knows no stress.

pub mod connector;
