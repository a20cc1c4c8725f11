//! From a package to a logbook: all of it or nothing.

use super::content::{keep, sha256};
use super::dates;
use super::export::{contents_named, packaged};
use super::package::{Conflict, FORMAT, MOST_BYTES, Package, PackageError, PackagedPull, Part, What, Wrong};
use super::read::all;
use super::record::Record;
use super::write::{Origin, put_amendment, put_forecast, put_plan, put_result, put_withdrawal, reason};
use super::{Amendment, Field, Logbook, LogbookError};
use rusqlite::{Transaction, params};
use std::collections::{BTreeMap, BTreeSet};

/// What was taken in of a package.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Imported {
    /// Numbers that new pulls were given, in order.
    pub new: Vec<i64>,
    /// Pulls that were there, of which the package knows more: a result, amendments.
    pub extended: Vec<i64>,
    /// Pulls that were there as they are, or of which the logbook knows more.
    pub there: Vec<i64>,
}

/// A package that was read and found sound, with the name of its file and the hash of its bytes.
#[derive(Clone, Debug, PartialEq)]
pub struct Sound {
    package: Package,
    file: String,
    sha256: String,
}

impl Sound {
    /// Reads a package. `is_place`: whether a word is one of a broken place.
    ///
    /// # Errors
    /// It is no package, it is damaged, or something in it may not be: all of that at once.
    pub fn read(bytes: &[u8], file: &str, is_place: &dyn Fn(&str) -> bool) -> Result<Self, PackageError> {
        Ok(Self { package: read(bytes, is_place)?, file: file.to_owned(), sha256: sha256(bytes) })
    }
}

impl Logbook {
    /// Takes in a package.
    ///
    /// # Errors
    /// It contradicts the logbook, or the file cannot be written. Nothing of it is taken in then.
    pub fn import(&mut self, sound: &Sound) -> Result<Imported, LogbookError> {
        let package = &sound.package;
        let transaction = self.begin()?;
        let here: BTreeMap<String, (i64, PackagedPull)> = all(&transaction, None)?
            .iter()
            .map(|pull| (pull.uid.clone(), (pull.number, packaged(pull))))
            .collect();
        let conflicts: Vec<Conflict> = package
            .pulls
            .iter()
            .filter_map(|theirs| {
                let (number, ours) = here.get(&theirs.uid)?;
                let part = difference(ours, theirs)?;
                Some(Conflict { number: *number, uid: theirs.uid.clone(), part })
            })
            .collect();
        if !conflicts.is_empty() {
            return Err(LogbookError::Package(PackageError::Conflicts(conflicts)));
        }
        let mut done = Imported::default();
        let is_known =
            |theirs: &PackagedPull| here.get(&theirs.uid).is_some_and(|(_, ours)| !knows_more(theirs, ours));
        if package.pulls.iter().all(is_known) {
            done.there = package.pulls.iter().filter_map(|theirs| Some(here.get(&theirs.uid)?.0)).collect();
            return Ok(done);
        }
        let origin = put_import(&transaction, &sound.file, &sound.sha256)?;
        // Only what is needed: a pull that was there has its contents.
        let needed: BTreeSet<String> =
            package.pulls.iter().filter(|theirs| !is_known(theirs)).flat_map(contents_named).collect();
        for content in package.contents.iter().filter(|content| needed.contains(&content.sha256)) {
            keep(&transaction, &content.bytes().unwrap_or_default())?;
        }
        for theirs in &package.pulls {
            match here.get(&theirs.uid) {
                None => done.new.push(put_new(&transaction, theirs, &origin)?),
                Some((number, ours)) if knows_more(theirs, ours) => {
                    put_more(&transaction, *number, ours, theirs, &origin)?;
                    done.extended.push(*number);
                }
                Some((number, _)) => done.there.push(*number),
            }
        }
        transaction.commit()?;
        Ok(done)
    }
}

/// Whether the first says more of a pull than the second, both agreeing in what both say.
fn knows_more(one: &PackagedPull, other: &PackagedPull) -> bool {
    one.result.is_some() && other.result.is_none()
        || one.withdrawn.is_some() && other.withdrawn.is_none()
        || !further(one, other).is_empty()
}

/// The corrections that the first has and the second has not: of each field those behind the ones that both have, in their order.
fn further<'p>(one: &'p PackagedPull, other: &PackagedPull) -> Vec<&'p Amendment> {
    let count = |field: Field| other.amendments.iter().filter(|a| a.field == field).count();
    let mut seen: BTreeMap<Field, usize> = BTreeMap::new();
    let mut found = Vec::new();
    for amendment in &one.amendments {
        let place = seen.entry(amendment.field).or_default();
        *place += 1;
        if *place > count(amendment.field) {
            found.push(amendment);
        }
    }
    found
}

/// In what two accounts of a pull contradict each other. One that says more of it, and all that the other says, does not.
fn difference(ours: &PackagedPull, theirs: &PackagedPull) -> Option<Part> {
    if (&ours.recorded_at, &ours.plan) != (&theirs.recorded_at, &theirs.plan) {
        return Some(Part::Plan);
    }
    if ours.forecast != theirs.forecast {
        return Some(Part::Forecast);
    }
    if ours.result.is_some() && theirs.result.is_some() && ours.result != theirs.result {
        return Some(Part::Result);
    }
    // Of one field both have the same corrections, as far as both have some; different fields were corrected by different people, perhaps.
    let of = |pull: &PackagedPull, field: Field| -> Vec<Amendment> {
        pull.amendments.iter().filter(|a| a.field == field).cloned().collect()
    };
    let differs = |field: Field| {
        let (ours, theirs) = (of(ours, field), of(theirs, field));
        let shared = ours.len().min(theirs.len());
        ours[..shared] != theirs[..shared]
    };
    Field::ALL.into_iter().any(differs).then_some(Part::Amendments)
}

fn put_import(transaction: &Transaction<'_>, file: &str, hash: &str) -> Result<Origin, LogbookError> {
    transaction.execute(
        "INSERT INTO imports (imported_at, file, hash) VALUES (?1, ?2, ?3)",
        params![dates::now(), file, hash],
    )?;
    Ok(Origin { import: Some(transaction.last_insert_rowid()) })
}

fn put_new(
    transaction: &Transaction<'_>,
    theirs: &PackagedPull,
    origin: &Origin,
) -> Result<i64, LogbookError> {
    let number = put_plan(transaction, &theirs.recorded_at, Some(&theirs.uid), &theirs.plan, origin)?;
    if let Some(forecast) = &theirs.forecast {
        put_forecast(transaction, &forecast.recorded_at, number, &forecast.told, origin)?;
    }
    let bare = PackagedPull { result: None, amendments: Vec::new(), withdrawn: None, ..theirs.clone() };
    put_more(transaction, number, &bare, theirs, origin)?;
    Ok(number)
}

fn put_more(
    transaction: &Transaction<'_>,
    number: i64,
    ours: &PackagedPull,
    theirs: &PackagedPull,
    origin: &Origin,
) -> Result<(), LogbookError> {
    if let (None, Some(result)) = (&ours.result, &theirs.result) {
        put_result(transaction, &result.recorded_at, number, &result.told, origin)?;
    }
    // What stands there now, as this logbook has it: a file may be named with its folders.
    let here = super::read::one(transaction, number)?;
    let mut now: BTreeMap<Field, Option<String>> = BTreeMap::new();
    for amendment in further(theirs, ours) {
        let old = now.remove(&amendment.field).unwrap_or_else(|| here.now.get(amendment.field));
        now.insert(amendment.field, amendment.new.clone());
        let values = [old, amendment.new.clone()];
        let why = &amendment.why;
        put_amendment(transaction, &amendment.recorded_at, number, amendment.field, &values, why, origin)?;
    }
    if let (None, Some(withdrawn)) = (&ours.withdrawn, &theirs.withdrawn) {
        put_withdrawal(transaction, &withdrawn.recorded_at, number, &withdrawn.why, origin)?;
    }
    Ok(())
}

/// Reads a package and holds all of it to what may be.
fn read(bytes: &[u8], is_place: &dyn Fn(&str) -> bool) -> Result<Package, PackageError> {
    if bytes.len() > MOST_BYTES {
        return Err(PackageError::TooLarge(MOST_BYTES));
    }
    /// The format alone.
    #[derive(serde::Deserialize)]
    struct Head {
        format: String,
    }
    let not_of_the_form = |error: serde_json::Error| PackageError::NotOfTheForm(error.to_string());
    let head: Head = serde_json::from_slice(bytes).map_err(not_of_the_form)?;
    if head.format != FORMAT {
        return Err(PackageError::Format(head.format));
    }
    let package: Package = serde_json::from_slice(bytes).map_err(not_of_the_form)?;
    let mut wrong = Vec::new();
    let mut contents = BTreeSet::new();
    for content in &package.contents {
        if content.bytes().is_none_or(|bytes| bytes.len() > super::content::MOST_BYTES) {
            wrong.push(Wrong { pull: 0, name: content.sha256.clone(), what: What::Hash });
        }
        contents.insert(content.sha256.clone());
    }
    let mut uids = BTreeSet::new();
    for (place, pull) in package.pulls.iter().enumerate() {
        let mut add = |what| wrong.push(Wrong { pull: place + 1, name: pull.uid.clone(), what });
        let is_uid = pull.uid.len() == 32
            && pull.uid.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
        if !is_uid || !uids.insert(&pull.uid) {
            add(What::Uid);
        }
        if pull.hash() != pull.sha256 {
            add(What::Hash);
        }
        check(pull, is_place, &mut add);
        for hash in contents_named(pull).into_iter().filter(|hash| !contents.contains(hash)) {
            add(What::NoContent(hash));
        }
    }
    if wrong.is_empty() { Ok(package) } else { Err(PackageError::Wrong(wrong)) }
}

/// The corrections of what a pull gave.
fn of_result(pull: &PackagedPull) -> impl Iterator<Item = &Amendment> {
    pull.amendments.iter().filter(|a| a.field.is_result())
}

/// Every value of a pull, and that each of its amendments follows from what stood there.
fn check(pull: &PackagedPull, is_place: &dyn Fn(&str) -> bool, add: &mut dyn FnMut(What)) {
    let (forecast, result) = (
        pull.forecast.as_ref().map(|forecast| &forecast.recorded_at),
        pull.result.as_ref().map(|result| &result.recorded_at),
    );
    // A plan may be corrected before there is a result, a result only then; and all of it before a pull is withdrawn, or not.
    let in_order = [
        [Some(&pull.recorded_at), forecast, result].into_iter().flatten().collect::<Vec<_>>(),
        [&pull.recorded_at].into_iter().chain(pull.amendments.iter().map(|a| &a.recorded_at)).collect(),
        result.into_iter().chain(of_result(pull).map(|a| &a.recorded_at)).collect(),
        [&pull.recorded_at].into_iter().chain(pull.withdrawn.as_ref().map(|w| &w.recorded_at)).collect(),
    ];
    // All of one length, so that the order of their letters is that of time.
    let backwards = |times: &Vec<&String>| {
        let pair = times.windows(2).find(|pair| pair[0] > pair[1])?;
        Some([pair[0].clone(), pair[1].clone()])
    };
    if let Some(pair) = in_order.iter().find_map(backwards) {
        add(What::Order(pair));
    }
    let times: std::collections::BTreeSet<&String> = in_order.iter().flatten().copied().collect();
    for time in times {
        if time.len() != 20 || dates::read(time).as_ref() != Some(time) {
            add(What::Time(time.clone()));
        }
    }
    if pull.forecast.as_ref().is_some_and(|forecast| !forecast.told.is_sound()) {
        add(What::Forecast);
    }
    if pull.withdrawn.as_ref().is_some_and(|w| reason(&w.why).as_ref() != Ok(&w.why)) {
        add(What::Withdrawal);
    }
    let mut record =
        Record { plan: pull.plan.clone(), pulled: pull.result.as_ref().map(|result| result.told.clone()) };
    let mistakes = record.mistakes(is_place);
    let sound = mistakes.is_empty();
    mistakes.into_iter().for_each(|mistake| add(What::Value(mistake)));
    if !sound {
        return;
    }
    for (place, amendment) in pull.amendments.iter().enumerate() {
        let locked = amendment.field.is_forecast_from() && pull.forecast.is_some();
        let follows = !locked
            && amendment.old != amendment.new
            && reason(&amendment.why).as_ref() == Ok(&amendment.why)
            && record.get(amendment.field) == amendment.old
            && record.set(amendment.field, amendment.new.as_deref()).is_ok()
            && record.get(amendment.field) == amendment.new
            && record.mistakes(is_place).is_empty();
        if !follows {
            return add(What::Amendment(place + 1));
        }
    }
}
