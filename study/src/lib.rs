//! Questions about a connector are asked of many cases of it: other offsets, other metals, another notch. This crate solves
//! cases: it knows which of them share a mesh and its factor, keeps what was built, and runs the rest in parallel.
//!
//! A connector is told by a [`model`]: TOML text in, a checked model out, or every mistake in it as types.
//!
//! What of it is not known exactly is in [`unknowns`].
//!
//! What is asked of it: [`map`] who carries what, [`forecast`] what fails first and how sure that is, [`explain`] why it broke
//! where it did, [`seats`] where its loads come to rest, [`reach`] where it holds a load, [`levers`] what one step of each key
//! does, [`sweep`] what one or two of its keys do to it, [`compare`] how variants of it differ, [`sensitivity`] what its ranges
//! do to a map, [`in_use`] how far results lie above a load in use. What an answer depends on has a hash: [`inputs`].
//!
//! A [`Case`] is a connector, its metals, a rig and the mesh to solve it on. An [`Engine`] turns cases into
//! [`Outcome`]s, in their order and the same whatever the number of threads.
//!
//! ```
//! use geometry::connector::Connector;
//! use solver::material::Materials;
//! use solver::rig::{GateState, Rig};
//! use solver::strength::Constants;
//! use solver::system::SystemSettings;
//! use study::{Case, Engine, Watch};
//!
//! let case = Case {
//!     connector: Connector::example(),
//!     materials: Materials::example(),
//!     rig: Rig::example(),
//!     constants: Constants::default(),
//!     mesh: SystemSettings { unknowns: 6000.0, ..SystemSettings::default() },
//! };
//! let open = Case { rig: Rig { gate: GateState::Open, ..case.rig }, ..case.clone() };
//! // Both share one mesh: only the rig differs.
//! assert_eq!(case.key(), open.key());
//! let peaks: Vec<f64> = Engine::default()
//!     .evaluate(&[case, open], &Watch::quiet())
//!     .into_iter()
//!     .map(|outcome| outcome.unwrap().limits.peak_kn)
//!     .collect();
//! assert!(peaks[1] < 0.5 * peaks[0]);
//! ```

mod built;
pub mod calibrate;
mod case;
pub mod compare;
mod engine;
pub mod explain;
pub mod forecast;
pub mod in_use;
pub mod inputs;
mod kept;
pub mod levers;
pub mod map;
pub mod model;
pub mod pull_to_failure;
mod pulled;
pub mod reach;
pub mod seats;
pub mod sensitivity;
mod step;
pub mod sweep;
mod system_key;
pub mod unknowns;
mod watch;

pub use built::Built;
pub use case::Case;
pub use engine::{CaseError, Engine, Outcome};
pub use kept::Kept;
pub use pulled::Pulled;
pub use step::Step;
pub use system_key::SystemKey;
pub use watch::Watch;

#[cfg(test)]
mod tests;
