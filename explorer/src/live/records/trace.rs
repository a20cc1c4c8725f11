//! A file of a load cell as a page sends it: what `pullmap trace` tells of it, with the picture that it draws.

use crate::args::TypedAsked;
use crate::failure::Failure;
use crate::live::api_error::{ApiError, of_failure};
use crate::live::reply::Reply;
use crate::live::told::Mistake;
use crate::live::turns::Claim;
use crate::tracing::{PICTURES, curve, one_file, told};
use lab::logbook::Traced;
use lab::logbook::content::MOST_BYTES;
use lab::trace::TraceError;
use report::caution::CAUTION_OF_RECORDS;
use report::page::records::NO_READING;
use report::reason::Reason;
use report::trace::{
    Document, Found, Row, agreement, error_on_a_page, neither, rows_on_a_page, understood_on_a_page,
};
use serde::Deserialize;
use serde_json::{Value as Json, json};

/// Where a page sends it.
pub const TRACE: &str = "/api/trace";

/// Letters of a file's name that are told on.
const LONGEST_NAME: usize = 200;

/// `/api/trace`, before the bytes of the file.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct OfTrace {
    /// What the file is called.
    pub name: String,
    /// What overrules it, as typed behind the options of the command.
    #[serde(default)]
    pub asked: TypedAsked,
    /// Whether the picture is for a phone.
    #[serde(default)]
    pub phone: bool,
}

/// What stands in the file.
///
/// # Errors
/// It gives no reading, or nobody wants it any more.
pub fn read_trace(ticket: u64, of: &OfTrace, bytes: &[u8], wanted: &Claim) -> Result<Reply, ApiError> {
    let refused = |mistakes| ApiError::Refused(NO_READING, mistakes);
    let asked = of.asked.asked().map_err(|wrong| {
        refused(wrong.into_iter().map(|(key, why)| Mistake::about(key, Reason::OfKey(why))).collect())
    })?;
    let name = name_of(&of.name);
    let read = told(&name, bytes, &asked).map_err(|error| refused(vec![mistake(&name, &error)]))?;
    wanted.check()?;
    let mut svg = None;
    let mut tables = Vec::new();
    if let Found::Pull(recording, pulls) = &read.found {
        let drawing = curve(&read, recording, pulls, PICTURES[usize::from(of.phone)])
            .map_err(|error| of_failure(&Failure::Chart(error)))?;
        svg = Some(drawing.to_svg().map_err(|error| of_failure(&Failure::Picture(error)))?);
        tables = pulls
            .iter()
            .zip(&recording.channels)
            .map(|(pull, cell)| told_rows(rows_on_a_page(pull, cell)))
            .collect();
    }
    let all = std::slice::from_ref(&read);
    let cells = one_file(all);
    // What a result would be given of it, and why not where it would not.
    let peak = (bytes.len() <= MOST_BYTES).then(|| Traced::peak(bytes));
    let (peak, no_peak) = match peak {
        None => (None, Some(report::page::records::too_large_to_keep(MOST_BYTES))),
        Some(Ok(peak)) => (Some(peak), None),
        Some(Err(why)) => (None, Some(report::logbook::no_traced_peak_on_a_page(&why))),
    };
    Ok(Reply::Json(json!({
        "ticket": ticket,
        "trace": Document::new(all, cells.as_ref()),
        "rows": tables,
        "understood": understood_on_a_page(&read),
        "agreement": cells.as_ref().map(agreement),
        "peak": peak,
        "no_peak": no_peak,
        "svg": svg,
        "caution": CAUTION_OF_RECORDS,
    })))
}

fn told_rows(rows: Vec<Row>) -> Vec<Json> {
    rows.into_iter()
        .map(|Row { what, value, more }| json!({ "what": what, "value": value, "more": more }))
        .collect()
}

/// The last part of a name: folders are nobody else's business.
pub fn name_of(given: &str) -> String {
    let last = given.rsplit(['/', '\\']).next().unwrap_or_default();
    let plain: String = last.chars().filter(|letter| !letter.is_control()).take(LONGEST_NAME).collect();
    if plain.trim().is_empty() { report::page::records::UNNAMED.to_owned() } else { plain }
}

/// Why a file gives no reading, with the field that settles it.
fn mistake(name: &str, error: &TraceError) -> Mistake {
    let (key, line) = match error {
        TraceError::Empty | TraceError::NoText | TraceError::NoValues => {
            return Mistake::about("", Reason::Whole(neither(name, error)));
        }
        TraceError::TooFew { .. } | TraceError::AllMissing => ("", None),
        TraceError::PeaksOrCurve { .. } => ("rate", None),
        TraceError::CommaTwice { line, .. }
        | TraceError::HeadingWidth { line, .. }
        | TraceError::BadCell { line, .. }
        | TraceError::OtherLength { line, .. } => ("", Some(*line)),
        TraceError::TwoRates { line, .. }
        | TraceError::UnknownTime { line, .. }
        | TraceError::TooLong { line, .. }
        | TraceError::TimeGoesBack { line, .. } => ("rate", Some(*line)),
        TraceError::NoPull { .. } | TraceError::NoUnit { .. } => ("unit", None),
        TraceError::TwoUnits { line, .. } | TraceError::NotALoad { line, .. } => ("unit", Some(*line)),
        TraceError::TwoWays { line, .. } => ("decimal", Some(*line)),
        TraceError::NoLoad { .. }
        | TraceError::WhichLoad { .. }
        | TraceError::NoSuchColumn { .. }
        | TraceError::NoNumbers { .. } => ("column", None),
        TraceError::NoScale { .. } => ("counts_per_unit", None),
        TraceError::BadScale { line } => ("counts_per_unit", (*line > 0).then_some(*line)),
        TraceError::SeveralParts { .. } | TraceError::NoSuchPart { .. } => ("part", None),
    };
    Mistake { line, ..Mistake::about(key, Reason::Whole(error_on_a_page(error))) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_told_without_their_folders() {
        assert_eq!(name_of("C:\\bench\\run 1.csv"), "run 1.csv");
        assert_eq!(name_of("../../etc/passwd"), "passwd");
        assert_eq!(name_of("a\u{1b}[2J.csv"), "a[2J.csv");
        assert_eq!(name_of(" /"), report::page::records::UNNAMED);
    }
}
