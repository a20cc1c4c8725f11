//! The names of fields, in sentences and as options.

use lab::logbook::Field;

/// A strap, as a logbook has it.
pub const STRAP: &str = "strap";
/// A bench bar, as a logbook has it.
pub const BENCH_BAR: &str = "bench bar";

/// A field in a sentence.
#[must_use]
pub const fn field(field: Field) -> &'static str {
    match field {
        Field::Sample => "sample",
        Field::Kind => "kind",
        Field::AgeYears => "age",
        Field::HoursOfUse => "hours of use",
        Field::EarlierPulls => "earlier pulls",
        Field::MarkedClosedKn => "marking, gate closed",
        Field::MarkedOpenKn => "marking, gate open",
        Field::Measured => "measured",
        Field::Model => "model",
        Field::Sets => "values set over the model",
        Field::Upper => "upper end",
        Field::UpperSizeMm => "size, upper end",
        Field::UpperOffsetMm => "offset, upper end",
        Field::Lower => "lower end",
        Field::LowerSizeMm => "size, lower end",
        Field::LowerOffsetMm => "offset, lower end",
        Field::Gate => "gate",
        Field::EngagedMm => "pin engaged",
        Field::Rig => "rig",
        Field::PulledOn => "day",
        Field::Peak => "peak",
        Field::Outcome => "outcome",
        Field::Place => "place of the break",
        Field::Photo => "photo",
        Field::Remark => "remark",
        Field::Trace => "trace",
    }
}

/// The option that tells a field.
#[must_use]
pub const fn option(field: Field) -> &'static str {
    match field {
        Field::Sample => "--sample",
        Field::Kind => "--kind",
        Field::AgeYears => "--age",
        Field::HoursOfUse => "--hours",
        Field::EarlierPulls => "--earlier-pulls",
        Field::MarkedClosedKn => "--marking",
        Field::MarkedOpenKn => "--marking-open",
        Field::Measured => "--measured",
        Field::Model => "--model",
        Field::Sets => "--set",
        Field::Upper => "--upper",
        Field::UpperSizeMm => "--upper-size",
        Field::UpperOffsetMm => "--upper-offset",
        Field::Lower => "--lower",
        Field::LowerSizeMm => "--lower-size",
        Field::LowerOffsetMm => "--lower-offset",
        Field::Gate => "--gate",
        Field::EngagedMm => "--engaged",
        Field::Rig => "--rig",
        Field::PulledOn => "--date",
        Field::Peak => "--peak",
        Field::Outcome => "--outcome",
        Field::Place => "--where",
        Field::Photo => "--photo",
        Field::Remark => "--remark",
        Field::Trace => "--trace",
    }
}

/// The unit of a field, with a blank before it.
pub(super) const fn unit(field: Field) -> &'static str {
    match field {
        Field::AgeYears => " years",
        Field::HoursOfUse => " h",
        Field::UpperSizeMm
        | Field::UpperOffsetMm
        | Field::LowerSizeMm
        | Field::LowerOffsetMm
        | Field::EngagedMm => " mm",
        _ => "",
    }
}

/// A value of a field with its unit.
#[must_use]
pub fn with_unit(of: Field, value: &str) -> String {
    match of {
        Field::MarkedClosedKn | Field::MarkedOpenKn => format!("{value} kN"),
        _ => format!("{value}{}", unit(of)),
    }
}

/// Options in a row.
pub(super) fn options(fields: &[Field]) -> String {
    fields.iter().map(|of| option(*of)).collect::<Vec<_>>().join(", ")
}

/// Pulls by their numbers: "pull 3", "pulls 1 to 3, 7".
#[must_use]
pub fn numbers(numbers: &[i64]) -> String {
    let mut runs: Vec<[i64; 2]> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some(run) if run[1] + 1 == *number => run[1] = *number,
            _ => runs.push([*number, *number]),
        }
    }
    let told: Vec<String> = runs
        .iter()
        .map(|[from, to]| match to - from {
            0 => from.to_string(),
            1 => format!("{from}, {to}"),
            _ => format!("{from} to {to}"),
        })
        .collect();
    format!("{} {}", if numbers.len() == 1 { "pull" } else { "pulls" }, told.join(", "))
}

/// A day, or a day with its time.
pub(super) fn day(text: &str) -> String {
    match text.strip_suffix('Z') {
        Some(time) => format!("{} UTC", time.replace('T', " ")),
        None => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_told_as_one() {
        assert_eq!(numbers(&[3]), "pull 3");
        assert_eq!(numbers(&[1, 2]), "pulls 1, 2");
        assert_eq!(numbers(&[1, 2, 3, 7, 9, 10]), "pulls 1 to 3, 7, 9, 10");
    }
}
