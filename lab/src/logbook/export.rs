//! From a logbook to a package.

use super::field::Shape;
use super::package::{
    Content, FORMAT, MOST_BYTES, Package, PackagedForecast, PackagedPull, PackagedResult, PackagedWithdrawal,
};
use super::pull::{Amendment, Pull};
use super::record::Record;
use super::{Field, Filter, Logbook, LogbookError, Unreadable};
use std::collections::BTreeSet;

impl Logbook {
    /// The pulls that are asked for, also those that are withdrawn, with the models and traces that they name, and the pulls that cannot be
    /// read and are left out. `caution`: what the numbers are not.
    ///
    /// # Errors
    /// The file cannot be read or is damaged, or there is more than a package may hold.
    pub fn package(
        &self,
        filter: &Filter,
        caution: &str,
    ) -> Result<(Package, Vec<Unreadable>), LogbookError> {
        self.package_within(filter, caution, MOST_BYTES)
    }

    /// The same within so many bytes of contents.
    pub(super) fn package_within(
        &self,
        filter: &Filter,
        caution: &str,
        most: usize,
    ) -> Result<(Package, Vec<Unreadable>), LogbookError> {
        // One state of the file, whatever another program writes meanwhile.
        let state = self.file.unchecked_transaction()?;
        // Who takes it in is to know what is withdrawn, and has no use for what cannot be read.
        let filter = Filter { withdrawn: true, ..filter.clone() };
        let (pulls, unreadable) = super::read::readable(&state, None)?;
        let pulls: Vec<PackagedPull> = pulls.iter().filter(|pull| filter.meets(pull)).map(packaged).collect();
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
        let package = Package { format: FORMAT.to_owned(), pulls, contents, caution: caution.to_owned() };
        Ok((package, unreadable))
    }
}

/// A pull as a package has it.
pub(super) fn packaged(pull: &Pull) -> PackagedPull {
    let mut packaged = PackagedPull {
        uid: pull.uid.clone(),
        recorded_at: pull.planned.at.clone(),
        plan: named_shortly(&pull.first).plan,
        forecast: pull
            .forecast
            .as_ref()
            .map(|(told, at)| PackagedForecast { recorded_at: at.at.clone(), told: told.clone() }),
        result: named_shortly(&pull.first)
            .pulled
            .zip(pull.done.as_ref())
            .map(|(told, at)| PackagedResult { recorded_at: at.at.clone(), told }),
        amendments: amendments(pull),
        withdrawn: pull
            .withdrawn
            .as_ref()
            .map(|(why, at)| PackagedWithdrawal { recorded_at: at.at.clone(), why: why.clone() }),
        sha256: String::new(),
    };
    packaged.sha256 = packaged.hash();
    packaged
}

/// The name of a file without its folders: those of this machine are nobody else's business.
fn short(name: &str) -> &str {
    name.rsplit(['/', '\\']).next().filter(|name| !name.is_empty()).unwrap_or(name)
}

/// A record whose files are named without their folders.
fn named_shortly(record: &Record) -> Record {
    let mut record = record.clone();
    let pulled = record.pulled.as_mut();
    let of_result = pulled.map_or([None, None], |p| [p.photo.as_mut(), p.trace.as_mut()]);
    for file in record.plan.model.as_mut().into_iter().chain(of_result.into_iter().flatten()) {
        file.name = short(&file.name).to_owned();
    }
    record
}

/// The corrections of a pull as a package has them: files named without their folders, and in the order of their times, if that of each
/// field stays as it is.
fn amendments(pull: &Pull) -> Vec<Amendment> {
    let named = |field: Field, value: &Option<String>| match (field.shape(), value) {
        (Shape::File, Some(text)) => {
            let (hash, name) = text.split_once(' ').unwrap_or(("-", text));
            Some(format!("{hash} {}", short(name)))
        }
        (_, value) => value.clone(),
    };
    let mut all: Vec<Amendment> = pull
        .amendments
        .iter()
        .map(|(a, _)| Amendment { old: named(a.field, &a.old), new: named(a.field, &a.new), ..a.clone() })
        // Only a folder was another.
        .filter(|a| a.old != a.new)
        .collect();
    let is_kept = Field::ALL
        .into_iter()
        .all(|field| all.iter().filter(|a| a.field == field).map(|a| &a.recorded_at).is_sorted());
    if is_kept {
        all.sort_by(|a, b| a.recorded_at.cmp(&b.recorded_at));
    }
    all
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
