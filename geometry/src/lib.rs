//! Connector parameters, outline, cross-section and mesh. Knows no stress.
//!
//! ```
//! use geometry::connector::{Connector, GatePlace};
//! use geometry::mesh::{MeshSettings, triangulate};
//! use geometry::outline::Outline;
//!
//! let outline = Outline::try_new(&Connector::example(), GatePlace::Shut).unwrap();
//! // Edges of 1 mm everywhere; the size may differ from point to point.
//! let mesh = triangulate(&outline.frame, &|_| 1.0, &MeshSettings::default()).unwrap();
//! mesh.check().unwrap();
//! assert!(mesh.refinement_complete && mesh.node_count() > 3000);
//! ```

pub mod caliper;
pub mod connector;
pub mod curve;
pub mod graded;
pub mod mesh;
pub mod outline;
pub mod region;
pub mod sizes;
