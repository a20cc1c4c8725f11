//! Pulls made for tests.

use crate::logbook::record::{fill, untold};
use crate::logbook::{Field, Pull, Record, Recorded};

/// A pull of a number, with its peak, kN, and outcome where it was done, and other values.
pub fn pull(number: i64, done: Option<(f64, Option<&str>)>, values: &[(Field, &str)]) -> Pull {
    let mut record = Record { pulled: done.map(|_| untold()), ..Record::default() };
    let mut all = vec![(Field::Sample, Some(format!("bar {number}")))];
    if let Some((kn, outcome)) = done {
        all.push((Field::PulledOn, Some("2026-03-02".to_owned())));
        all.push((Field::Peak, Some(format!("{kn}"))));
        all.push((Field::Outcome, outcome.map(str::to_owned)));
    }
    all.extend(values.iter().map(|(field, value)| (*field, Some((*value).to_owned()))));
    fill(&mut record, all).unwrap();
    let at = Recorded { seq: number, at: "2026-03-02T10:00:00Z".to_owned(), taken_in: None };
    Pull {
        number,
        uid: format!("{number:032x}"),
        planned: at.clone(),
        done: done.map(|_| at),
        forecast: None,
        first: record.clone(),
        now: record,
        amendments: Vec::new(),
        withdrawn: None,
    }
}
