//! What two unknowns do to every load, from full solves on a grid of both: for ranges so wide that neither a parabola nor a
//! product of what each does alone holds, such as loads that may lie anywhere on their bars.
//!
//! Between the nodes the reciprocals of the loads run straight in either unknown: a part's limit is its strength over a share
//! that runs nearly straight with an offset. A part that some node does not have has the reciprocal zero there.

use super::endings::Endings;
use crate::strength::FailureMode;

/// A grid of solved endings over two unknowns.
#[derive(Clone, Debug)]
pub struct Grid {
    /// Indices of the two unknowns.
    pub unknowns: [usize; 2],
    /// The values of each that were solved, rising, at least two.
    pub nodes: [Vec<f64>; 2],
    /// Endings, the second unknown running fastest.
    pub endings: Vec<Endings>,
}

/// The same, as reciprocal loads of named parts and, last, of the open hook, 1/kN.
#[derive(Clone, Debug)]
pub(super) struct Rates {
    pub unknowns: [usize; 2],
    nodes: [Vec<f64>; 2],
    rates: Vec<Vec<f64>>,
}

/// A load that stands for none, kN: what gives at once has no reciprocal.
const LEAST_KN: f64 = 1e-6;

impl Rates {
    pub fn new(grid: Grid, names: &[FailureMode]) -> Self {
        let rate = |kn: f64| 1.0 / kn.max(LEAST_KN);
        let rates = grid
            .endings
            .iter()
            .map(|at| {
                let part =
                    |name: &FailureMode| at.parts.iter().find(|p| p.what == *name).and_then(|p| p.at_kn);
                let parts = names.iter().map(|name| part(name).map_or(0.0, rate));
                parts.chain([rate(at.open_hook_kn)]).collect()
            })
            .collect();
        Self { unknowns: grid.unknowns, nodes: grid.nodes, rates }
    }

    /// ln(load in kN) of every part and of the open hook at values of the two unknowns; infinite where a part has none.
    pub fn logarithms(&self, values: [f64; 2]) -> impl Iterator<Item = f64> {
        let [(i, s), (j, t)] = [0, 1].map(|axis| between(&self.nodes[axis], values[axis]));
        let width = self.nodes[1].len();
        let node = |i: usize, j: usize| &self.rates[i * width + j];
        let corners = [node(i, j), node(i, j + 1), node(i + 1, j), node(i + 1, j + 1)];
        let weights = [(1.0 - s) * (1.0 - t), (1.0 - s) * t, s * (1.0 - t), s * t];
        (0..corners[0].len()).map(move |part| {
            let rate: f64 = corners.iter().zip(weights).map(|(corner, w)| w * corner[part]).sum();
            -rate.ln()
        })
    }
}

/// The node below a value, and the part of the way to the next.
fn between(nodes: &[f64], value: f64) -> (usize, f64) {
    let below = nodes.partition_point(|n| *n <= value).clamp(1, nodes.len() - 1) - 1;
    let (a, b) = (nodes[below], nodes[below + 1]);
    (below, ((value - a) / (b - a)).clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::super::Ending;
    use super::*;
    use crate::strength::LimitKind;

    #[test]
    fn reciprocals_run_straight_and_a_missing_part_has_none() {
        let at = |lip: Option<f64>| Endings {
            parts: vec![Ending { what: FailureMode::Lip, kind: LimitKind::Breaks, at_kn: lip }],
            open_hook_kn: 5.0,
        };
        // 1/10, 1/20 at one end of the first unknown; 1/40 and none at the other.
        let grid = Grid {
            unknowns: [0, 1],
            nodes: [vec![0.0, 2.0], vec![-1.0, 1.0]],
            endings: vec![at(Some(10.0)), at(Some(20.0)), at(Some(40.0)), at(None)],
        };
        let rates = Rates::new(grid, &[FailureMode::Lip]);
        let loads = |x: f64, y: f64| rates.logarithms([x, y]).map(f64::exp).collect::<Vec<_>>();
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
        near(loads(0.0, -1.0)[0], 10.0);
        near(loads(0.0, 0.0)[0], 1.0 / 0.075);
        near(loads(1.0, 0.0)[0], 4.0 / (0.1 + 0.05 + 0.025));
        assert_eq!(loads(2.0, 1.0)[0], f64::INFINITY);
        near(loads(9.0, -9.0)[0], 40.0);
        near(loads(1.3, 0.2)[1], 5.0);
    }
}
