//! A finished point as the record has it: parts as identifiers, whatever people call them, in the order of the types.

use report::sweep::ToldRow;
use serde::{Deserialize, Serialize};
use solver::strength::{Ends, FailureMode};
use study::sweep::{Found, PartLimit};

/// A row of the record.
#[derive(Serialize, Deserialize)]
pub(super) struct RowLine {
    point: usize,
    outcome: OutcomeLine,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum OutcomeLine {
    Done(FoundLine),
    Failed(String),
}

#[derive(Serialize, Deserialize)]
struct FoundLine {
    gate_fraction: f64,
    gate_kn: f64,
    spine_kn: f64,
    gate_engages_at_kn: Option<f64>,
    spine_moment_nm: f64,
    peak_mpa: Option<f64>,
    first_yield_kn: Option<f64>,
    bends_at_kn: f64,
    opens_at_kn: Option<f64>,
    peak_kn: f64,
    fails_first: FailureMode,
    fails_at_kn: f64,
    #[serde(with = "EndsLine")]
    ends: Ends,
    parts: Vec<PartLine>,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "Ends", rename_all = "lowercase")]
enum EndsLine {
    Breaks,
    Opens,
    Strap,
}

#[derive(Serialize, Deserialize)]
struct PartLine {
    what: FailureMode,
    at_kn: Option<f64>,
    fails: bool,
}

impl From<&ToldRow> for RowLine {
    fn from(row: &ToldRow) -> Self {
        let outcome = match &row.outcome {
            Ok(found) => OutcomeLine::Done(FoundLine::from(&**found)),
            Err(reason) => OutcomeLine::Failed(reason.clone()),
        };
        Self { point: row.point, outcome }
    }
}

impl From<RowLine> for ToldRow {
    fn from(line: RowLine) -> Self {
        let outcome = match line.outcome {
            OutcomeLine::Done(found) => Ok(Box::new(found.into())),
            OutcomeLine::Failed(reason) => Err(reason),
        };
        Self { point: line.point, outcome }
    }
}

impl From<&Found> for FoundLine {
    fn from(found: &Found) -> Self {
        let mut parts: Vec<PartLine> =
            found.parts.iter().map(|p| PartLine { what: p.what, at_kn: p.at_kn, fails: p.fails }).collect();
        parts.sort_by_key(|part| part.what);
        Self {
            gate_fraction: found.gate_fraction,
            gate_kn: found.gate_kn,
            spine_kn: found.spine_kn,
            gate_engages_at_kn: found.gate_engages_at_kn,
            spine_moment_nm: found.spine_moment_nm,
            peak_mpa: found.peak_mpa,
            first_yield_kn: found.first_yield_kn,
            bends_at_kn: found.bends_at_kn,
            opens_at_kn: found.opens_at_kn,
            peak_kn: found.peak_kn,
            fails_first: found.fails_first,
            fails_at_kn: found.fails_at_kn,
            ends: found.ends,
            parts,
        }
    }
}

impl From<FoundLine> for Found {
    fn from(line: FoundLine) -> Self {
        let parts = line.parts.into_iter();
        let mut parts: Vec<PartLimit> =
            parts.map(|p| PartLimit { what: p.what, at_kn: p.at_kn, fails: p.fails }).collect();
        parts.sort_by_key(|part| part.what);
        Self {
            gate_fraction: line.gate_fraction,
            gate_kn: line.gate_kn,
            spine_kn: line.spine_kn,
            gate_engages_at_kn: line.gate_engages_at_kn,
            spine_moment_nm: line.spine_moment_nm,
            peak_mpa: line.peak_mpa,
            first_yield_kn: line.first_yield_kn,
            bends_at_kn: line.bends_at_kn,
            opens_at_kn: line.opens_at_kn,
            peak_kn: line.peak_kn,
            fails_first: line.fails_first,
            fails_at_kn: line.fails_at_kn,
            ends: line.ends,
            parts,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use geometry::connector::Pin;
    use solver::strength::PinFailure;

    #[test]
    fn a_row_comes_back_as_it_was() {
        // In the order of the parts, which is not that of their names.
        let bent = FailureMode::Pin(Pin::Nose, PinFailure::Bent);
        let mut parts = [FailureMode::RidesOut, FailureMode::Lip, bent]
            .map(|what| PartLimit { what, at_kn: Some(1.0 / 3.0), fails: what != bent })
            .to_vec();
        parts.sort_by_key(|part| part.what);
        let found = Found {
            gate_fraction: 0.442_887,
            gate_kn: 4.428_87,
            spine_kn: 5.571_13,
            gate_engages_at_kn: None,
            spine_moment_nm: -33.446,
            peak_mpa: Some(723.149),
            first_yield_kn: None,
            bends_at_kn: 18.5906,
            opens_at_kn: Some(19.8657),
            peak_kn: 18.7164,
            fails_first: FailureMode::Lip,
            fails_at_kn: 18.7164,
            ends: Ends::Strap,
            parts,
        };
        for outcome in [Ok(Box::new(found)), Err("no room".to_owned())] {
            let row = ToldRow { point: 7, outcome };
            let text = serde_json::to_string(&RowLine::from(&row)).unwrap();
            let back: RowLine = serde_json::from_str(&text).unwrap();
            assert_eq!(ToldRow::from(back), row);
        }
    }
}
