//! Which pulls of a logbook count as drawn from a lot, and how.

use crate::logbook::{Field, Pull};
use crate::statistics;

/// Pulls of a logbook, parted by whether they count.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Chosen {
    /// Those that count: they have a result, and how they ended was told.
    pub counted: Vec<Pull>,
    /// Numbers of those that are planned only.
    pub planned: Vec<i64>,
    /// Numbers of those whose outcome was not told: whether their peaks are strengths is not known.
    pub untold: Vec<i64>,
}

impl Chosen {
    /// Parts pulls.
    #[must_use]
    pub fn of(pulls: Vec<Pull>) -> Self {
        let mut chosen = Self::default();
        for pull in pulls {
            match (pull.peak_kn(), pull.broke()) {
                (None, _) => chosen.planned.push(pull.number),
                (Some(_), None) => chosen.untold.push(pull.number),
                (Some(_), Some(_)) => chosen.counted.push(pull),
            }
        }
        chosen
    }

    /// Those that count, as statistics takes them.
    #[must_use]
    pub fn pulls(&self) -> Vec<statistics::Pull> {
        lots_of(&self.counted)
    }

    /// Numbers of the connectors that opened: they hold no more, so that the peak is their own limit.
    #[must_use]
    pub fn opened(&self) -> Vec<i64> {
        let outcome = |pull: &Pull| pull.now.get(Field::Outcome);
        let opened = self.counted.iter().filter(|pull| outcome(pull).as_deref() == Some("opened"));
        opened.map(|pull| pull.number).collect()
    }

    /// The marking that all have, kN: with an open gate that for it. None where one has none, another, or a gate half shut, for which
    /// none is marked.
    #[must_use]
    pub fn marking_kn(&self) -> Option<f64> {
        let marking = |pull: &Pull| match pull.now.plan.gate.as_deref() {
            Some("open") => pull.now.plan.marked_open_kn,
            Some("half") => None,
            _ => pull.now.plan.marked_closed_kn,
        };
        let first = marking(self.counted.first()?)?;
        self.counted.iter().all(|pull| marking(pull) == Some(first)).then_some(first)
    }

    /// Samples of which several pulls count: these are no draws of their own.
    #[must_use]
    pub fn pulled_again(&self) -> Vec<String> {
        let samples = super::by_value(&self.counted, Field::Sample);
        samples.into_iter().filter(|(_, pulls)| pulls.len() > 1).filter_map(|(sample, _)| sample).collect()
    }
}

/// Pulls as statistics takes them, each by its sample and number.
#[must_use]
pub fn lots_of(pulls: &[Pull]) -> Vec<statistics::Pull> {
    let one = |pull: &Pull| {
        Some(statistics::Pull {
            name: Some(pull.now.plan.sample.clone()),
            number: Some(pull.number),
            ..statistics::Pull::new(pull.peak_kn()?, pull.broke()?)
        })
    };
    pulls.iter().filter_map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::super::made::pull;
    use super::*;

    #[test]
    fn each_pull_counts_as_what_it_was() {
        let pulls = [
            pull(1, Some((22.0, Some("broke"))), &[]),
            pull(2, Some((21.0, Some("opened"))), &[]),
            pull(3, Some((19.0, Some("strap broke"))), &[]),
            pull(4, Some((18.0, Some("stopped"))), &[]),
            pull(5, Some((30.0, None)), &[]),
            pull(6, None, &[]),
        ];
        let chosen = Chosen::of(pulls.to_vec());
        let told: Vec<(f64, bool, Option<i64>)> =
            chosen.pulls().iter().map(|pull| (pull.peak_kn, pull.broke, pull.number)).collect();
        assert_eq!(
            told,
            [(22.0, true, Some(1)), (21.0, true, Some(2)), (19.0, false, Some(3)), (18.0, false, Some(4))]
        );
        assert_eq!(
            (chosen.untold.clone(), chosen.planned.clone(), chosen.opened()),
            (vec![5], vec![6], vec![2])
        );
        assert_eq!(chosen.pulls()[0].name.as_deref(), Some("bar 1"));
    }

    #[test]
    fn a_marking_is_taken_only_where_all_have_it_in_the_state_of_their_gate() {
        let broke = Some((22.0, Some("broke")));
        let marking = |all: &[&[(Field, &str)]]| {
            let pulls = all.iter().enumerate().map(|(i, values)| pull(i as i64 + 1, broke, values));
            Chosen::of(pulls.collect()).marking_kn()
        };
        let marked: &[(Field, &str)] = &[(Field::MarkedClosedKn, "20"), (Field::MarkedOpenKn, "7")];
        let with = |gate| [marked, &[(Field::Gate, gate)]].concat();
        assert_eq!(marking(&[marked, marked]), Some(20.0));
        assert_eq!(marking(&[marked, &[]]), None);
        assert_eq!(marking(&[marked, &[(Field::MarkedClosedKn, "22")]]), None);
        assert_eq!(marking(&[&with("open"), &with("open")]), Some(7.0));
        assert_eq!(marking(&[&with("open"), &with("closed")]), None);
        assert_eq!(marking(&[&with("half")]), None);
    }

    #[test]
    fn samples_that_were_pulled_again_are_found() {
        let again = [
            pull(1, Some((18.0, Some("stopped"))), &[]),
            pull(2, Some((22.0, Some("broke"))), &[(Field::Sample, "BAR 1")]),
            pull(3, Some((22.0, Some("broke"))), &[]),
        ];
        assert_eq!(Chosen::of(again.to_vec()).pulled_again(), ["bar 1"]);
    }
}
