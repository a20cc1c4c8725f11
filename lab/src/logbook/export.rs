//! From a logbook to a package.

use super::package::{Content, FORMAT, MOST_BYTES, Package, PackagedForecast, PackagedPull, PackagedResult};
use super::pull::Pull;
use super::{Field, Filter, Logbook, LogbookError};
use std::collections::BTreeSet;

impl Logbook {
    /// The pulls that are asked for, with the models and traces that they name. `caution`: what the numbers are not.
    ///
    /// # Errors
    /// The file cannot be read or is damaged, or there is more than a package may hold.
    pub fn package(&self, filter: &Filter, caution: &str) -> Result<Package, LogbookError> {
        self.package_within(filter, caution, MOST_BYTES)
    }

    /// The same within so many bytes of contents.
    pub(super) fn package_within(
        &self,
        filter: &Filter,
        caution: &str,
        most: usize,
    ) -> Result<Package, LogbookError> {
        // One state of the file, whatever another program writes meanwhile.
        let state = self.file.unchecked_transaction()?;
        let pulls: Vec<PackagedPull> =
            super::read::all(&state, None)?.iter().filter(|pull| filter.meets(pull)).map(packaged).collect();
        let named: BTreeSet<String> = pulls.iter().flat_map(contents_named).collect();
        // Looked up before any of it is read: it may be more than there is room for.
        let mut bytes = 0;
        for hash in &named {
            bytes += super::read::content_length(&state, hash)?;
        }
        if bytes > most {
            return Err(LogbookError::PackageTooLarge { most });
        }
        let contents = named
            .iter()
            .map(|hash| Ok(Content::of(super::read::content(&state, hash)?)))
            .collect::<Result<_, LogbookError>>()?;
        Ok(Package { format: FORMAT.to_owned(), pulls, contents, caution: caution.to_owned() })
    }
}

/// A pull as a package has it.
pub(super) fn packaged(pull: &Pull) -> PackagedPull {
    let mut packaged = PackagedPull {
        uid: pull.uid.clone(),
        recorded_at: pull.planned.at.clone(),
        plan: pull.first.plan.clone(),
        forecast: pull
            .forecast
            .as_ref()
            .map(|(told, at)| PackagedForecast { recorded_at: at.at.clone(), told: told.clone() }),
        result: pull
            .first
            .pulled
            .as_ref()
            .zip(pull.done.as_ref())
            .map(|(told, at)| PackagedResult { recorded_at: at.at.clone(), told: told.clone() }),
        amendments: pull.amendments.iter().map(|(amendment, _)| amendment.clone()).collect(),
        sha256: String::new(),
    };
    packaged.sha256 = packaged.hash();
    packaged
}

/// The hashes of the contents that a pull names, or named once.
pub(super) fn contents_named(pull: &PackagedPull) -> Vec<String> {
    let trace = pull.result.as_ref().and_then(|result| result.told.trace.as_ref());
    let first =
        [pull.plan.model.as_ref(), trace].into_iter().flatten().filter_map(|file| file.sha256.clone());
    let later = pull.amendments.iter().filter(|a| matches!(a.field, Field::Model | Field::Trace));
    let later = later.flat_map(|a| [&a.old, &a.new]).flatten().filter_map(|text| text.split(' ').next());
    first.chain(later.map(str::to_owned)).collect()
}
