//! A cause over its range: solved outcomes at a few values, and what an observation makes of them.

use super::observed::Observed;
use super::outcome::{Outcome, Parts};
use crate::forecast::Law;

/// Points that a scan is read at.
const POINTS: u32 = 240;
/// The same for each of two scans at once.
const PAIR_POINTS: u32 = 60;

/// How likely each value of a range is before anything was seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Prior {
    /// All alike.
    Even,
    /// Normal about a value, cut off at the ends of the range.
    About {
        /// Most likely value.
        middle: f64,
        /// Standard deviation.
        spread: f64,
    },
}

impl Prior {
    /// How likely a value is against the likeliest, 0 to 1.
    #[must_use]
    pub fn weight(self, value: f64) -> f64 {
        match self {
            Self::Even => 1.0,
            Self::About { middle, spread } => (-0.5 * ((value - middle) / spread).powi(2)).exp(),
        }
    }
}

impl From<Law> for Prior {
    fn from(law: Law) -> Self {
        match law {
            Law::Normal { middle, sigma, .. } => Self::About { middle, spread: sigma },
            Law::Even { .. } => Self::Even,
        }
    }
}

/// Solved outcomes by rising value.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scan {
    nodes: Vec<(f64, Outcome)>,
}

/// What an observation makes of a scan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighed {
    /// Mean fit over the range, each value by its chance.
    pub evidence: f64,
    /// The middle of the likely values: where a range fits alike, its end would say too much.
    pub value: f64,
    /// The likely values around the best one.
    pub likely: [f64; 2],
}

/// What an observation makes of two scans at once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeighedPair {
    /// Mean fit over both ranges.
    pub evidence: f64,
    /// The same of the better of the two alone, read at the same values: what the pair adds is the difference.
    pub alone: f64,
    /// The most likely pair of values.
    pub values: [f64; 2],
    /// The likely values of each, whatever the other is.
    pub likely: [[f64; 2]; 2],
}

/// Lowest and highest load of a range, kN, and what each comes from.
pub type Reach<T> = [(f64, T); 2];

impl Scan {
    /// Adds a solved outcome; one at the same value takes its place.
    pub fn add(&mut self, value: f64, outcome: Outcome) {
        let place = self.nodes.partition_point(|n| n.0 < value);
        match self.nodes.get_mut(place) {
            Some(node) if node.0 == value => node.1 = outcome,
            _ => self.nodes.insert(place, (value, outcome)),
        }
    }

    /// Solved values and outcomes.
    #[must_use]
    pub fn nodes(&self) -> &[(f64, Outcome)] {
        &self.nodes
    }

    /// First and last value; zero for an empty scan.
    #[must_use]
    pub fn range(&self) -> [f64; 2] {
        match (self.nodes.first(), self.nodes.last()) {
            (Some(first), Some(last)) => [first.0, last.0],
            _ => [0.0; 2],
        }
    }

    /// The outcome at a value, straight between solved ones; at the ends beyond them. `None` for an empty scan.
    #[must_use]
    pub fn at(&self, value: f64) -> Option<Outcome> {
        let after = self.nodes.partition_point(|n| n.0 < value);
        let (Some(below), Some(above)) = (self.nodes.get(after.max(1) - 1), self.nodes.get(after)) else {
            return self.nodes.last().map(|n| n.1.clone());
        };
        let run = above.0 - below.0;
        Some(if run > 0.0 { below.1.toward(&above.1, (value - below.0) / run) } else { above.1.clone() })
    }

    fn values(&self, points: u32) -> Vec<f64> {
        let [low, high] = self.range();
        if high <= low {
            return if self.nodes.is_empty() { Vec::new() } else { vec![low] };
        }
        (0..=points).map(|i| low + (high - low) * f64::from(i) / f64::from(points)).collect()
    }

    /// What comes of its values over all of its range, each with its weight.
    #[must_use]
    pub fn outcomes(&self, prior: Prior) -> Vec<(f64, Outcome)> {
        let values = self.values(POINTS).into_iter();
        values.filter_map(|value| Some((prior.weight(value), self.at(value)?))).collect()
    }

    /// Weighs the scan against an observation. `None` for an empty scan.
    #[must_use]
    pub fn weigh(&self, parts: &Parts, observed: &Observed, prior: Prior) -> Option<Weighed> {
        let values = self.values(POINTS);
        let fits: Vec<f64> = values
            .iter()
            .map(|v| self.at(*v).map_or(0.0, |outcome| prior.weight(*v) * observed.fits(parts, &outcome)))
            .collect();
        let chances: f64 = values.iter().map(|v| prior.weight(*v)).sum();
        let best = (0..values.len()).reduce(|a, b| if fits[b] > fits[a] { b } else { a })?;
        let enough = |i: usize| fits[i] >= observed.judgement.likely * fits[best];
        let (mut low, mut high) = (best, best);
        while low > 0 && enough(low - 1) {
            low -= 1;
        }
        while high + 1 < values.len() && enough(high + 1) {
            high += 1;
        }
        Some(Weighed {
            evidence: fits.iter().sum::<f64>() / chances,
            value: 0.5 * (values[low] + values[high]),
            likely: [values[low], values[high]],
        })
    }

    /// Lowest and highest load of the scan whose place fits at all, kN, and the values there.
    #[must_use]
    pub fn reach(&self, parts: &Parts, observed: &Observed) -> Option<Reach<f64>> {
        let mut reach: Option<Reach<f64>> = None;
        for value in self.values(POINTS) {
            let Some(outcome) = self.at(value) else { continue };
            if observed.place_fits(parts, &outcome) <= 0.0 {
                continue;
            }
            widen(&mut reach, parts.ending(&outcome).peak_kn, value);
        }
        reach
    }
}

/// Takes a load and what it comes from into a range of loads.
fn widen<T: Copy>(reach: &mut Option<Reach<T>>, load: f64, from: T) {
    let known = reach.get_or_insert([(load, from); 2]);
    if load < known[0].0 {
        known[0] = (load, from);
    }
    if load > known[1].0 {
        known[1] = (load, from);
    }
}

/// Values of a scan with their chance and outcome, as a pair reads them.
fn read((scan, prior): (&Scan, Prior)) -> Vec<(f64, f64, Outcome)> {
    let values = scan.values(PAIR_POINTS).into_iter();
    values.filter_map(|v| scan.at(v).map(|outcome| (v, prior.weight(v), outcome))).collect()
}

/// Weighs two causes at once: every outcome of `first`, changed as `base` changes along `second`.
#[must_use]
pub fn weigh_pair(
    parts: &Parts,
    observed: &Observed,
    base: &Outcome,
    first: (&Scan, Prior),
    second: (&Scan, Prior),
) -> Option<WeighedPair> {
    let (firsts, seconds) = (read(first), read(second));
    let alone = |one: &[(f64, f64, Outcome)]| {
        mean(one.iter().map(|(_, weight, outcome)| (*weight, observed.fits(parts, outcome))))
    };
    let mut fits = Vec::with_capacity(firsts.len() * seconds.len());
    for (value, weight, outcome) in &firsts {
        for (other, chance, changed) in &seconds {
            let fit = observed.fits(parts, &outcome.changed_as(base, changed));
            fits.push(([*value, *other], weight * chance, fit));
        }
    }
    let (values, best) = fits
        .iter()
        .map(|(values, weight, fit)| (*values, weight * fit))
        .reduce(|a, b| if b.1 > a.1 { b } else { a })?;
    let enough = fits.iter().filter(|(_, weight, fit)| weight * fit >= observed.judgement.likely * best);
    let likely = enough.fold(values.map(|v| [v; 2]), |likely, (values, ..)| {
        [0, 1].map(|i| [likely[i][0].min(values[i]), likely[i][1].max(values[i])])
    });
    Some(WeighedPair {
        evidence: mean(fits.into_iter().map(|(_, weight, fit)| (weight, fit))),
        alone: alone(&firsts).max(alone(&seconds)),
        values,
        likely,
    })
}

/// What comes of two causes at once, as [`weigh_pair`] reads them, each with the weight of both values.
#[must_use]
pub fn outcomes_of_pair(
    base: &Outcome,
    first: (&Scan, Prior),
    second: (&Scan, Prior),
) -> Vec<(f64, Outcome)> {
    let (firsts, seconds) = (read(first), read(second));
    let both = firsts.iter().flat_map(|(_, weight, outcome)| {
        seconds.iter().map(move |(_, chance, changed)| (weight * chance, outcome.changed_as(base, changed)))
    });
    both.collect()
}

/// Lowest and highest load of two causes at once whose place fits at all, and both values there; `None` when none does. As
/// [`weigh_pair`] reads them.
#[must_use]
pub fn reach_of_pair(
    parts: &Parts,
    observed: &Observed,
    base: &Outcome,
    first: &Scan,
    second: &Scan,
) -> Option<Reach<[f64; 2]>> {
    let [firsts, seconds] = [first, second].map(|scan| read((scan, Prior::Even)));
    let mut reach: Option<Reach<[f64; 2]>> = None;
    for (value, _, outcome) in &firsts {
        for (other, _, changed) in &seconds {
            let both = outcome.changed_as(base, changed);
            if observed.place_fits(parts, &both) > 0.0 {
                widen(&mut reach, parts.ending(&both).peak_kn, [*value, *other]);
            }
        }
    }
    reach
}

/// Mean fit, each by its chance.
fn mean(fits: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (sum, chances) = fits.fold((0.0, 0.0), |(s, c), (chance, fit)| (s + chance * fit, c + chance));
    if chances > 0.0 { sum / chances } else { 0.0 }
}
