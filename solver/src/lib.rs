//! Plane-stress elements, contact, stress and findings of a loaded connector.
//!
//! A [`System`](system::System) is a meshed and factored connector; a [`Rig`](rig::Rig) loads it.
//!
//! ```
//! use geometry::connector::{Connector, GatePlace};
//! use solver::findings::{NodalStress, findings};
//! use solver::material::Materials;
//! use solver::rig::Rig;
//! use solver::system::{System, SystemSettings};
//!
//! let metals = Materials::example();
//! let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
//! let system = System::try_new(&Connector::example(), GatePlace::Shut, &metals, &coarse).unwrap();
//! let response = system.respond(&Rig::example()).unwrap();
//! let stress = NodalStress::new(&system, &response);
//! let share = findings(&system, &metals, &response, &stress).unwrap().share;
//! // The gate carries some 43 % of the pull (within 3 percent on so coarse a mesh).
//! assert!((share.gate_fraction - 0.43).abs() < 0.03, "{}", share.gate_fraction);
//! ```

pub mod causes;
pub mod collapse;
pub mod contact;
pub mod findings;
pub mod forecast;
pub mod material;
pub mod plane;
pub mod plastic;
pub mod pull_to_failure;
pub mod refinement;
pub mod response;
pub mod rig;
pub mod seats;
pub mod sections;
pub mod strength;
pub mod system;
