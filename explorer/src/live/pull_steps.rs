//! Which steps of a pull travel to a page, where its marks show among them, and what of each the page draws.

use super::blocks::Blocks;
use crate::pulling::marks;
use report::numbers::kilonewtons;
use report::pictures::pull as words;
use report::pull_to_failure::{carries, yielded};
use serde_json::{Value as Json, json};
use solver::pull_to_failure::{Fields, Reached};
use study::pull_to_failure::Pulled;

/// Steps that travel, at most: a page plays them in a few seconds, and each has a hundred kilobytes of fields.
pub const MOST_SHOWN: usize = 40;
/// A step nearer than this to another one, in parts of the greatest load and stretch, shows nothing that the other does not.
const ALIKE: f64 = 0.012;

/// A step of a pull: one with the gate, or one of the open hook.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepOf {
    /// With the gate, or of a pull without one, as far as friction keeps what pulls it.
    Gate(usize),
    /// Of the open hook after a lost gate.
    Hook(usize),
}

/// A mark, and the first step at which it shows.
struct Mark {
    words: String,
    at: [f64; 2],
    step: StepOf,
}

/// The steps that travel.
pub struct Shown<'p> {
    pulled: &'p Pulled<'p>,
    marks: Vec<Mark>,
    /// Which, along the pull.
    pub steps: Vec<StepOf>,
}

impl<'p> Shown<'p> {
    /// Of a pull: every mark's step and both ends, and besides what lies about evenly along the curve.
    #[must_use]
    pub fn of(pulled: &'p Pulled<'p>) -> Self {
        let marks: Vec<Mark> = marks(pulled)
            .into_iter()
            .map(|mark| Mark { step: shows_at(pulled, mark.at), at: mark.at, words: mark.words })
            .collect();
        let (gate, hook) = (pulled.shown(), pulled.kept_hook());
        let all: Vec<StepOf> =
            (0..gate.len()).map(StepOf::Gate).chain((0..hook.len()).map(StepOf::Hook)).collect();
        let place = |step: StepOf| all.iter().position(|one| *one == step);
        let ends = [
            Some(0),
            Some(gate.len() - 1),
            Some(gate.len()).filter(|_| !hook.is_empty()),
            Some(all.len() - 1),
        ];
        let wanted = marks.iter().map(|mark| place(mark.step)).chain(ends).flatten();
        let along: Vec<[f64; 2]> = gate.iter().chain(hook).map(|s| [s.stretch_mm, s.load_kn]).collect();
        let steps = spread(&along, wanted.collect(), MOST_SHOWN).into_iter().map(|i| all[i]).collect();
        Self { pulled, marks, steps }
    }

    fn reached(&self, step: StepOf) -> &Reached {
        match step {
            StepOf::Gate(i) => &self.pulled.shown()[i],
            StepOf::Hook(i) => &self.pulled.kept_hook()[i],
        }
    }

    /// What is said of each, and where its gate is. Its fields go to `blocks`: what moves along as a whole is left out, the middle of the frame
    /// stands still.
    #[must_use]
    pub fn json(&self, blocks: &mut Blocks) -> Json {
        let last = self.pulled.shown().len() - 1;
        let course = &self.pulled.course;
        let one = |(i, step): (usize, &StepOf)| {
            let (fields, branch, number, phase) = match *step {
                StepOf::Gate(n) if n == last => (course.fields(n), "gate", n, words::shown_end(self.pulled)),
                StepOf::Gate(n) => (course.fields(n), "gate", n, words::phase(self.pulled, n)),
                StepOf::Hook(n) => (course.hook_fields(n), "hook", n, words::OPEN_HOOK.to_owned()),
            };
            let Fields { moved, von_mises_mpa, plastic_strain, gate } = fields;
            let count = moved.len().max(1) as f64;
            let mean = [0, 1].map(|k| moved.iter().map(|m| m[k]).sum::<f64>() / count);
            let name = |field: &str| format!("steps.{i}.{field}");
            blocks.add_f32(name("u"), 2, moved.iter().flat_map(|m| [m[0] - mean[0], m[1] - mean[1]]));
            blocks.add_f32(name("von_mises"), 1, von_mises_mpa.into_iter());
            blocks.add_f32(name("plastic_strain"), 1, plastic_strain.into_iter());
            let gate = gate.map(|gate| {
                let moved = [gate.moved[0] - mean[0], gate.moved[1] - mean[1]];
                json!({ "hinge": gate.hinge, "moved": moved, "turn": gate.turn })
            });
            let reached = self.reached(*step);
            json!({
                "branch": branch,
                "step": number,
                "load": kilonewtons(reached.load_kn),
                "stretch": words::stretch(reached),
                "words": words::at(reached),
                "phase": phase,
                "carries": carries(reached),
                "yielded": yielded(self.pulled, reached),
                "gate": gate,
            })
        };
        self.steps.iter().enumerate().map(one).collect()
    }

    /// The marks, each with the place among the steps that travel at which it first shows.
    #[must_use]
    pub fn marks_json(&self) -> Json {
        let place = |mark: &Mark| self.steps.iter().position(|s| *s == mark.step);
        let one = |mark: &Mark| json!({ "words": mark.words, "at": mark.at, "shown": place(mark) });
        self.marks.iter().map(one).collect()
    }

    /// Numbers of the steps that travel, with the gate and of the open hook.
    #[must_use]
    pub fn numbers(&self) -> [Vec<usize>; 2] {
        let of = |pick: fn(&StepOf) -> Option<usize>| self.steps.iter().filter_map(pick).collect();
        [
            of(|step| if let StepOf::Gate(i) = step { Some(*i) } else { None }),
            of(|step| if let StepOf::Hook(i) = step { Some(*i) } else { None }),
        ]
    }
}

/// The step of the open hook that a mark stands on, else the first one with the gate that has come as far.
fn shows_at(pulled: &Pulled<'_>, at: [f64; 2]) -> StepOf {
    let steps = pulled.shown();
    if let Some(hook) = pulled.kept_hook().iter().position(|s| [s.stretch_mm, s.load_kn] == at) {
        return StepOf::Hook(hook);
    }
    StepOf::Gate(steps.iter().position(|s| s.stretch_mm >= at[0]).unwrap_or(steps.len() - 1))
}

/// At most so many places along a curve, `wanted` among them: one after the other that which lies farthest from all before, in parts of the
/// greatest load and stretch.
fn spread(along: &[[f64; 2]], wanted: Vec<usize>, most: usize) -> Vec<usize> {
    let greatest = [0, 1].map(|k| along.iter().map(|p| p[k]).fold(1e-9, f64::max));
    let apart = |a: usize, b: usize| {
        let [x, y] = [0, 1].map(|k| (along[a][k] - along[b][k]) / greatest[k]);
        x.hypot(y)
    };
    let mut taken = vec![false; along.len()];
    let mut away = vec![f64::INFINITY; along.len()];
    let mut take = |i: usize, taken: &mut Vec<bool>| {
        taken[i] = true;
        for (j, nearest) in away.iter_mut().enumerate() {
            *nearest = nearest.min(apart(i, j));
        }
        (0..away.len())
            .filter(|j| !taken[*j] && away[*j] > ALIKE)
            .max_by(|a, b| away[*a].total_cmp(&away[*b]))
    };
    let mut next = None;
    for i in wanted {
        next = take(i, &mut taken);
    }
    while let Some(i) = next.filter(|_| taken.iter().filter(|t| **t).count() < most) {
        next = take(i, &mut taken);
    }
    (0..along.len()).filter(|i| taken[*i]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_steps_travel_all_and_many_are_spread_with_those_that_are_wanted() {
        let line = |n: usize| (0..n).map(|i| [i as f64, 2.0 * i as f64]).collect::<Vec<_>>();
        assert_eq!(spread(&line(7), vec![0, 6], 40), (0..7).collect::<Vec<_>>());
        let some = spread(&line(401), vec![0, 400, 137, 138], 40);
        assert_eq!(some.len(), 40);
        assert!([0, 137, 138, 400].iter().all(|i| some.contains(i)), "{some:?}");
        let widest = some.windows(2).map(|pair| pair[1] - pair[0]).max();
        assert!(widest <= Some(20), "{some:?}");
        assert_eq!(spread(&line(1), vec![0], 40), [0]);
        // What hardly differs stays away, unless it is wanted.
        let crowded = [[0.0, 0.0], [0.001, 0.0], [0.002, 0.001], [1.0, 1.0]];
        assert_eq!(spread(&crowded, vec![0, 3], 40), [0, 3]);
        assert_eq!(spread(&crowded, vec![0, 2, 3], 40), [0, 2, 3]);
    }
}
