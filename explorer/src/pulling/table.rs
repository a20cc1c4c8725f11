//! The steps of a pull as a CSV table: one row a step, those of the open hook after those with the gate, units in the names of the columns.
//! The last column, `caution`, says once, in the first row, what the numbers are not.

use report::caution::CAUTION;
use report::numbers::unsigned_zero;
use solver::pull_to_failure::{Course, Reached};

const COLUMNS: [&str; 17] = [
    "branch",
    "step",
    "load_kn",
    "stretch_mm",
    "stroke_mm",
    "gate_kn",
    "spine_kn",
    "gate_fraction",
    "gate_line_kn",
    "nose_opening_mm",
    "pin_out_mm",
    "opened_deg",
    "plastic_strain",
    "ductility_used",
    "heat_j",
    "iterations",
    "caution",
];

/// The table, as bytes of a file.
///
/// # Errors
/// It cannot be made.
pub fn csv(course: &Course<'_>) -> Result<Vec<u8>, csv::Error> {
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record(COLUMNS)?;
    let hook = course.hook.as_ref().map_or(&[][..], |hook| hook.steps.as_slice());
    let branches: [(&str, &[Reached]); 2] = [("gate", &course.steps), ("hook", hook)];
    let mut caution = CAUTION;
    for (branch, steps) in branches {
        for (step, s) in steps.iter().enumerate() {
            let numbers = [
                s.load_kn,
                s.stretch_mm,
                s.stroke_mm,
                s.gate_kn,
                s.spine_kn,
                s.gate_fraction,
                s.gate_line_kn,
                s.nose_opening_mm,
                s.pin_out_mm,
                s.opened_deg,
                s.plastic_strain,
            ];
            let mut cells = vec![branch.to_owned(), step.to_string()];
            cells.extend(numbers.map(|n| unsigned_zero(n).to_string()));
            cells.push(s.ductility_used.map_or_else(String::new, |used| used.to_string()));
            cells.extend([unsigned_zero(s.heat_j).to_string(), s.iterations.to_string(), caution.to_owned()]);
            caution = "";
            table.write_record(&cells)?;
        }
    }
    table.into_inner().map_err(|error| csv::Error::from(error.into_error()))
}
