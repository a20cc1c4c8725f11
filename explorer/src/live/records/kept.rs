//! The logbook of a page, and who may read it and record in it.

use crate::args::lot_keys;
use crate::live::api_error::{ApiError, Forbidden};
use crate::tracing::LARGEST;
use lab::force_unit::ForceUnit;
use lab::logbook::DEFAULT_FILE;
use lab::logbook::content::MOST_BYTES;
use lab::logbook::field::OUTCOMES;
use serde_json::{Value as Json, json};
use std::net::IpAddr;
use std::path::{Path, PathBuf};

/// The logbook of a page. A page that only this machine reaches reads it and records in it. One that others reach reads it where it was
/// named on purpose, and never records: the page has no password, and what is recorded stays.
#[derive(Clone, Debug)]
pub struct Kept {
    path: PathBuf,
    reads: bool,
    writes: bool,
}

impl Kept {
    /// The logbook that is named, or the usual one, of a page that is served at that address.
    #[must_use]
    pub fn new(named: Option<PathBuf>, at: IpAddr) -> Self {
        let writes = at.is_loopback();
        Self {
            reads: writes || named.is_some(),
            writes,
            path: named.unwrap_or_else(|| PathBuf::from(DEFAULT_FILE)),
        }
    }

    /// The file, for reading.
    ///
    /// # Errors
    /// [`Forbidden::Reading`].
    pub fn to_read(&self) -> Result<&Path, ApiError> {
        if self.reads { Ok(&self.path) } else { Err(Forbidden::Reading.into()) }
    }

    /// The file, for recording.
    ///
    /// # Errors
    /// [`Forbidden::Writing`].
    pub fn to_write(&self) -> Result<&Path, ApiError> {
        if self.writes { Ok(&self.path) } else { Err(Forbidden::Writing.into()) }
    }

    /// What a page must know to ask for records.
    #[must_use]
    pub fn told(&self) -> Json {
        json!({
            "file": self.path.display().to_string(),
            "reads": self.reads,
            "writes": self.writes,
            "units": ForceUnit::ALL.map(ForceUnit::sign),
            "largest_trace": LARGEST,
            "largest_kept": MOST_BYTES,
            "outcomes": OUTCOMES,
            "keys": lot_keys(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_that_others_reach_records_nothing() {
        let kept = |named: Option<&str>, at: &str| {
            let kept = Kept::new(named.map(PathBuf::from), at.parse().unwrap());
            (kept.to_read().is_ok(), kept.to_write().is_ok())
        };
        assert_eq!(kept(None, "127.0.0.1"), (true, true));
        assert_eq!(kept(Some("a"), "::1"), (true, true));
        for open in ["0.0.0.0", "::", "192.168.1.7"] {
            assert_eq!((kept(None, open), kept(Some("a"), open)), ((false, false), (true, false)), "{open}");
        }
    }
}
