//! What pulls allow to be claimed of their lot: what `pullmap lot` tells, with its picture.

use super::{Kept, refused};
use crate::args::{TypedFilter, load, lot_key, peaks};
use crate::failure::Failure;
use crate::live::api_error::{ApiError, of_failure};
use crate::live::reply::Reply;
use crate::live::told::Mistake;
use crate::lots::{from_logbook, hash, picture, sizes};
use lab::logbook::Field;
use lab::statistics::{Figures, Lot, Question};
use report::caution::CAUTION_OF_LOTS;
use report::lot::{Document, FromLogbook, ended, headline, lines, no_lot, title};
use report::page::records::no_key;
use report::reason::Reason;
use serde::Deserialize;
use serde_json::json;

/// Where a page asks for it.
pub const LOT: &str = "/api/lot";

/// `/api/lot`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct OfLot {
    /// Which pulls of the logbook.
    #[serde(default)]
    filter: TypedFilter,
    /// Peaks, in place of those of the logbook.
    #[serde(default)]
    values: Option<String>,
    /// What is marked on the lot.
    #[serde(default)]
    marking: Option<String>,
    /// What the pulls are to be told apart by.
    #[serde(default)]
    by: Option<String>,
    /// Whether the picture is for a phone.
    #[serde(default)]
    phone: bool,
}

/// Judges a lot.
///
/// # Errors
/// A page that others reach, values that may not be, a logbook that cannot be read, or no pull that counts.
pub fn lot(kept: &Kept, ticket: u64, asked: &OfLot) -> Result<Reply, ApiError> {
    let given = |text: &Option<String>| text.clone().filter(|text| !text.trim().is_empty());
    let mut mistakes = Vec::new();
    let mut wrong = |key: &str, why: String| mistakes.push(Mistake::about(key, Reason::OfKey(why)));
    let marking = given(&asked.marking)
        .and_then(|text| load(&text).map_err(|why| wrong("marking", why.to_string())).ok());
    let typed = given(&asked.values)
        .and_then(|text| peaks(&text).map_err(|why| wrong("values", why.to_string())).ok());
    let by = given(&asked.by).and_then(|word| {
        let field = lot_key(&word);
        if field.is_none() {
            wrong("by", no_key(&word, &crate::args::lot_keys()));
        }
        field
    });
    if !mistakes.is_empty() {
        return Err(refused::all(mistakes));
    }
    let (lot, taken) = match typed {
        Some(typed) => (Lot::new(typed.0), None),
        None => {
            let mut taken = taken(kept, &asked.filter, by)?;
            taken.marking_kn = taken.marking_kn.filter(|_| marking.is_none());
            (Lot::new(taken.chosen.pulls()), Some(taken))
        }
    };
    let lot = lot.map_err(|mistakes| refused::failure(Failure::Lot(no_lot(&mistakes))))?;
    let marking_kn = marking.or_else(|| taken.as_ref()?.marking_kn);
    let question = Question { marking_kn, ..Question::default() };
    let hash = hash(&lot, &question, taken.as_ref());
    let found = Figures::of(lot, &question);
    let size = sizes(&found)[usize::from(asked.phone)];
    let svg = picture(&found, &question, taken.as_ref(), &hash, size)
        .to_svg()
        .map_err(|error| of_failure(&Failure::Picture(error)))?;
    Ok(Reply::Json(json!({
        "ticket": ticket,
        "title": format!("{}: {}", title(&found), ended(&found)),
        "sentence": headline(&found),
        "lines": lines(&found, &question),
        "groups": taken.as_ref().map(FromLogbook::groups).unwrap_or_default(),
        "notes": taken.as_ref().map(FromLogbook::notes).unwrap_or_default(),
        "lot": Document::new(&found, &question, taken.as_ref()),
        "svg": svg,
        "caution": CAUTION_OF_LOTS,
    })))
}

fn taken(kept: &Kept, filter: &TypedFilter, by: Option<Field>) -> Result<FromLogbook, ApiError> {
    let filter = filter.filter().map_err(refused::typed)?;
    from_logbook(kept.to_read()?, &filter, by).map_err(refused::failure)
}
