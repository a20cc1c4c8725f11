//! Why a command could not do what it was asked, and the exit codes of the program.

use crate::comparing::CompareError;
use crate::fields_file::FieldsError;
use crate::machine::MachineError;
use crate::output::OutputError;
use crate::source::SourceError;
use crate::stills::StillError;
use crate::sweeping::SweepError;
use crate::tracing::TraceFileError;
use crate::undrawn::{told_chart, told_picture};
use lab::logbook::LogbookError;
use report::logbook;
use report::page::serving;
use report::program::{fields, files, options};
use report::{building, mistakes, pictures, trace};
use solver::response::RigError;
use solver::system::SystemError;
use std::path::PathBuf;
use study::CaseError;
use study::compare::Why;
use study::model::ModelErrors;
use viz::{ChartError, PictureError};

/// How a command ended that did what it was asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Done. Exit code 0.
    Done,
    /// Done, and a limit is exceeded. Exit code 1.
    LimitExceeded,
    /// Stopped on the way, with what was reached kept. Exit code 2.
    Stopped,
}

impl Outcome {
    /// The exit code.
    #[must_use]
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::LimitExceeded => 1,
            Self::Stopped => COULD_NOT,
        }
    }
}

/// Exit code of a command that could not do what it was asked.
pub const COULD_NOT: u8 = 2;

/// Why a command could not do what it was asked.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The model cannot be read.
    #[error("{0}")]
    Source(#[from] SourceError),
    /// The model is not one.
    #[error("{}", mistakes::errors(.0))]
    Model(#[from] ModelErrors),
    /// Values that are none of pulls.
    #[error("{0}")]
    Lot(String),
    /// A comparison that cannot be made.
    #[error("{0}")]
    Compare(#[from] CompareError),
    /// A still that cannot be made.
    #[error("{0}")]
    Still(#[from] StillError),
    /// The machine has too little for it.
    #[error("{0}")]
    Machine(#[from] MachineError),
    /// Something could not be written.
    #[error("{0}")]
    Output(#[from] OutputError),
    /// A file exists that is not to be overwritten.
    #[error("{}", files::needs_force(.0))]
    NeedsForce(OutputError),
    /// One field file was named for several models.
    #[error("{}", options::ONE_FIELDS_FILE)]
    OneFieldsFile,
    /// A still was asked of no model.
    #[error("{}", options::NO_MODEL)]
    NoModel,
    /// A connector that cannot be drawn, meshed or loaded.
    #[error("{model}: {reason}")]
    Solving {
        /// Title of the model.
        model: String,
        /// What was found and what is allowed.
        reason: String,
    },
    /// Traces that give no reading.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Traces(Vec<TraceFileError>),
    /// What is said to be of one pull is not two traces with one cell each.
    #[error("{}", trace::NOT_TWO_CELLS)]
    NotTwoCells,
    /// Traces that cannot be laid over each other.
    #[error("{}", trace::no_overlap(.0, .1))]
    NoOverlap(String, String),
    /// A sweep could not be done.
    #[error("{0}")]
    Sweep(#[from] SweepError),
    /// A picture could not be made.
    #[error("{}", pictures::failed(told_picture(.0)))]
    Picture(#[from] PictureError),
    /// A chart could not be drawn.
    #[error("{}", told_chart(.0))]
    Chart(#[from] ChartError),
    /// The page of the published problems could not be made.
    #[error("{0}")]
    VerificationPage(#[from] crate::verification::PageError),
    /// The field files could not be made.
    #[error("{}", fields::failed(.0))]
    Fields(#[from] FieldsError),
    /// The page could not be served.
    #[error("{}", serving::failed(.what, .address, .reason))]
    Serving {
        /// What could not be done.
        what: &'static str,
        /// Where.
        address: String,
        /// The words of the system.
        reason: String,
    },
    /// A table that could not be made.
    #[error("{}", files::no_table(.0))]
    Table(csv::Error),
    /// Something of a logbook could not be done.
    #[error("{}", logbook::error(.0))]
    Logbook(#[from] LogbookError),
    /// Something was asked of a logbook that cannot be: what, and what to do.
    #[error("{0}")]
    Log(String),
    /// A file that belongs to a pull cannot be read.
    #[error("{}", logbook::unread(.path.display(), .words))]
    Unread {
        /// The file.
        path: PathBuf,
        /// The words of the system.
        words: String,
    },
    /// Findings that JSON cannot hold.
    #[error("{}", files::no_json(.0))]
    Json(serde_json::Error),
}

impl Failure {
    /// A connector that cannot be drawn, meshed or loaded.
    #[must_use]
    pub fn solving(model: &str, reason: &dyn std::fmt::Display) -> Self {
        Self::Solving { model: model.to_owned(), reason: reason.to_string() }
    }

    /// A case that cannot be solved: each mistake after its key.
    #[must_use]
    pub fn case(model: &str, error: &CaseError) -> Self {
        Self::solving(model, &building::case(error))
    }

    /// A connector that cannot be drawn or meshed: each mistake after its key.
    #[must_use]
    pub fn building(model: &str, error: &SystemError) -> Self {
        Self::solving(model, &building::system(error))
    }

    /// A rig that cannot be pulled, after its key.
    #[must_use]
    pub fn pulling(model: &str, error: &RigError) -> Self {
        Self::solving(model, &building::rig(error))
    }

    /// A table that could not be made.
    #[must_use]
    pub fn table(error: csv::Error) -> Self {
        Self::Table(error)
    }

    /// Findings that JSON cannot hold.
    #[must_use]
    pub fn json(error: serde_json::Error) -> Self {
        Self::Json(error)
    }
}

impl From<Why<SourceError>> for Failure {
    /// Of a variant that stands by itself: as the model alone would be refused.
    fn from(why: Why<SourceError>) -> Self {
        match why {
            Why::Refused(reason) => Self::Source(reason),
            Why::Model { errors, .. } => Self::Model(errors),
            Why::Case { title, error } => Self::case(&title, &error),
        }
    }
}
