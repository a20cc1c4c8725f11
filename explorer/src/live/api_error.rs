//! What can go wrong between page and server, as the page is told it: a status, a sentence, and for an impossible state
//! every mistake with its key, so that the page can explain it beside the control that caused it.

use super::bad_request::BadRequest;
use crate::failure::Failure;
use report::mistakes;
use serde::Serialize;
use solver::response::RigError;
use solver::system::SystemError;
use study::model::raw::Place;
use study::model::{ModelErrors, ModelMistake, key_of};

/// Why a request was not answered with what it asked for.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ApiError {
    /// The request is not of the form that the protocol describes.
    #[error(transparent)]
    BadRequest(#[from] BadRequest),
    /// Host or origin are not those of this server.
    #[error("{0}")]
    Forbidden(&'static str),
    /// Nothing lives at this address.
    #[error("there is nothing at this address")]
    NotFound,
    /// Something lives there, but takes another method.
    #[error("this address takes another method")]
    OtherMethod,
    /// The request came too slowly.
    #[error("the request took too long to arrive; allowed: {0} s")]
    TooSlow(u64),
    /// A newer request took its place.
    #[error("superseded by a newer request")]
    Superseded,
    /// The body is too large.
    #[error("the request is too large; allowed: {0} KiB")]
    TooLarge(usize),
    /// The body is no JSON.
    #[error("a request carries JSON, with Content-Type: application/json")]
    WrongType,
    /// No connector can be made from the state.
    #[error("this cannot be built or loaded as it stands")]
    Impossible(Vec<Mistake>),
    /// A fault of the program.
    #[error("a fault of the program, not of the input: {0}")]
    Fault(String),
    /// Not built yet.
    #[error("{0} is not part of this version")]
    NotYet(&'static str),
    /// More at once than the server takes.
    #[error("too much is asked at once; ask again")]
    Busy,
    /// It took longer than allowed.
    #[error("it took longer than allowed: {0} s")]
    TooLong(u64),
}

/// One mistake in a state. Texts are empty where nothing fits.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Mistake {
    /// The key that it is about.
    pub key: String,
    /// `line 12` of an opened file.
    pub place: String,
    /// What was found.
    pub found: String,
    /// What is allowed.
    pub allowed: String,
    /// The whole sentence.
    pub says: String,
    /// What to do instead.
    pub hint: String,
}

/// A mistake that can stand alone: with its key where the sentence does not name what it is about.
fn named(mistake: &Mistake) -> String {
    if mistake.says.starts_with("found") && !mistake.key.is_empty() {
        format!("{}: {}", mistake.key, mistake.says)
    } else {
        mistake.says.clone()
    }
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
            Self::Impossible(_) => 422,
            Self::Fault(_) => 500,
            Self::NotYet(_) => 501,
            Self::Busy => 503,
            Self::TooLong(_) => 504,
        }
    }

    /// One line where there is no room for a list: the first mistake, and how many more there are.
    #[must_use]
    pub fn in_a_line(&self) -> String {
        match self {
            Self::Impossible(mistakes) => match mistakes.as_slice() {
                [] => self.to_string(),
                [one] => named(one),
                [first, more @ ..] => format!("{} ({} more)", named(first), more.len()),
            },
            other => other.to_string(),
        }
    }

    /// The JSON of the answer.
    #[must_use]
    pub fn to_json(&self) -> String {
        let mistakes: &[Mistake] = if let Self::Impossible(mistakes) = self { mistakes } else { &[] };
        // A struct of texts always becomes JSON.
        serde_json::to_string(&ErrorBody { error: self.to_string(), mistakes }).unwrap_or_default()
    }

    /// A mistake that is about one key.
    #[must_use]
    pub fn of_key(key: &str, says: &str) -> Self {
        Self::Impossible(vec![Mistake::about(key, says)])
    }
}

impl Mistake {
    /// A mistake from its sentence; what was found and what is allowed are cut out of it.
    #[must_use]
    pub fn about(key: &str, says: &str) -> Self {
        let (found, allowed) = match says.split_once("; allowed: ") {
            Some((found, allowed)) => (found.strip_prefix("found ").unwrap_or(found), allowed),
            None => ("", ""),
        };
        Self {
            key: key.to_owned(),
            found: found.to_owned(),
            allowed: allowed.to_owned(),
            says: says.to_owned(),
            ..Self::default()
        }
    }

    fn of_model(mistake: &ModelMistake, with_lines: bool) -> Self {
        let place = match &mistake.place {
            Place::Line(line) if with_lines => format!("line {line}"),
            _ => String::new(),
        };
        let hint = mistakes::told_hint(mistake).unwrap_or_default();
        Self { place, hint, ..Self::about(&mistake.key, &mistakes::problem(&mistake.problem)) }
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
    match error {
        SystemError::Outline(errors) => ApiError::Impossible(
            errors
                .iter()
                .map(|error| Mistake::about(key_of::of_outline(error), &error.to_string()))
                .collect(),
        ),
        other => ApiError::of_key("", &other.to_string()),
    }
}

/// Why a rig could not be solved.
#[must_use]
pub fn of_rig(error: &RigError) -> ApiError {
    ApiError::of_key(key_of::of_rig(error).unwrap_or_default(), &error.to_string())
}

/// A picture or a file that could not be made.
#[must_use]
pub fn of_failure(failure: &Failure) -> ApiError {
    ApiError::Fault(failure.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_are_cut_into_what_was_found_and_what_is_allowed() {
        let mistake = Mistake::about("nose.tip_mm", "found 900 mm; allowed: 2 to 150 mm");
        assert_eq!((mistake.found.as_str(), mistake.allowed.as_str()), ("900 mm", "2 to 150 mm"));
        let plain = Mistake::about("", "the notch misses");
        assert_eq!((plain.found.as_str(), plain.says.as_str()), ("", "the notch misses"));
    }

    #[test]
    fn json_always_has_an_error_and_mistakes() {
        let told: serde_json::Value = serde_json::from_str(&ApiError::Busy.to_json()).unwrap();
        assert!(told["mistakes"].as_array().unwrap().is_empty());
        let error = ApiError::of_key("a.b", "found 1; allowed: 2");
        assert_eq!(error.in_a_line(), "a.b: found 1; allowed: 2");
        let told: serde_json::Value = serde_json::from_str(&error.to_json()).unwrap();
        assert_eq!(
            (&told["mistakes"][0]["found"], &told["mistakes"][0]["key"]),
            (&"1".into(), &"a.b".into())
        );
    }
}
