//! Metal that yields, hardens and moves far: from the law at a point to a body that is pulled until it fails.
//!
//! [`law`] knows one point, [`log_strain`] what large motion makes of it.

pub mod deformed;
pub mod element;
pub mod hardening;
pub mod law;
pub mod log_strain;

pub use deformed::{Acting, Dead, Deformed, NoStep, Nothing, Settling, Step};
pub use element::Motion;
pub use hardening::{Beyond, Flowing, Hardening, Measured, NoHardening};
pub use law::{Law, Memory};
