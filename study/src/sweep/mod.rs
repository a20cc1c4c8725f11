//! A sweep: one or two keys of a model through a range, everything else as it is.
//!
//! `read` turns what was typed into [`Varied`] keys, [`Plan`] lays out the points, [`run`] computes them and gives each to its
//! caller as it is finished, [`pieces`], [`course`] and [`gives_early`] tell how a row of them goes. What is wrong comes as
//! types: in what was asked for as [`SweepMistake`], at a point as [`PointFailure`].
//!
//! ```
//! use solver::system::SystemSettings;
//! use std::convert::Infallible;
//! use study::Engine;
//! use study::model::Source;
//! use study::sweep::{Plan, run};
//!
//! let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../models/oval.toml"));
//! let model = Source::of("oval.toml", text);
//! let vary = [("rig.both.offset_mm".to_owned(), "-2,2".to_owned())];
//! let coarse = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
//! let plan = Plan::asked(model, Vec::new(), &vary, coarse, false)?;
//! let all: Vec<usize> = (0..plan.len()).collect();
//! let rows = run(&plan, &all, &Engine::default(), &Ok::<_, Infallible>).unwrap_or_default();
//! let peaks: Vec<f64> = rows.iter().filter_map(|row| row.found()).map(|found| found.peak_kn).collect();
//! assert_eq!(peaks.len(), 2);
//! // Loads nearer to the spine spare the gate.
//! assert!(peaks[0] > peaks[1]);
//! # Ok::<(), study::sweep::PlanError>(())
//! ```

mod course;
mod mistake;
mod pieces;
mod plan;
mod point;
mod read;
mod reading;
mod run;
mod varied;

pub use course::{Course, Early, course, gives_early};
pub use mistake::{PlanError, SweepMistake, ValueProblem};
pub use pieces::{Change, Piece, changes, pieces};
pub use plan::{Plan, UNKNOWNS};
pub use point::{Found, PartLimit};
pub use read::{MANY_POINTS, MOST_KEYS, MOST_POINTS, read};
pub use reading::Reading;
pub use run::{PointFailure, Row, run};
pub use varied::{Values, Varied, VariedKey};
