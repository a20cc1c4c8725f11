//! Patterns of nodal force that loads and contacts are made of, and the compliance of a body between them.

use crate::plane::{Factor, Half, Way, summed};
use rayon::prelude::*;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// A pattern of nodal forces on one body; the displacement that does work on it is the same sum over displacements.
#[derive(Clone, Debug, Default)]
pub struct Port {
    entries: Vec<(u32, f64)>,
}

impl Port {
    /// From pairs of unknown (2 node + axis) and force, N.
    #[must_use]
    pub fn new(entries: Vec<(u32, f64)>) -> Self {
        Self { entries }
    }

    /// The unknowns that it acts on.
    pub fn unknowns(&self) -> impl Iterator<Item = u32> {
        self.entries.iter().map(|(unknown, _)| *unknown)
    }

    /// Pairs of unknown and force, N.
    pub fn entries(&self) -> impl Iterator<Item = (u32, f64)> + '_ {
        self.entries.iter().copied()
    }

    /// Adds `scale` times the pattern to nodal forces.
    pub fn add_to(&self, scale: f64, forces: &mut [f64]) {
        for (unknown, value) in &self.entries {
            forces[*unknown as usize] += scale * value;
        }
    }

    /// The displacement of the port, mm (or rad for a moment).
    #[must_use]
    pub fn displacement(&self, u: &[f64]) -> f64 {
        self.entries.iter().map(|(unknown, value)| value * u[*unknown as usize]).sum()
    }
}

/// Compliance of one body between its ports. Half solves and their products are computed when first asked for and then kept;
/// none depends on what was asked for before.
#[derive(Debug)]
pub struct Compliance {
    ports: Vec<Port>,
    known: Mutex<Known>,
}

#[derive(Debug)]
struct Known {
    halves: Vec<Option<Arc<Half>>>,
    /// Compliance of ports `i >= j` at `i * (i + 1) / 2 + j`, mm/N; zero where not computed yet.
    products: Vec<f64>,
}

fn place(i: u32, j: u32) -> usize {
    let (high, low) = (i.max(j) as usize, i.min(j) as usize);
    high * (high + 1) / 2 + low
}

impl Compliance {
    /// Nothing computed yet.
    #[must_use]
    pub fn new(ports: Vec<Port>) -> Self {
        let n = ports.len();
        let known = Mutex::new(Known { halves: vec![None; n], products: vec![0.0; n * (n + 1) / 2] });
        Self { ports, known }
    }

    /// The ports.
    #[must_use]
    pub fn ports(&self) -> &[Port] {
        &self.ports
    }

    fn open(&self) -> MutexGuard<'_, Known> {
        // A panic elsewhere leaves whole entries or none: what is there can be used.
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The halves of these ports.
    fn halves(&self, factor: &Factor, wanted: &[u32]) -> Vec<Arc<Half>> {
        let mut found: Vec<Option<Arc<Half>>> = {
            let known = self.open();
            wanted.iter().map(|j| known.halves[*j as usize].clone()).collect()
        };
        let missing: Vec<usize> = (0..wanted.len()).filter(|k| found[*k].is_none()).collect();
        let forces: Vec<&[(u32, f64)]> =
            missing.iter().map(|k| self.ports[wanted[*k] as usize].entries.as_slice()).collect();
        // Not under the lock: a thread that waits for parallel work may be handed other work that wants the same ports.
        let solved = factor.halves(&forces);
        let mut known = self.open();
        for (k, half) in missing.into_iter().zip(solved) {
            let half = Arc::new(half);
            known.halves[wanted[k] as usize] = Some(Arc::clone(&half));
            found[k] = Some(half);
        }
        found.into_iter().flatten().collect()
    }

    /// Displacements of all unknowns, mm, under forces on ports, each a port and N.
    #[must_use]
    pub fn displaced(&self, factor: &Factor, forces: &[(u32, f64)]) -> Vec<f64> {
        let (ports, sums): (Vec<u32>, Vec<f64>) = summed(forces.to_vec()).into_iter().unzip();
        let halves = self.halves(factor, &ports);
        factor.solve_halves(halves.iter().map(|half| &**half).zip(sums))
    }

    /// The same displacements of the unknowns on a way; all others are zero.
    #[must_use]
    pub fn displaced_on(&self, factor: &Factor, way: &Way, forces: &[(u32, f64)]) -> Vec<f64> {
        let (ports, sums): (Vec<u32>, Vec<f64>) = summed(forces.to_vec()).into_iter().unzip();
        let halves = self.halves(factor, &ports);
        factor.solve_halves_on(way, halves.iter().map(|half| &**half).zip(sums))
    }

    /// Compliance between the ports in `wanted` (without repeats): a dense symmetric matrix, row-major, mm/N.
    #[must_use]
    pub fn between(&self, factor: &Factor, wanted: &[u32]) -> Vec<f64> {
        let n = wanted.len();
        let halves = self.halves(factor, wanted);
        let mut matrix = vec![0.0; n * n];
        {
            let known = self.open();
            for (i, row) in matrix.chunks_exact_mut(n.max(1)).enumerate() {
                for (value, j) in row.iter_mut().zip(&wanted[..=i]) {
                    *value = known.products[place(wanted[i], *j)];
                }
            }
        }
        // A product is taken with the half of the later port spread out, whichever was asked for first.
        let mut rising: Vec<usize> = (0..n).collect();
        rising.sort_unstable_by_key(|k| wanted[*k]);
        let missing: Vec<Vec<(usize, usize, f64)>> = (0..n)
            .into_par_iter()
            .map_init(
                || vec![0.0; factor.unknowns()],
                |whole, r| {
                    let late = rising[r];
                    let unknown = |early: &usize| matrix[late.max(*early) * n + late.min(*early)] == 0.0;
                    let early: Vec<usize> = rising[..=r].iter().copied().filter(unknown).collect();
                    if early.is_empty() {
                        return Vec::new();
                    }
                    halves[late].spread(whole);
                    let found =
                        early.iter().map(|k| (late.max(*k), late.min(*k), halves[*k].dot(whole))).collect();
                    halves[late].clear(whole);
                    found
                },
            )
            .collect();
        let mut known = self.open();
        for (i, j, value) in missing.into_iter().flatten() {
            matrix[i * n + j] = value;
            known.products[place(wanted[i], wanted[j])] = value;
        }
        drop(known);
        for i in 0..n {
            for j in 0..i {
                matrix[j * n + i] = matrix[i * n + j];
            }
        }
        matrix
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plane::{Body, Elastic, PlaneState, grid, three_supports};

    #[test]
    fn compliance_does_not_depend_on_what_was_asked_before() {
        let elastic = Elastic { youngs_modulus_mpa: 70e3, poisson_ratio: 0.33, state: PlaneState::Stress };
        let mesh = grid::grid(20, 4, &|p| [20.0 * p[0], 4.0 * p[1]]);
        let body = Body::new(mesh, &|_| 3.0, &|_| false, elastic).unwrap();
        let factor = Factor::new(&body, &three_supports(body.mesh(), &|_| false).unwrap()).unwrap();
        let ports = || (0..30).map(|k| Port::new(vec![(11 * k, 1.0), (11 * k + 3, -0.4)])).collect();
        let (one, other) = (Compliance::new(ports()), Compliance::new(ports()));
        let wanted: Vec<u32> = (3..27).collect();
        let _ = one.between(&factor, &[28, 5, 17]);
        let _ = one.between(&factor, &[6, 5, 1, 20]);
        assert_eq!(one.between(&factor, &wanted), other.between(&factor, &wanted));
        // An entry is the displacement of one port under the other.
        let mut forces = vec![0.0; body.unknowns()];
        one.ports()[4].add_to(1.0, &mut forces);
        let u = factor.solve(&forces);
        for (a, b) in u.iter().zip(other.displaced(&factor, &[(4, 0.7), (9, 0.0), (4, 0.3)])) {
            assert!((a - b).abs() < 1e-12, "{a} {b}");
        }
        let entry = one.between(&factor, &[9, 4])[1];
        assert!((entry / one.ports()[9].displacement(&u) - 1.0).abs() < 1e-10);
        assert!(one.between(&factor, &[]).is_empty());
    }
}
