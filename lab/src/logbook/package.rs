//! The open form in which pulls are shared: one JSON file, whole with the models and traces that it names.
//!
//! Every pull has a hash of its own, every content that of its bytes, so that damage on the way is noticed. The hashes are no signature:
//! that a forecast was blind is, of a pull that was taken in, the word of whoever made the package.

use super::content::sha256;
use super::pull::{Amendment, Forecast};
use super::record::{Mistake, Plan, Pulled};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Name and version of the format.
pub const FORMAT: &str = "pullmap-pulls-1";

/// Bytes of a package that is taken in at most.
pub const MOST_BYTES: usize = 512 << 20;

/// Pulls to be shared.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Package {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    pub format: String,
    /// The pulls, in the order in which they were first recorded.
    pub pulls: Vec<PackagedPull>,
    /// The models and traces that they name, each once, in the order of their hashes.
    pub contents: Vec<Content>,
    /// What the numbers are not.
    pub caution: String,
}

/// A pull.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct PackagedPull {
    /// What it is known by in every logbook.
    #[schemars(extend("pattern" = "^[0-9a-f]{32}$"))]
    pub uid: String,
    /// When sample, model and rig were recorded, universal time.
    pub recorded_at: String,
    /// Sample, model and rig, as first recorded.
    pub plan: Plan,
    /// What was forecast before the pull; null when nothing was.
    pub forecast: Option<PackagedForecast>,
    /// What the pull gave, as first recorded; null while it was not pulled.
    pub result: Option<PackagedResult>,
    /// Corrections, in the order of their times. The present value of a field is that of its last one.
    pub amendments: Vec<Amendment>,
    /// Why the pull is withdrawn; not there where it counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub withdrawn: Option<PackagedWithdrawal>,
    /// SHA-256 of this object without this key, written with its keys sorted at every level and without white space.
    #[schemars(extend("pattern" = "^[0-9a-f]{64}$"))]
    pub sha256: String,
}

/// A forecast and when it was recorded.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct PackagedForecast {
    /// When, universal time.
    pub recorded_at: String,
    /// What was forecast.
    pub told: Forecast,
}

/// A result and when it was recorded.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct PackagedResult {
    /// When, universal time.
    pub recorded_at: String,
    /// What the pull gave.
    pub told: Pulled,
}

/// A withdrawal and when it was recorded.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct PackagedWithdrawal {
    /// When, universal time.
    pub recorded_at: String,
    /// Why.
    #[schemars(length(min = 1))]
    pub why: String,
}

/// A model or a trace.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Content {
    /// SHA-256 of its bytes.
    #[schemars(extend("pattern" = "^[0-9a-f]{64}$"))]
    pub sha256: String,
    /// How its bytes are written.
    pub encoding: Encoding,
    /// Its bytes.
    pub data: String,
}

/// How bytes are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Encoding {
    /// They are UTF-8, and stand as they are.
    Text,
    /// Base64 with padding.
    Base64,
}

impl Content {
    /// Bytes with their hash.
    #[must_use]
    pub fn of(bytes: Vec<u8>) -> Self {
        let sha256 = sha256(&bytes);
        match String::from_utf8(bytes) {
            Ok(data) => Self { sha256, encoding: Encoding::Text, data },
            Err(error) => {
                Self { sha256, encoding: Encoding::Base64, data: STANDARD.encode(error.as_bytes()) }
            }
        }
    }

    /// The bytes, where they are those of the hash.
    #[must_use]
    pub fn bytes(&self) -> Option<Vec<u8>> {
        let bytes = match self.encoding {
            Encoding::Text => self.data.clone().into_bytes(),
            Encoding::Base64 => STANDARD.decode(&self.data).ok()?,
        };
        (sha256(&bytes) == self.sha256).then_some(bytes)
    }
}

impl PackagedPull {
    /// The hash of all but the hash.
    #[must_use]
    pub fn hash(&self) -> String {
        let mut value = serde_json::to_value(self).unwrap_or_default();
        if let Some(object) = value.as_object_mut() {
            object.shift_remove("sha256");
        }
        value.sort_all_objects();
        sha256(value.to_string().as_bytes())
    }
}

/// Why a package is not taken in. Nothing of it is, then.
#[derive(Clone, Debug, PartialEq)]
pub enum PackageError {
    /// Larger than so many bytes.
    TooLarge(usize),
    /// No JSON, or not of this form: the words of the reader, with the place.
    NotOfTheForm(String),
    /// Of another format.
    Format(String),
    /// Something in it is wrong.
    Wrong(Vec<Wrong>),
    /// Pulls that stand in the logbook otherwise.
    Conflicts(Vec<Conflict>),
}

/// Something that is wrong in a package.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrong {
    /// Of which pull, from 1; 0 of a content.
    pub pull: usize,
    /// What it is known by: uid, or hash of a content.
    pub name: String,
    /// What is wrong.
    pub what: What,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// The hash is not that of what stands there.
    Hash,
    /// A content that is named and not there.
    NoContent(String),
    /// No uid, or one that stands there twice.
    Uid,
    /// No time.
    Time(String),
    /// Two times that run backwards: plan, forecast, result and amendments were recorded one after the other.
    Order([String; 2]),
    /// A forecast that is none.
    Forecast,
    /// A value that may not be.
    Value(Mistake),
    /// An amendment, from 1, that does not follow from what stood there.
    Amendment(usize),
    /// A withdrawal without a reason.
    Withdrawal,
}

/// A pull that stands in the logbook otherwise than in a package.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// Its number in the logbook.
    pub number: i64,
    /// What it is known by.
    pub uid: String,
    /// What differs.
    pub part: Part,
}

/// A part of a pull.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Sample, model and rig.
    Plan,
    /// What was forecast.
    Forecast,
    /// What it gave.
    Result,
    /// What was corrected.
    Amendments,
}
