//! What a page may ask, as it comes in. The answers are in `answer` and beside the work that makes them; the whole is
//! told in `docs/live-protocol.md`. A pull until failure has a file of its own (`to_failure`).

use super::allowed::{MOST_ENLARGED, MOST_PIXELS, SIDE, VALUES, VERSION};
use super::api_error::ApiError;
use super::bad_request::BadRequest;
use super::state::State;
use crate::args::{Field, loads_kn};
use report::quantities::{range_in_words, with_unit};
use report::reason::Reason;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use study::model::quantity::{self, Dimension};

/// What every request carries.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Envelope {
    /// [`VERSION`].
    pub version: u32,
    /// Drawn by the page once when it loads.
    pub session: String,
    /// Raised by the page with each request.
    pub ticket: u64,
}

/// Shortest and longest name of a session.
const SESSION_LETTERS: std::ops::RangeInclusive<usize> = 8..=64;

/// Reads the envelope and the rest of a request.
///
/// # Errors
/// [`ApiError::BadRequest`]: not JSON, not of the form wanted, or of another version.
pub fn read<T: DeserializeOwned>(body: &[u8]) -> Result<(Envelope, T), ApiError> {
    let bad = |error: serde_json::Error| ApiError::from(BadRequest::Json(error.to_string()));
    let envelope: Envelope = serde_json::from_slice(body).map_err(bad)?;
    if envelope.version != VERSION {
        return Err(BadRequest::Version(envelope.version).into());
    }
    let letters = SESSION_LETTERS.contains(&envelope.session.len())
        && envelope.session.bytes().all(|byte| byte.is_ascii_alphanumeric());
    if !letters {
        return Err(BadRequest::Session.into());
    }
    Ok((envelope, serde_json::from_slice(body).map_err(bad)?))
}

/// `/api/solve`, and each question on `/api/wire`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Solve {
    /// What to solve.
    pub state: State,
    /// What of the answer is wanted.
    #[serde(default)]
    pub want: Want,
}

/// What of a solve's answer is wanted.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
pub struct Want {
    /// The mesh that the page holds.
    pub mesh_id: Option<String>,
    /// Fields beyond displacement and von Mises stress.
    pub fields: Vec<Extra>,
    /// Leave out what needs further solves.
    pub quick: bool,
}

/// A field that is sent on request.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub enum Extra {
    /// Always sent; named here so that a page may name what it shows.
    VonMises,
    /// Stress along the pull axis.
    Pull,
    /// Principal stresses and their direction.
    Principal,
    /// Stress along the outline.
    Ribbon,
}

/// `/api/limits`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Judge {
    /// The state.
    pub state: State,
    /// Limits alone, without the complete findings.
    #[serde(default)]
    pub quick: bool,
}

/// Requests that hold a state and nothing else: `/api/save`, `/api/findings`, `/api/range`, `/api/sensitivity`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct OfState {
    /// The state.
    pub state: State,
}

/// A load, as a number of kN or as it was typed.
#[derive(Clone, Debug, Deserialize, PartialEq)]
#[serde(untagged)]
pub enum TypedLoad {
    /// A number of kN.
    Number(f64),
    /// A text: `17,2`, `17.2 kN`, `3800 lbf`.
    Text(String),
}

impl TypedLoad {
    /// The load, kN, within those that can be asked for.
    ///
    /// # Errors
    /// [`ApiError::Impossible`] of this key: no load, or one that is too small or too large.
    pub fn kn(&self, key: &str) -> Result<f64, ApiError> {
        let (found, kn) = match self {
            Self::Number(kn) => (with_unit(*kn, Dimension::Force), *kn),
            Self::Text(text) => {
                let kn = match text.trim().parse::<f64>() {
                    Ok(kn) => kn,
                    Err(_) => quantity::parse(text, Dimension::Force)
                        .map_err(|error| ApiError::of_quantity(key, &error))?,
                };
                (with_unit(kn, Dimension::Force), kn)
            }
        };
        let loads = loads_kn();
        if (loads[0]..=loads[1]).contains(&kn) {
            return Ok(kn);
        }
        Err(ApiError::of_key(key, Reason::found(found, range_in_words(loads, Dimension::Force))))
    }
}

/// `/api/explain`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Pull {
    /// The state.
    pub state: State,
    /// Peak of the pull, kN.
    pub broke_at_kn: TypedLoad,
    /// A word for the place that broke, one of those that `/api/start` lists; empty when it is not known.
    #[serde(default, rename = "where")]
    pub place: String,
}

/// `/api/progress`: session and ticket are those of the question that is waited for.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct HowFar {
    /// The address that it was put to.
    pub of: String,
}

/// `/api/open`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Open {
    /// Text of a model file.
    pub toml: String,
}

/// One parameter carried through a range.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Range {
    /// The parameter.
    pub key: String,
    /// First value, in the key's unit.
    pub from: f64,
    /// Last value.
    pub to: f64,
    /// How many values.
    pub n: usize,
}

impl Range {
    /// The values, evenly spaced.
    ///
    /// # Errors
    /// [`ApiError::BadRequest`]: no range, or too many or too few values.
    pub fn values(&self) -> Result<Vec<f64>, ApiError> {
        if !(self.from.is_finite() && self.to.is_finite() && self.from < self.to) {
            return Err(BadRequest::Ends.into());
        }
        if !VALUES.contains(&self.n) {
            return Err(BadRequest::Values(self.n).into());
        }
        let last = (self.n - 1) as f64;
        // Rounded so that -0.30000000000000004 is not what a page shows.
        let round = |value: f64| (value * 1e9).round() / 1e9;
        Ok((0..self.n).map(|i| round(self.from + (self.to - self.from) * i as f64 / last)).collect())
    }
}

/// What a chart shows.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub enum ChartOf {
    /// The gate's share of the pull.
    Share,
    /// The load at which something fails first, and the highest load.
    Forecast,
}

/// `/api/chart`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Chart {
    /// The state.
    pub state: State,
    /// The parameter.
    #[serde(flatten)]
    pub range: Range,
    /// What is drawn.
    pub what: ChartOf,
    /// For a dark page.
    #[serde(default)]
    pub dark: bool,
    /// Size in pixels.
    pub size: [u32; 2],
}

/// `/api/still` and `/api/svg`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Still {
    /// The state.
    pub state: State,
    /// Size in pixels.
    pub size: [u32; 2],
    /// What the colours show.
    #[serde(default)]
    pub field: Shown,
    /// Displacements drawn this many times enlarged.
    #[serde(default)]
    pub enlarged: f64,
}

impl Still {
    /// Checks size and enlargement.
    ///
    /// # Errors
    /// [`ApiError::BadRequest`] with what is allowed.
    pub fn check(&self) -> Result<(), ApiError> {
        check_size(self.size)?;
        if !(0.0..=MOST_ENLARGED).contains(&self.enlarged) {
            return Err(BadRequest::Enlarged.into());
        }
        Ok(())
    }
}

/// Checks the size of a picture.
///
/// # Errors
/// [`ApiError::BadRequest`] with what is allowed.
pub fn check_size([width, height]: [u32; 2]) -> Result<(), ApiError> {
    let fits = SIDE.contains(&width) && SIDE.contains(&height);
    if fits && u64::from(width) * u64::from(height) <= MOST_PIXELS {
        return Ok(());
    }
    Err(BadRequest::Size([width, height]).into())
}

/// What a picture shows.
#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub enum Shown {
    /// Equivalent stress.
    #[default]
    VonMises,
    /// Stress along the pull.
    Pull,
    /// The larger principal stress by size.
    Principal,
    /// Stress trajectories.
    Trajectories,
}

impl Shown {
    /// The same word for a picture.
    #[must_use]
    pub fn field(self) -> Field {
        match self {
            Self::VonMises => Field::VonMises,
            Self::Pull => Field::PullDirection,
            Self::Principal => Field::Principal,
            Self::Trajectories => Field::Trajectories,
        }
    }

    /// Its word in the protocol.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::VonMises => "von_mises",
            Self::Pull => "pull",
            Self::Principal => "principal",
            Self::Trajectories => "trajectories",
        }
    }
}

/// `/api/page`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Page {
    /// The state that the page opens with.
    pub state: State,
    /// States to compare with.
    #[serde(default)]
    pub kept: Vec<Kept>,
    /// A parameter to carry through a range.
    #[serde(default)]
    pub sweep: Option<Range>,
    /// What the colours show.
    #[serde(default)]
    pub field: Shown,
}

/// A state kept for comparison.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct Kept {
    /// What the page calls it.
    pub name: String,
    /// The state.
    pub state: State,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn envelopes_are_checked() {
        let body = |version: u32, session: &str| {
            format!(
                "{{\"version\": {version}, \"session\": \"{session}\", \"ticket\": 4, \"state\": {{\"model\": \"oval\"}}}}"
            )
        };
        let (envelope, request) = read::<Solve>(body(VERSION, "abcdefgh").as_bytes()).unwrap();
        assert_eq!((envelope.ticket, request.want), (4, Want::default()));
        let refused = |body: &str| match read::<Solve>(body.as_bytes()) {
            Err(ApiError::BadRequest(why)) => why,
            other => panic!("{body}: {other:?}"),
        };
        assert_eq!(refused(&body(VERSION + 1, "abcdefgh")), BadRequest::Version(VERSION + 1));
        // A blank among enough letters, then too few and too many of them.
        for session in ["abcd efgh", "short", &"a".repeat(65)] {
            assert_eq!(refused(&body(VERSION, session)), BadRequest::Session, "{session}");
        }
        for text in ["{", "[]", ""] {
            assert!(matches!(refused(text), BadRequest::Json(_)), "{text}");
        }
    }

    #[test]
    fn a_load_is_a_number_or_what_was_typed() {
        let load = |json: &str| serde_json::from_str::<TypedLoad>(json).unwrap().kn("broke_at_kn");
        for json in ["17.2", "\"17.2\"", "\"17,2\"", "\"17.2 kN\"", "\"17200 N\""] {
            assert_eq!(load(json), Ok(17.2), "{json}");
        }
        for json in ["-1", "\"17 mm\"", "\"much\"", "\"1,700 N\"", "\"NaN\"", "1e300"] {
            let Err(ApiError::Impossible(mistakes)) = load(json) else { panic!("{json}") };
            assert_eq!(mistakes[0].key, "broke_at_kn", "{json}");
        }
    }

    #[test]
    fn ranges_hit_both_ends() {
        let range = |from, to, n| Range { key: "a".to_owned(), from, to, n };
        assert_eq!(range(-0.3, 0.3, 3).values().unwrap(), [-0.3, 0.0, 0.3]);
        for ends in [range(1.0, 1.0, 5), range(0.0, f64::NAN, 5), range(f64::NEG_INFINITY, 0.0, 5)] {
            assert_eq!(ends.values(), Err(BadRequest::Ends.into()), "{ends:?}");
        }
        for n in [2, 1_000_000] {
            assert_eq!(range(0.0, 1.0, n).values(), Err(BadRequest::Values(n).into()));
        }
    }

    #[test]
    fn pictures_have_sensible_sizes() {
        for size in [[1920, 1080], [1080, 1920], [1080, 1080], [3840, 2160]] {
            check_size(size).unwrap();
        }
        for size in [[0, 100], [7680, 7680], [u32::MAX, u32::MAX]] {
            assert_eq!(check_size(size), Err(BadRequest::Size(size).into()));
        }
    }
}
