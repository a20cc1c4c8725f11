//! Pulls told apart by one of their values, and what each group says.

use super::{by_value, lots_of};
use crate::logbook::{Field, Pull};
use crate::statistics::{Figures, Lot, NoWelch, Question, Welch};

/// Pulls that have a value in common.
#[derive(Clone, Debug)]
pub struct Group {
    /// The value as the logbook has it; nothing where it was not told.
    pub value: Option<String>,
    /// Of a model what was set over it, each as KEY=VALUE in the order of the letters: with other values it is another connector.
    pub sets: Vec<String>,
    /// What its pulls say.
    pub figures: Figures,
}

/// Pulls told apart by a value.
#[derive(Clone, Debug)]
pub struct Groups {
    /// What they are told apart by.
    pub by: Field,
    /// The groups, in the order in which their first pulls were recorded.
    pub groups: Vec<Group>,
    /// The first against the second, where there are two.
    pub between: Option<Result<Welch, NoWelch>>,
}

impl Groups {
    /// Of pulls that count.
    #[must_use]
    pub fn of(pulls: &[Pull], by: Field) -> Self {
        let mut groups = Vec::new();
        for (value, places) in by_value(pulls, by) {
            for (sets, places) in by_sets(pulls, by, places) {
                let of_group: Vec<Pull> = places.into_iter().filter_map(|i| pulls.get(i).cloned()).collect();
                // Every peak of a logbook is within what a lot may have.
                if let Ok(lot) = Lot::new(lots_of(&of_group)) {
                    let first = lot.pulls().first().and_then(|pull| pull.number);
                    let group =
                        Group { value: value.clone(), sets, figures: Figures::of(lot, &Question::default()) };
                    groups.push((first, group));
                }
            }
        }
        groups.sort_by_key(|(first, _)| *first);
        let groups: Vec<Group> = groups.into_iter().map(|(_, group)| group).collect();
        let between = match &groups[..] {
            [first, second] => Some(Welch::of(&first.figures.lot, &second.figures.lot)),
            _ => None,
        };
        Self { by, groups, between }
    }
}

/// Pulls of one model told apart by what was set over it; of any other field all of them.
fn by_sets(pulls: &[Pull], by: Field, places: Vec<usize>) -> Vec<(Vec<String>, Vec<usize>)> {
    if by != Field::Model {
        return vec![(Vec::new(), places)];
    }
    let mut found: Vec<(Vec<String>, Vec<usize>)> = Vec::new();
    for place in places {
        let mut sets = pulls.get(place).map_or_else(Vec::new, |pull| pull.now.plan.sets.clone());
        sets.sort();
        match found.iter_mut().find(|(of, _)| *of == sets) {
            Some((_, all)) => all.push(place),
            None => found.push((sets, vec![place])),
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::made::pull;
    use super::*;

    fn of(loads: [(i64, f64, &str, &str); 5]) -> Groups {
        let pulls: Vec<Pull> = loads
            .into_iter()
            .map(|(number, kn, end, outcome)| pull(number, Some((kn, Some(outcome))), &[(Field::Upper, end)]))
            .collect();
        Groups::of(&pulls, Field::Upper)
    }

    #[test]
    fn a_model_with_other_values_is_another_connector() {
        let model = format!("{} ring.toml", "a".repeat(64));
        let of = |number, kn, sets: Option<&str>| {
            let mut values = vec![(Field::Model, model.as_str())];
            values.extend(sets.map(|sets| (Field::Sets, sets)));
            pull(number, Some((kn, Some("broke"))), &values)
        };
        let pulls = [
            of(1, 22.0, None),
            of(2, 15.0, Some("rig.gate=open\nnose.tip_mm=14")),
            of(3, 22.5, None),
            of(4, 15.2, Some("nose.tip_mm=14\nrig.gate=open")),
        ];
        let found = Groups::of(&pulls, Field::Model);
        let told: Vec<(usize, Vec<f64>)> =
            found.groups.iter().map(|g| (g.sets.len(), g.figures.lot.breaks_kn())).collect();
        assert_eq!(told, [(0, vec![22.0, 22.5]), (2, vec![15.0, 15.2])]);
        assert!(found.between.is_some());
        // By anything else they are one.
        assert_eq!(Groups::of(&pulls, Field::Kind).groups.len(), 1);
    }

    #[test]
    fn groups_are_those_of_their_values_and_two_of_breaks_are_compared() {
        let found = of([
            (1, 22.0, "strap", "broke"),
            (2, 20.0, "bench bar", "broke"),
            (3, 22.5, "Strap", "broke"),
            (4, 20.2, "bench bar", "opened"),
            (5, 22.3, "strap", "broke"),
        ]);
        let told: Vec<(Option<&str>, Vec<f64>)> =
            found.groups.iter().map(|g| (g.value.as_deref(), g.figures.lot.breaks_kn())).collect();
        assert_eq!(told, [(Some("strap"), vec![22.0, 22.5, 22.3]), (Some("bench bar"), vec![20.0, 20.2])]);
        let welch = found.between.unwrap().unwrap();
        assert!((welch.difference_kn - (66.8 / 3.0 - 20.1)).abs() < 1e-12);
        let ended = of([
            (1, 22.0, "strap", "broke"),
            (2, 20.0, "bench bar", "broke"),
            (3, 22.5, "strap", "broke"),
            (4, 20.2, "bench bar", "broke"),
            (5, 22.3, "strap", "stopped"),
        ]);
        assert_eq!(ended.between, Some(Err(NoWelch::Ended)));
        let three = of([
            (1, 22.0, "strap", "broke"),
            (2, 20.0, "bench bar", "broke"),
            (3, 22.5, "hook", "broke"),
            (4, 20.2, "bench bar", "broke"),
            (5, 22.3, "strap", "broke"),
        ]);
        assert!(three.groups.len() == 3 && three.between.is_none());
    }
}
