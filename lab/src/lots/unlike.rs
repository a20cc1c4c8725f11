//! What pulls differ in that makes them no one lot: a strength belongs to a connector in its rig.

use super::by_value;
use crate::logbook::{Field, Pull};

/// Whether a strength depends on it, or it tells connectors apart.
fn is_compared(field: Field) -> bool {
    matches!(field, Field::Kind | Field::MarkedClosedKn | Field::MarkedOpenKn) || field.is_of_rig()
}

/// A field in which pulls differ.
#[derive(Clone, Debug, PartialEq)]
pub struct Unlike {
    /// The field.
    pub field: Field,
    /// Its values, two or more that were told, and of how many pulls each is; nothing where it was not told.
    pub values: Vec<(Option<String>, usize)>,
}

/// The fields in which pulls differ. What was not told of some is no difference by itself.
#[must_use]
pub fn unlike(pulls: &[Pull]) -> Vec<Unlike> {
    let values = |field| -> Vec<(Option<String>, usize)> {
        by_value(pulls, field).into_iter().map(|(value, pulls)| (value, pulls.len())).collect()
    };
    let all = Field::before()
        .filter(|field| is_compared(*field))
        .map(|field| Unlike { field, values: values(field) });
    all.filter(|found| found.values.iter().filter(|(value, _)| value.is_some()).count() > 1).collect()
}

#[cfg(test)]
mod tests {
    use super::super::made::pull;
    use super::*;

    #[test]
    fn what_differs_is_found_and_what_was_not_told_is_no_difference() {
        let broke = Some((22.0, Some("broke")));
        let strap: &[(Field, &str)] = &[(Field::Upper, "strap"), (Field::UpperSizeMm, "12")];
        // How often each value of a field is met.
        type Met = (Field, Vec<(Option<String>, usize)>);
        let found = |values: &[(Field, &str)]| -> Vec<Met> {
            let pulls = [pull(1, broke, strap), pull(2, broke, values), pull(3, broke, &[])];
            unlike(&pulls).into_iter().map(|one| (one.field, one.values)).collect()
        };
        assert_eq!(found(strap), []);
        assert_eq!(found(&[(Field::Upper, "STRAP"), (Field::UpperSizeMm, "12.0")]), []);
        let other = found(&[(Field::Upper, "bench bar"), (Field::UpperSizeMm, "10"), (Field::Gate, "open")]);
        let text = |word: &str| Some(word.to_owned());
        assert_eq!(
            other,
            [
                (Field::Upper, vec![(text("strap"), 1), (text("bench bar"), 1), (None, 1)]),
                (Field::UpperSizeMm, vec![(text("12"), 1), (text("10"), 1), (None, 1)]),
            ]
        );
        let offset = unlike(&[
            pull(1, broke, &[(Field::LowerOffsetMm, "0")]),
            pull(2, broke, &[(Field::LowerOffsetMm, "5")]),
        ]);
        assert_eq!(offset.iter().map(|one| one.field).collect::<Vec<_>>(), [Field::LowerOffsetMm]);
    }
}
