//! The least dissipation of a mesh under a pin, as a second-order cone programme, by a primal-dual interior-point method.
//!
//! Each integration point is a cone: its equivalent rate `t` is not less than the length of its rate. Each node under the
//! pin is a row: it recedes at least as fast as the pin comes, less what a soft contact lets it lag. What is dual to a rate is a stress within the yield surface,
//! what is dual to a row its pressure; their weak equilibrium gives a force that lies below the dissipation until both
//! meet. Predictor and corrector after Mehrotra, scaling after Nesterov and Todd; each iteration factors one sparse matrix
//! whose symbolic part is found once.

use super::cone::{Member, Scaling, longest_step, product};
use super::linear::Linear;
use super::metal::{Metal, add_stiffness, rate_transposed};
use crate::plane::PlaneError;

/// A node that the pin may press on.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// The node.
    pub node: u32,
    /// Unit normal from the pin into the metal.
    pub normal: [f64; 2],
    /// Least velocity along the normal while the pin does not move sideways: its travel there, less the gap.
    pub closing: f64,
    /// Part of the direction of pull along the normal.
    pub pull: f64,
    /// Part of the direction across the pull along the normal.
    pub across: f64,
    /// How far the pin may lag behind for each N of its pressure, over one unit of time, mm/N: zero for a rigid contact.
    pub softness: f64,
}

impl Row {
    /// A row under a pin that travels by `travel` along the unit vector `pull` over a gap.
    #[must_use]
    pub fn new(node: u32, normal: [f64; 2], pull: [f64; 2], travel: f64, gap: f64) -> Self {
        let along = normal[0] * pull[0] + normal[1] * pull[1];
        let across = normal[1] * pull[0] - normal[0] * pull[1];
        Self { node, normal, closing: travel * along - gap, pull: along, across, softness: 0.0 }
    }

    /// Stiffness of the row to the velocities, and the part of a change of pressure that is left to it, at a slack and a
    /// pressure of the interior.
    fn condensed(&self, slack: f64, pressure: f64) -> (f64, f64) {
        let sum = slack + self.softness * pressure;
        (pressure / sum, slack / sum)
    }
}

/// How the metal flows.
#[derive(Clone, Debug)]
pub struct Flow {
    /// Velocities, one for each unknown.
    pub velocity: Vec<f64>,
    /// Equivalent plastic strain rate at each integration point.
    pub rates: Vec<f64>,
    /// Stress `[xx, yy, xy]` at each integration point, MPa, tension positive: within the yield surface and in weak
    /// equilibrium, both as nearly as the programme ends. Where nothing flows it is one of many that would do.
    pub stress: Vec<[f64; 3]>,
    /// Power dissipated.
    pub dissipation: f64,
    /// The same from the stress in weak equilibrium: not above the dissipation, and equal to it at the optimum.
    pub dual: f64,
    /// Pressure times lag, summed over the rows: twice the power that their softness stores.
    pub lagged: f64,
    /// Force of the pin along its pull, N, by the pressures of the rows.
    pub force_n: f64,
    /// Sideways velocity of the pin.
    pub sideways: f64,
    /// Force on each row, N.
    pub row_forces: Vec<f64>,
    /// Factorizations.
    pub iterations: usize,
}

impl Flow {
    /// Difference of dissipation and dual over the power of the rows, dissipated or lagged.
    #[must_use]
    pub fn relative_gap(&self) -> f64 {
        (self.dissipation - self.dual) / (self.dissipation + self.lagged).max(f64::MIN_POSITIVE)
    }
}

/// Iterations at most.
const MOST: usize = 60;
/// Relative gap and residual at which the programme ends.
const ENOUGH: f64 = 2e-4;
/// Part of the way to the boundary that a step may go.
const SHORT: f64 = 0.98;

/// Right-hand sides of complementarity and the changes they lead to.
struct Direction {
    velocity: Vec<f64>,
    sideways: f64,
    primal: Vec<Member>,
    dual: Vec<Member>,
    slack: Vec<f64>,
    pressure: Vec<f64>,
}

struct State<'a> {
    metal: &'a Metal,
    rows: &'a [Row],
    velocity: Vec<f64>,
    sideways: f64,
    primal: Vec<Member>,
    dual: Vec<Member>,
    slack: Vec<f64>,
    pressure: Vec<f64>,
}

impl State<'_> {
    /// Adds what is conjugate to the rates, times `sign`, at the nodes.
    fn gather(&self, each: &dyn Fn(usize) -> [f64; 3], sign: f64, into: &mut [f64]) {
        for (k, sample) in self.metal.samples.iter().enumerate() {
            let [xx, yy, xy] = rate_transposed(each(k));
            for (&node, g) in self.metal.mesh.triangles[sample.triangle as usize].iter().zip(&sample.gradient)
            {
                into[2 * node as usize] += sign * (g[0] * xx + g[1] * xy);
                into[2 * node as usize + 1] += sign * (g[1] * yy + g[0] * xy);
            }
        }
    }

    fn along(row: &Row, v: &[f64]) -> f64 {
        let at = 2 * row.node as usize;
        row.normal[0] * v[at] + row.normal[1] * v[at + 1]
    }

    fn push(row: &Row, force: f64, into: &mut [f64]) {
        let at = 2 * row.node as usize;
        into[at] += force * row.normal[0];
        into[at + 1] += force * row.normal[1];
    }

    /// By how much each slack differs from what velocities give.
    fn row_residual(&self) -> Vec<f64> {
        self.rows
            .iter()
            .zip(self.slack.iter().zip(&self.pressure))
            .map(|(row, (s, l))| {
                let receding = Self::along(row, &self.velocity) - self.sideways * row.across;
                s - (receding - row.closing + row.softness * l)
            })
            .collect()
    }

    /// Forces out of balance at the nodes, and across the pin.
    fn imbalance(&self) -> (Vec<f64>, f64) {
        let mut r = vec![0.0; self.velocity.len()];
        self.gather(&|k| [self.dual[k][1], self.dual[k][2], self.dual[k][3]], -1.0, &mut r);
        let mut across = 0.0;
        for (row, l) in self.rows.iter().zip(&self.pressure) {
            Self::push(row, -l, &mut r);
            across += row.across * l;
        }
        for (value, held) in r.iter_mut().zip(&self.metal.held) {
            if *held {
                *value = 0.0;
            }
        }
        (r, across)
    }

    /// Pressure times lag, summed over the rows.
    fn lagged(&self) -> f64 {
        self.rows.iter().zip(&self.pressure).map(|(row, l)| row.softness * l * l).sum()
    }

    fn complementarity(&self) -> f64 {
        let cones: f64 = self
            .primal
            .iter()
            .zip(&self.dual)
            .map(|(s, z)| s.iter().zip(z).map(|(a, b)| a * b).sum::<f64>())
            .sum();
        cones + self.slack.iter().zip(&self.pressure).map(|(a, b)| a * b).sum::<f64>()
    }

    fn assemble(&self, scalings: &[Scaling], linear: &mut Linear) {
        linear.clear();
        let mut blocks = [[0.0; 4]; 21];
        let count = self.metal.samples.len();
        for (k, (sample, scaling)) in self.metal.samples.iter().zip(scalings).enumerate() {
            let (a, b, w) = scaling.condensed();
            // a (L'L - b L'w w'L) over strains.
            let p = rate_transposed(w);
            let ab = a * b;
            let d = [
                [4.0 / 3.0 * a - ab * p[0] * p[0], 2.0 / 3.0 * a - ab * p[0] * p[1], -ab * p[0] * p[2]],
                [0.0, 4.0 / 3.0 * a - ab * p[1] * p[1], -ab * p[1] * p[2]],
                [0.0, 0.0, a / 3.0 - ab * p[2] * p[2]],
            ];
            add_stiffness(&mut blocks, &sample.gradient, &d);
            if k + 1 == count || self.metal.samples[k + 1].triangle != sample.triangle {
                linear.add_triangle(sample.triangle as usize, &blocks);
                blocks = [[0.0; 4]; 21];
            }
        }
        for ((row, s), l) in self.rows.iter().zip(&self.slack).zip(&self.pressure) {
            linear.add_spring(row.node, row.normal, row.condensed(*s, *l).0);
        }
    }

    /// Changes for the right-hand sides `q` of the cones and `qr` of the rows, residuals taken away by `share`. `border` is
    /// what the pin's sideways motion does to the nodes.
    fn direction(
        &self,
        scalings: &[Scaling],
        linear: &Linear,
        border: Option<(&[f64], &[f64], f64)>,
        (q, qr): (&[Member], &[f64]),
        (imbalance, across, gaps): (&[f64], f64, &[f64]),
        share: f64,
    ) -> Direction {
        let mut side: Vec<f64> = imbalance.iter().map(|r| -share * r).collect();
        self.gather(&|k| scalings[k].condensed_side(&q[k]), 1.0, &mut side);
        let mut across_side = -share * across;
        for (i, row) in self.rows.iter().enumerate() {
            let (stiffness, left) = row.condensed(self.slack[i], self.pressure[i]);
            let force = left * qr[i] + stiffness * share * gaps[i];
            Self::push(row, force, &mut side);
            across_side -= row.across * force;
        }
        let mut velocity = side;
        linear.solve(&mut velocity);
        let mut sideways = 0.0;
        if let Some((b, kb, pivot)) = border {
            let dot = b.iter().zip(&velocity).map(|(x, y)| x * y).sum::<f64>();
            sideways = (across_side - dot) / pivot;
            for (v, k) in velocity.iter_mut().zip(kb) {
                *v -= sideways * k;
            }
        }
        let mut primal = Vec::with_capacity(q.len());
        let mut dual = Vec::with_capacity(q.len());
        for ((sample, scaling), q) in self.metal.samples.iter().zip(scalings).zip(q) {
            let dy = self.metal.rate_at(sample, &velocity);
            let ds = [scaling.change_of_t(q, &dy), dy[0], dy[1], dy[2]];
            let mut dz = scaling.change_of_dual(q, &ds);
            dz[0] = 0.0;
            primal.push(ds);
            dual.push(dz);
        }
        let (slack, pressure) = self
            .rows
            .iter()
            .enumerate()
            .map(|(i, row)| {
                let moved = Self::along(row, &velocity) - sideways * row.across - share * gaps[i];
                let (stiffness, left) = row.condensed(self.slack[i], self.pressure[i]);
                let dl = left * qr[i] - stiffness * moved;
                (moved + row.softness * dl, dl)
            })
            .unzip();
        Direction { velocity, sideways, primal, dual, slack, pressure }
    }

    fn steps(&self, d: &Direction) -> [f64; 2] {
        let cones = |s: &[Member], ds: &[Member]| {
            s.iter().zip(ds).fold(1.0 / SHORT, |step, (s, ds)| longest_step(s, ds, step))
        };
        let line = |s: &[f64], ds: &[f64], step: f64| {
            s.iter().zip(ds).fold(step, |step, (s, ds)| if *ds < 0.0 { step.min(-s / ds) } else { step })
        };
        [
            line(&self.slack, &d.slack, cones(&self.primal, &d.primal)),
            line(&self.pressure, &d.pressure, cones(&self.dual, &d.dual)),
        ]
    }
}

/// The flow of least dissipation under the rows, or under the driven nodes of the metal.
///
/// # Errors
/// [`PlaneError`] when the matrix cannot be factored, which is so when the metal is not held.
pub fn least_dissipation(metal: &Metal, rows: &[Row], linear: &mut Linear) -> Result<Flow, PlaneError> {
    let speed = rows
        .iter()
        .map(|r| r.closing.abs())
        .chain(metal.driven.iter().map(|v| v.abs()))
        .fold(f64::MIN_POSITIVE, f64::max);
    let natural = speed / metal.area_mm2().sqrt();
    let start: Vec<[f64; 3]> = metal.samples.iter().map(|s| metal.rate_at(s, &metal.driven)).collect();
    let power: f64 = metal.samples.iter().map(|s| s.weight * natural).sum();
    let even = power / (rows.len().max(1) as f64 * speed);
    let mut state = State {
        metal,
        rows,
        velocity: metal.driven.clone(),
        sideways: 0.0,
        primal: start.iter().map(|y| [natural + super::metal::length(y), y[0], y[1], y[2]]).collect(),
        dual: metal.samples.iter().map(|s| [s.weight, 0.0, 0.0, 0.0]).collect(),
        slack: vec![speed; rows.len()],
        pressure: vec![even; rows.len()],
    };
    let degree = (metal.samples.len() + rows.len()) as f64;
    let mut iterations = 0;
    while iterations < MOST {
        let (imbalance, across) = state.imbalance();
        let gaps = state.row_residual();
        let rest = state.complementarity();
        let dissipation = metal.dissipation(&state.velocity);
        let unbalanced = imbalance.iter().fold(across.abs(), |m, r| m.max(r.abs())) * speed;
        let open = gaps.iter().fold(0.0_f64, |m, g| m.max(g.abs())) / speed;
        let enough = ENOUGH * (dissipation + state.lagged());
        if iterations > 0 && rest < enough && unbalanced < enough && open < ENOUGH {
            break;
        }
        let scalings: Option<Vec<Scaling>> =
            state.primal.iter().zip(&state.dual).map(|(s, z)| Scaling::new(s, z)).collect();
        let Some(scalings) = scalings else { break };
        state.assemble(&scalings, linear);
        match linear.factor() {
            Err(PlaneError::Pivot) if iterations > 5 => break,
            other => other?,
        }
        iterations += 1;
        // The pin's sideways motion, as a border of the matrix.
        let mut border = vec![0.0; state.velocity.len()];
        let mut stiffness = 0.0;
        for ((row, s), l) in rows.iter().zip(&state.slack).zip(&state.pressure) {
            let own = row.condensed(*s, *l).0;
            State::push(row, -row.across * own, &mut border);
            stiffness += row.across * row.across * own;
        }
        for (value, held) in border.iter_mut().zip(&metal.held) {
            if *held {
                *value = 0.0;
            }
        }
        let mut solved = border.clone();
        linear.solve(&mut solved);
        let pivot = stiffness - border.iter().zip(&solved).map(|(x, y)| x * y).sum::<f64>();
        let border = (pivot > 1e-12 * stiffness).then_some((border.as_slice(), solved.as_slice(), pivot));

        let residuals = (imbalance.as_slice(), across, gaps.as_slice());
        let q: Vec<Member> = state.dual.iter().map(|z| z.map(|x| -x)).collect();
        let qr: Vec<f64> = state.pressure.iter().map(|l| -l).collect();
        let ahead = state.direction(&scalings, linear, border, (&q, &qr), residuals, 1.0);
        let step = state.steps(&ahead).into_iter().fold(1.0, f64::min);
        let sigma = (1.0 - step).powi(3);
        let target = sigma * rest / degree;
        let q: Vec<Member> = (0..q.len())
            .map(|k| {
                let scaling = &scalings[k];
                let l = scaling.scaled();
                let square = product(l, l);
                let cross = product(&scaling.apply_inverse(&ahead.primal[k]), &scaling.apply(&ahead.dual[k]));
                let d: Member = std::array::from_fn(|i| {
                    if i == 0 { target - square[0] - cross[0] } else { -square[i] - cross[i] }
                });
                scaling.apply_inverse(&scaling.divide(&d))
            })
            .collect();
        let qr: Vec<f64> = (0..rows.len())
            .map(|i| -state.pressure[i] + (target - ahead.slack[i] * ahead.pressure[i]) / state.slack[i])
            .collect();
        let taken = state.direction(&scalings, linear, border, (&q, &qr), residuals, 1.0 - sigma);
        let [p, d] = state.steps(&taken).map(|step| (SHORT * step).min(1.0));
        state.take(&taken, p, d);
    }
    Ok(state.finish(iterations))
}

impl State<'_> {
    fn take(&mut self, d: &Direction, p: f64, z: f64) {
        let add = |to: &mut [f64], by: &[f64], step: f64| {
            for (a, b) in to.iter_mut().zip(by) {
                *a += step * b;
            }
        };
        add(&mut self.velocity, &d.velocity, p);
        add(&mut self.slack, &d.slack, p);
        add(&mut self.pressure, &d.pressure, z);
        self.sideways += p * d.sideways;
        for (to, by) in self.primal.iter_mut().zip(&d.primal) {
            add(to, by, p);
        }
        for (to, by) in self.dual.iter_mut().zip(&d.dual) {
            add(to, by, z);
        }
    }

    fn finish(self, iterations: usize) -> Flow {
        let rates: Vec<f64> = self
            .metal
            .samples
            .iter()
            .map(|s| super::metal::length(&self.metal.rate_at(s, &self.velocity)))
            .collect();
        let dissipation = self.metal.samples.iter().zip(&rates).map(|(s, r)| s.weight * r).sum();
        let driven: f64 = self
            .metal
            .samples
            .iter()
            .zip(&self.dual)
            .map(|(s, z)| {
                let y = self.metal.rate_at(s, &self.metal.driven);
                -(z[1] * y[0] + z[2] * y[1] + z[3] * y[2])
            })
            .sum();
        let sum = |part: &dyn Fn(&Row) -> f64| -> f64 {
            self.rows.iter().zip(&self.pressure).map(|(row, l)| part(row) * l).sum()
        };
        // What is dual to a rate pulls against it.
        let stress = self
            .metal
            .samples
            .iter()
            .zip(&self.dual)
            .map(|(s, z)| rate_transposed([z[1], z[2], z[3]]).map(|x| -x / s.volume))
            .collect();
        let (pressed, force_n) = (sum(&|r| r.closing), sum(&|r| r.pull));
        let lagged = self.lagged();
        Flow {
            dissipation,
            dual: driven + pressed - lagged,
            lagged,
            force_n,
            sideways: self.sideways,
            row_forces: self.pressure,
            iterations,
            rates,
            stress,
            velocity: self.velocity,
        }
    }
}
