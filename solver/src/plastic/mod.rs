//! Metal that yields, hardens and moves far: from the law at a point to a body that is pulled until it fails.
//!
//! [`law`] knows one point, [`log_strain`] what large motion makes of it. [`first_pull`] makes the curve of a metal from what is
//! listed of it, [`ductility`] the strain that it bears.

pub mod deformed;
pub mod ductility;
pub mod element;
pub mod first_pull;
pub mod hardening;
pub mod law;
pub mod log_strain;

pub(crate) use deformed::Trial;
pub use deformed::{Acting, Dead, Deformed, NoStep, Nothing, Settling, Step};
pub use ductility::{Ductility, DuctilityBasis};
pub use element::Motion;
pub use first_pull::{CurveBasis, FirstPull};
pub use hardening::{Beyond, Flowing, Hardening, Measured, NoHardening};
pub use law::{Law, Memory};
