//! What can go wrong between page and server, as the page is told it: a status, a sentence, and for an impossible state
//! every mistake with its key, so that the page can explain it beside the control that caused it.

use super::bad_request::BadRequest;
use super::told::Mistake;
use crate::failure::Failure;
use report::pull_to_failure::{Refused, refused};
use report::reason::Reason;
use report::{building, page};
use serde::Serialize;
use solver::response::RigError;
use solver::system::SystemError;
use study::CaseError;
use study::model::ModelErrors;
use study::model::quantity::QuantityError;
use study::pull_to_failure::PullError;

/// Why a request was not answered with what it asked for.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ApiError {
    /// The request is not of the form that the protocol describes.
    #[error(transparent)]
    BadRequest(#[from] BadRequest),
    /// Host or origin are not those of this server.
    #[error(transparent)]
    Forbidden(#[from] Forbidden),
    /// Nothing lives at this address.
    #[error("{}", page::NOTHING_THERE)]
    NotFound,
    /// Something lives there, but takes another method.
    #[error("{}", page::OTHER_METHOD)]
    OtherMethod,
    /// The request came too slowly; allowed in seconds.
    #[error("{}", page::too_slow(*.0))]
    TooSlow(u64),
    /// A newer request took its place.
    #[error("{}", page::SUPERSEDED)]
    Superseded,
    /// The body is too large; allowed in KiB.
    #[error("{}", page::too_large(*.0))]
    TooLarge(usize),
    /// The body is no JSON.
    #[error("{}", page::NO_JSON)]
    WrongType,
    /// No connector can be made from the state.
    #[error("{}", page::IMPOSSIBLE)]
    Impossible(Vec<Mistake>),
    /// What was asked of a trace or of the logbook cannot be done: the headline, and every mistake.
    #[error("{0}")]
    Refused(&'static str, Vec<Mistake>),
    /// A fault of the program.
    #[error("{}", page::fault(&.0.to_string()))]
    Fault(#[from] Fault),
    /// The program was built without the page that is saved.
    #[error("{}", page::NO_SAVED_PAGE)]
    NotYet,
    /// More at once than the server takes.
    #[error("{}", page::BUSY)]
    Busy,
    /// It took longer than allowed, seconds.
    #[error("{}", page::too_long(*.0))]
    TooLong(u64),
}

/// Who may not ask.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Forbidden {
    /// Who names this server otherwise.
    #[error("{}", page::OTHER_NAME)]
    Name,
    /// Another site.
    #[error("{}", page::OTHER_SITE)]
    Site,
    /// Who would read records that were not opened to the network.
    #[error("{}", page::records::NOT_READ_HERE)]
    Reading,
    /// Who would record through a page that is open to the network.
    #[error("{}", page::records::NOT_WRITTEN_HERE)]
    Writing,
}

/// A fault of the program.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// The work panicked.
    #[error("{}", page::WORK_STOPPED)]
    Stopped,
    /// The work was ended with the server.
    #[error("{}", page::CLOSING)]
    Closing,
    /// The answer to a question on a wire went astray.
    #[error("{}", page::ANSWER_LOST)]
    Lost,
    /// The text of a checked model cannot be read.
    #[error("{}", page::NO_TOML)]
    NoToml,
    /// Something could not be written: the words of what writes it.
    #[error("{0}")]
    Writing(String),
}

/// What a request that failed is answered with.
#[derive(Debug, Serialize)]
struct ErrorBody<'a> {
    error: String,
    mistakes: &'a [Mistake],
}

impl ApiError {
    /// The HTTP status.
    #[must_use]
    pub fn status(&self) -> u16 {
        match self {
            Self::BadRequest(_) => 400,
            Self::Forbidden(_) => 403,
            Self::NotFound => 404,
            Self::OtherMethod => 405,
            Self::TooSlow(_) => 408,
            Self::Superseded => 409,
            Self::TooLarge(_) => 413,
            Self::WrongType => 415,
            Self::Impossible(_) | Self::Refused(..) => 422,
            Self::Fault(_) => 500,
            Self::NotYet => 501,
            Self::Busy => 503,
            Self::TooLong(_) => 504,
        }
    }

    /// One line where there is no room for a list: the first mistake, and how many more there are.
    #[must_use]
    pub fn in_a_line(&self) -> String {
        match self {
            Self::Impossible(mistakes) | Self::Refused(_, mistakes) => match mistakes.as_slice() {
                [] => self.to_string(),
                [first, more @ ..] => page::and_more(&first.alone(), more.len()),
            },
            other => other.to_string(),
        }
    }

    /// The JSON of the answer.
    #[must_use]
    pub fn to_json(&self) -> String {
        let mistakes: &[Mistake] = match self {
            Self::Impossible(mistakes) | Self::Refused(_, mistakes) => mistakes,
            _ => &[],
        };
        // A struct of texts always becomes JSON.
        serde_json::to_string(&ErrorBody { error: self.to_string(), mistakes }).unwrap_or_default()
    }

    /// A mistake that is about one key.
    #[must_use]
    pub fn of_key(key: &str, reason: Reason) -> Self {
        Self::Impossible(vec![Mistake::about(key, reason)])
    }

    /// A text that is not the quantity that a key wants.
    #[must_use]
    pub fn of_quantity(key: &str, error: &QuantityError) -> Self {
        Self::Impossible(vec![Mistake::of_quantity(key, error)])
    }
}

/// The mistakes of a model; `with_lines` when the page sent the lines that they count.
#[must_use]
pub fn of_model(errors: &ModelErrors, with_lines: bool) -> ApiError {
    ApiError::Impossible(errors.0.iter().map(|mistake| Mistake::of_model(mistake, with_lines)).collect())
}

/// Why a system could not be built.
#[must_use]
pub fn of_system(error: &SystemError) -> ApiError {
    ApiError::Impossible(building::mistakes(error).into_iter().map(Mistake::of_building).collect())
}

/// Why a rig could not be solved.
#[must_use]
pub fn of_rig(error: &RigError) -> ApiError {
    ApiError::Impossible(vec![Mistake::of_building(building::mistake(error))])
}

/// Why a case could not be solved.
#[must_use]
pub fn of_case(error: &CaseError) -> ApiError {
    match error {
        CaseError::System(error) => of_system(error),
        CaseError::Rig(error) => of_rig(error),
        CaseError::Stopped => ApiError::Superseded,
    }
}

/// Why a pull cannot be done as it was asked.
#[must_use]
pub fn of_pull(error: &PullError) -> ApiError {
    let key = match error {
        PullError::Case(error) => return of_case(error),
        PullError::NoElongation => "material.frame.elongation",
        PullError::NotReached { .. } => "until_kn",
        _ => "",
    };
    // What the command advises are options that the page does not have.
    let Refused { says, .. } = refused(error);
    let hint = page::pulls::hint(error).unwrap_or_default().to_owned();
    ApiError::Impossible(vec![Mistake { hint, ..Mistake::about(key, Reason::Whole(says)) }])
}

/// A picture or a file that could not be made.
#[must_use]
pub fn of_failure(failure: &Failure) -> ApiError {
    Fault::Writing(failure.to_string()).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn json_always_has_an_error_and_mistakes() {
        let told: serde_json::Value = serde_json::from_str(&ApiError::Busy.to_json()).unwrap();
        assert!(told["mistakes"].as_array().unwrap().is_empty());
        let error = ApiError::of_key("a.b", Reason::found("1", "2"));
        assert_eq!(error.in_a_line(), "a.b: found 1; allowed: 2");
        let told: serde_json::Value = serde_json::from_str(&error.to_json()).unwrap();
        assert_eq!(
            (&told["mistakes"][0]["found"], &told["mistakes"][0]["key"]),
            (&"1".into(), &"a.b".into())
        );
    }
}
