//! The rows of a sweep as a CSV table: one line per point, failures included, units in the names of the columns.
//!
//! The columns are the same for every sweep of the same keys: each part has its own, empty where the connector has no such
//! part or no load brings it to its limit. The last column, `caution`, says once, in the first row, what the numbers are not:
//! a line of its own would be no row to the programs that read tables.

use super::error::SweepError;
use geometry::connector::Pin;
use report::caution::CAUTION;
use report::failure_modes::{self, column};
use report::sweep::ToldRow;
use solver::rig::RigEnd;
use solver::strength::{FailureMode, LugFailure, PinFailure};
use study::sweep::Plan;

/// Parts in the order of their columns: along the gate line from nose to hinge, then the straps.
#[must_use]
pub fn parts() -> Vec<FailureMode> {
    let bent = [PinFailure::Sheared, PinFailure::Bent, PinFailure::BentThrough];
    let torn = [LugFailure::TornOut, LugFailure::TornAcross, LugFailure::Crushed];
    let mut all = vec![FailureMode::Lip, FailureMode::Flank, FailureMode::RidesOut];
    all.extend(bent.map(|how| FailureMode::Pin(Pin::Nose, how)));
    all.extend([FailureMode::NoseHead, FailureMode::NoseRoot]);
    all.extend(torn.map(|how| FailureMode::Gate(Pin::Nose, how)));
    all.push(FailureMode::BehindNotch);
    all.extend(torn.map(|how| FailureMode::Gate(Pin::Hinge, how)));
    all.extend(bent.map(|how| FailureMode::Pin(Pin::Hinge, how)));
    all.extend(torn.map(FailureMode::HingeLug));
    all.extend([RigEnd::Upper, RigEnd::Lower].map(FailureMode::Strap));
    all
}

/// The table, as bytes of a file.
///
/// # Errors
/// It cannot be made.
pub fn csv(plan: &Plan, rows: &[ToldRow]) -> Result<Vec<u8>, SweepError> {
    let parts = parts();
    let mut header: Vec<String> = vec!["point".to_owned()];
    header.extend(plan.varied.iter().map(|v| v.key.path()));
    header.extend(
        [
            "status",
            "reason",
            "gate_fraction",
            "gate_kn",
            "spine_kn",
            "gate_engages_at_kn",
            "spine_moment_nm",
            "peak_mpa",
            "first_yield_kn",
            "bends_at_kn",
            "opens_at_kn",
            "peak_kn",
            "fails_at_kn",
            "fails_first",
            "ends",
        ]
        .map(ToOwned::to_owned),
    );
    let before_parts = header.len();
    header.extend(parts.iter().map(|p| column(*p).to_owned()));
    header.push("caution".to_owned());
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record(&header)?;
    for (i, row) in rows.iter().enumerate() {
        let mut cells = vec![row.point.to_string()];
        let place = plan.place(row.point);
        cells.extend(plan.varied.iter().zip(place).map(|(v, at)| v.values.text(at)));
        let maybe = |value: Option<f64>| value.map_or_else(String::new, |v| v.to_string());
        match &row.outcome {
            Err(reason) => {
                cells.extend(["failed".to_owned(), reason.clone()]);
                cells.resize(before_parts + parts.len(), String::new());
            }
            Ok(f) => {
                cells.extend(["done".to_owned(), String::new()]);
                cells.extend([f.gate_fraction, f.gate_kn, f.spine_kn].map(|v| v.to_string()));
                cells.push(maybe(f.gate_engages_at_kn));
                cells.push(f.spine_moment_nm.to_string());
                cells.extend([f.peak_mpa, f.first_yield_kn].map(maybe));
                cells.push(f.bends_at_kn.to_string());
                cells.push(maybe(f.opens_at_kn));
                cells.extend([f.peak_kn, f.fails_at_kn].map(|v| v.to_string()));
                cells.extend([
                    failure_modes::name(f.fails_first).to_owned(),
                    failure_modes::ends(f.ends).to_owned(),
                ]);
                let limit =
                    |part: &FailureMode| f.parts.iter().find(|p| p.what == *part).and_then(|p| p.at_kn);
                cells.extend(parts.iter().map(|part| maybe(limit(part))));
            }
        }
        cells.push(if i == 0 { CAUTION.to_owned() } else { String::new() });
        table.write_record(&cells)?;
    }
    Ok(table.into_inner().map_err(|error| csv::Error::from(error.into_error()))?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_is_named_in_its_column() {
        let sheared = FailureMode::Pin(Pin::Hinge, PinFailure::Sheared);
        assert_eq!(column(sheared), "limit_hinge_pin_sheared_kn");
    }

    #[test]
    fn every_part_has_one_column_and_the_frame_has_others() {
        let mut columns = parts();
        columns.sort_unstable();
        let mut all: Vec<FailureMode> = FailureMode::all().into_iter().filter(|m| !m.is_of_frame()).collect();
        all.sort_unstable();
        assert_eq!(columns, all);
    }
}
