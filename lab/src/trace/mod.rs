//! Files of load cells: what stands in them, on what evidence, and what a pull was by them.
//!
//! Bytes become [`text`], whose lines are given a [`layout`] (`punctuation`: separator and decimal mark; `rows`: where values stand; [`columns`]:
//! what each column is); what stands before and after the values is read by [`remarks`], times come from the [`clock`]. The result is a
//! [`recording`] (`values`: loads in kN, without `codes` of errors) or a `list` of peaks, with everything that was understood and why. [`pull`]
//! finds in it what a bench asks for: zero ([`quiet`]), [`peak`] and what may be [`missed`] of it, [`disturbance`]s, kinks, slips, holds, the
//! break; [`agreement`] lays two cells beside each other. Nothing is guessed without being told: what a file leaves open is an [`error`]
//! that says so, and [`Asked`] overrules.

pub mod absent;
pub mod agreement;
mod channel;
pub mod clock;
mod codes;
pub mod columns;
pub mod course;
pub mod disturbance;
pub mod error;
mod kind;
pub mod kinks;
pub mod layout;
mod list;
pub mod missed;
pub mod number;
pub mod peak;
pub mod pull;
mod punctuation;
pub mod quiet;
pub mod recording;
pub mod remarks;
mod rows;
mod separator;
pub mod text;
mod told_unit;
pub mod unit;
mod values;

pub use error::TraceError;
pub use recording::{Recording, read};

use crate::force_unit::ForceUnit;
use number::Decimal;

/// What overrules what a file says of itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Asked {
    /// Unit of the loads.
    pub unit: Option<ForceUnit>,
    /// Samples a second.
    pub rate_hz: Option<f64>,
    /// The column of the load: its name, or its number counted from 1.
    pub column: Option<String>,
    /// The mark between whole and part.
    pub decimal: Option<Decimal>,
    /// Counts of a unit of load, of a file that holds raw counts.
    pub counts_per_unit: Option<f64>,
    /// Counts without load.
    pub zero_counts: Option<f64>,
    /// Which of several recordings in one file, counted from 1.
    pub part: Option<usize>,
}
