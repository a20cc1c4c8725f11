//! What a pull came to, in a form that can be interpolated: for every part the reciprocal of the load at which it gives.
//!
//! The gate's share runs nearly straight with an offset, and a part's limit is its strength over the share; so it is the
//! reciprocals that run straight. A part that never gives has the reciprocal zero.

use crate::forecast::Response;
use crate::strength::{FailureMode, LimitKind, Limits};
use geometry::outline::FrameLocation;

/// The parts that outcomes speak of, in the order in which they were first met.
#[derive(Clone, Debug, Default)]
pub struct Parts {
    known: Vec<(FailureMode, LimitKind)>,
}

/// One outcome, by parts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outcome {
    /// Reciprocal limits of the parts that can end a pull, 1/kN, in the order of [`Parts`]; missing ones are zero.
    rates: Vec<f64>,
    /// Reciprocal of what the open hook holds, 1/kN.
    hook_rate: f64,
    /// Where the frame tears in the end.
    pub tears_at: Option<FrameLocation>,
    /// Where it may tear instead: the second of two cuts that have both yielded through.
    pub may_tear_at: Option<FrameLocation>,
    /// By how much the coefficient of friction that the straps need to stay where they lie is above the one that may be relied
    /// on; zero or below where they stay.
    pub friction_lacks: f64,
}

/// How an outcome ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ending {
    /// Highest load of the pull, kN.
    pub peak_kn: f64,
    /// The load at which the first part fails, kN.
    pub fails_at_kn: f64,
    /// That part's index in [`Parts`].
    pub first: usize,
}

fn rate(kn: f64) -> f64 {
    // What gives at once has no reciprocal; a newton stands for it.
    1.0 / kn.max(1e-3)
}

impl Parts {
    /// The outcome that limits state.
    pub fn outcome(&mut self, limits: &Limits) -> Outcome {
        let mut rates = vec![0.0; self.known.len()];
        for limit in &limits.limits {
            let Some(kn) = limit.at_kn else { continue };
            if matches!(limit.kind, LimitKind::Yields | LimitKind::Bends) {
                continue;
            }
            let index = self.index(limit.what, limit.kind);
            rates.resize(self.known.len(), 0.0);
            rates[index] = rate(kn);
        }
        let hook_rate = rate(limits.open_hook_kn);
        let (tears_at, may_tear_at) = (limits.tears_at, limits.may_tear_at);
        Outcome { rates, hook_rate, tears_at, may_tear_at, friction_lacks: 0.0 }
    }

    /// The outcome at values of a forecast's unknowns, with the tears of the forecast as it is.
    pub fn outcome_of_draw(&mut self, response: &Response, values: &[f64], as_it_is: &Outcome) -> Outcome {
        let mut loads = response.loads_kn(values);
        // The open hook comes last.
        let hook_rate = rate(loads.pop().unwrap_or(0.0));
        let mut rates = vec![0.0; self.known.len()];
        for ((what, kind), kn) in response.parts().zip(loads) {
            let index = self.index(what, kind);
            rates.resize(self.known.len(), 0.0);
            rates[index] = if kn.is_finite() { rate(kn) } else { 0.0 };
        }
        let (tears_at, may_tear_at) = as_it_is.tears();
        Outcome { rates, hook_rate, tears_at, may_tear_at, friction_lacks: 0.0 }
    }

    fn index(&mut self, what: FailureMode, kind: LimitKind) -> usize {
        self.known.iter().position(|k| k.0 == what).unwrap_or_else(|| {
            self.known.push((what, kind));
            self.known.len() - 1
        })
    }

    /// A part, and how it fails.
    #[must_use]
    pub fn mode(&self, index: usize) -> FailureMode {
        self.known.get(index).map_or(FailureMode::FrameOpens, |k| k.0)
    }

    /// How a part gives.
    #[must_use]
    pub fn kind(&self, index: usize) -> LimitKind {
        self.known.get(index).map_or(LimitKind::Opens, |k| k.1)
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.known.len()
    }

    /// True when no outcome was added yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.known.is_empty()
    }

    /// How an outcome ends: the weakest part gives; where that is part of the gate line and the open hook holds more, the
    /// pull goes on to what the hook, or the weaker strap, holds.
    #[must_use]
    pub fn ending(&self, outcome: &Outcome) -> Ending {
        let (mut first, mut fastest, mut strap) = (0, 0.0, 0.0_f64);
        for (i, rate) in outcome.rates.iter().enumerate() {
            if *rate > fastest {
                (first, fastest) = (i, *rate);
            }
            if self.kind(i) == LimitKind::Strap {
                strap = strap.max(*rate);
            }
        }
        let gate_goes = matches!(self.kind(first), LimitKind::Breaks | LimitKind::Slips);
        let ends =
            if gate_goes && outcome.hook_rate < fastest { outcome.hook_rate.max(strap) } else { fastest };
        let load = |rate: f64| if rate > 0.0 { 1.0 / rate } else { f64::INFINITY };
        Ending { peak_kn: load(ends), fails_at_kn: load(fastest), first }
    }

    /// The load at which a part gives, kN; infinite when it never does.
    #[must_use]
    pub fn load_of(&self, outcome: &Outcome, index: usize) -> f64 {
        match outcome.rates.get(index) {
            Some(rate) if *rate > 0.0 => 1.0 / rate,
            _ => f64::INFINITY,
        }
    }
}

impl Outcome {
    /// The outcome `part` of the way (0 to 1) from this one to another; the tear is that of the nearer.
    #[must_use]
    pub fn toward(&self, other: &Self, part: f64) -> Self {
        let blend = |a: f64, b: f64| a + part * (b - a);
        let (tears_at, may_tear_at) = if part < 0.5 { self } else { other }.tears();
        Self {
            rates: self.paired(other).map(|(a, b)| blend(a, b)).collect(),
            hook_rate: blend(self.hook_rate, other.hook_rate),
            friction_lacks: blend(self.friction_lacks, other.friction_lacks),
            tears_at,
            may_tear_at,
        }
    }

    /// An estimate of two changes at once: this outcome, changed as `base` changes to `changed`, part by part.
    #[must_use]
    pub fn changed_as(&self, base: &Self, changed: &Self) -> Self {
        let rates = (0..self.rates.len().max(base.rates.len()).max(changed.rates.len()))
            .map(|i| {
                let of = |o: &Self| o.rates.get(i).copied().unwrap_or(0.0);
                if of(base) > 0.0 { of(self) * of(changed) / of(base) } else { of(self).max(of(changed)) }
            })
            .collect();
        let hook_rate = if base.hook_rate > 0.0 {
            self.hook_rate * changed.hook_rate / base.hook_rate
        } else {
            self.hook_rate
        };
        let friction_lacks = self.friction_lacks.max(changed.friction_lacks);
        let (tears_at, may_tear_at) = changed.tears();
        Self { rates, hook_rate, tears_at, may_tear_at, friction_lacks }
    }

    fn tears(&self) -> (Option<FrameLocation>, Option<FrameLocation>) {
        (self.tears_at, self.may_tear_at)
    }

    fn paired<'a>(&'a self, other: &'a Self) -> impl Iterator<Item = (f64, f64)> + 'a {
        let of = |rates: &[f64], i: usize| rates.get(i).copied().unwrap_or(0.0);
        (0..self.rates.len().max(other.rates.len())).map(move |i| (of(&self.rates, i), of(&other.rates, i)))
    }
}
