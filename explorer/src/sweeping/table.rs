//! The rows of a sweep as a CSV table: one line per point, failures included, units in the names of the columns.
//!
//! The columns are the same for every sweep of the same keys: each part has its own, empty where the connector has no such
//! part or no load brings it to its limit. The last column, `caution`, says once, in the first row, what the numbers are not:
//! a line of its own would be no row to the programs that read tables.

use super::plan::Plan;
use super::run::{Outcome, Row};
use crate::caution::CAUTION;

/// Parts in the order of their columns: along the gate line from nose to hinge, then the straps.
const PARTS: [&str; 23] = [
    "lip of the notch",
    "flank of the notch",
    "pin riding out of the notch",
    "nose pin, sheared",
    "nose pin, bent",
    "nose pin, bent through",
    "head of the nose, sheared",
    "root of the nose",
    "gate, torn out at the nose pin",
    "gate, torn across at the nose pin",
    "gate, crushed by the nose pin",
    "gate behind its notch",
    "gate, torn out at the hinge pin",
    "gate, torn across at the hinge pin",
    "gate, crushed by the hinge pin",
    "hinge pin, sheared",
    "hinge pin, bent",
    "hinge pin, bent through",
    "hinge lug, torn out",
    "hinge lug, torn across the hole",
    "hinge lug, crushed by the pin",
    "upper strap",
    "lower strap",
];

/// All parts that a row may name: the known ones, then any others by name.
#[must_use]
pub fn parts(rows: &[Row]) -> Vec<String> {
    let mut all: Vec<String> = PARTS.iter().map(ToString::to_string).collect();
    let mut others: Vec<&str> = rows
        .iter()
        .filter_map(Row::found)
        .flat_map(|f| &f.parts)
        .map(|p| p.what.as_str())
        .filter(|what| !all.iter().any(|known| known == what))
        .collect();
    others.sort_unstable();
    others.dedup();
    let others: Vec<String> = others.into_iter().map(ToOwned::to_owned).collect();
    all.extend(others);
    all
}

/// `hinge pin, sheared` as `limit_hinge_pin_sheared_kn`.
#[must_use]
pub fn column_of(what: &str) -> String {
    let words: Vec<&str> =
        what.split(|c: char| !c.is_ascii_alphanumeric()).filter(|w| !w.is_empty()).collect();
    format!("limit_{}_kn", words.join("_"))
}

fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// The table.
#[must_use]
pub fn csv(plan: &Plan, rows: &[Row]) -> String {
    let parts = parts(rows);
    let mut header: Vec<String> = vec!["point".to_owned()];
    header.extend(plan.varied.iter().map(|v| v.column().to_owned()));
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
    header.extend(parts.iter().map(|p| column_of(p)));
    header.push("caution".to_owned());
    let mut out = header.join(",") + "\n";
    for (i, row) in rows.iter().enumerate() {
        let mut cells = vec![row.point.to_string()];
        let place = plan.place(row.point);
        cells.extend(plan.varied.iter().zip(place).map(|(v, at)| quoted(&v.values.text(at))));
        let maybe = |value: Option<f64>| value.map_or_else(String::new, |v| v.to_string());
        match &row.outcome {
            Outcome::Failed(reason) => {
                cells.extend(["failed".to_owned(), quoted(reason)]);
                cells.resize(before_parts + parts.len(), String::new());
            }
            Outcome::Done(f) => {
                cells.extend(["done".to_owned(), String::new()]);
                cells.extend([f.gate_fraction, f.gate_kn, f.spine_kn].map(|v| v.to_string()));
                cells.push(maybe(f.gate_engages_at_kn));
                cells.push(f.spine_moment_nm.to_string());
                cells.extend([f.peak_mpa, f.first_yield_kn].map(maybe));
                cells.push(f.bends_at_kn.to_string());
                cells.push(maybe(f.opens_at_kn));
                cells.extend([f.peak_kn, f.fails_at_kn].map(|v| v.to_string()));
                cells.extend([quoted(&f.fails_first), f.ends.clone()]);
                let limit = |part: &String| f.parts.iter().find(|p| p.what == *part).and_then(|p| p.at_kn);
                cells.extend(parts.iter().map(|part| maybe(limit(part))));
            }
        }
        cells.push(if i == 0 { quoted(CAUTION) } else { String::new() });
        out.push_str(&cells.join(","));
        out.push('\n');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source;
    use crate::sweeping::point::solve_point;
    use geometry::connector::GatePlace;
    use solver::system::{System, SystemSettings};

    #[test]
    fn names_and_quotes() {
        assert_eq!(column_of("hinge pin, sheared"), "limit_hinge_pin_sheared_kn");
        assert_eq!(quoted("a \"b\", c"), "\"a \"\"b\"\", c\"");
        assert_eq!(quoted("plain"), "plain");
    }

    #[test]
    fn every_part_of_the_program_has_a_column() {
        for sets in [vec![], vec![("nose.lip_on".to_owned(), "gate".to_owned())]] {
            let mut sets: Vec<(String, String)> = sets;
            sets.push(("rig.both.strap_strength_kn".to_owned(), "22".to_owned()));
            let model = source::find("broadbar-alu").unwrap().model(&sets).unwrap();
            let settings = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
            let system =
                System::try_new(&model.connector, GatePlace::Shut, &model.materials, &settings).unwrap();
            for part in solve_point(&system, &model.case(settings)).unwrap().parts {
                assert!(PARTS.contains(&part.what.as_str()), "{} needs a place among the columns", part.what);
            }
        }
    }
}
