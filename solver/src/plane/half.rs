//! Half solves. With `K = L L'`, the displacement that one force makes under another is the product of their halves `L^-1 f`.
//!
//! A force on a few nodes fills its half only on the way from those nodes to the root of the elimination tree: a tenth of
//! the unknowns of these thin bodies, so halves and their products cost a small part of whole solves.
//!
//! Forces are taken through the factor eight at a time, side by side. Each keeps to its own lane, and a lane that a
//! supernode does not concern holds exact zeros there: no bit of an answer depends on what else is solved with it.

use super::column::{product, solve_back, solve_back_on, supernodes};
use super::elimination_tree::EliminationTree;
use super::factor::{Factor, HELD};
use faer::sparse::linalg::cholesky::supernodal::{SupernodalLltRef, SymbolicSupernodalCholesky};
use pulp::{Arch, NullaryFnOnce};
use rayon::prelude::*;

/// Forces side by side.
const LANES: usize = 8;

/// `L^-1 f`, stored where it may differ from zero.
#[derive(Clone, Debug, Default)]
pub struct Half {
    /// First unknown, in order of elimination, and number of unknowns of each run on the way to the root, rising. No run
    /// ends where the next one begins.
    spans: Vec<(u32, u32)>,
    values: Vec<f64>,
}

impl Half {
    /// Writes the half into `whole`, one value for each free unknown in order of elimination, zero where this half is.
    pub fn spread(&self, whole: &mut [f64]) {
        for (start, values) in self.runs() {
            whole[start..][..values.len()].copy_from_slice(values);
        }
    }

    /// Adds `scale` times the half to `whole`.
    pub fn add_to(&self, scale: f64, whole: &mut [f64]) {
        for (start, values) in self.runs() {
            for (to, value) in whole[start..].iter_mut().zip(values) {
                *to += scale * value;
            }
        }
    }

    /// The same inside these runs of unknowns only, which rise.
    fn add_within(&self, spans: &[(u32, u32)], scale: f64, whole: &mut [f64]) {
        let mut spans =
            spans.iter().map(|(start, length)| *start as usize..(*start + *length) as usize).peekable();
        for (start, values) in self.runs() {
            let end = start + values.len();
            while let Some(span) = spans.peek() {
                let (from, to) = (start.max(span.start), end.min(span.end));
                if from < to {
                    for (to, value) in whole[from..to].iter_mut().zip(&values[from - start..]) {
                        *to += scale * value;
                    }
                }
                // The next run may go on in this span.
                if span.end > end {
                    break;
                }
                spans.next();
            }
        }
    }

    /// Sets `whole` back to zero after [`Self::spread`].
    pub fn clear(&self, whole: &mut [f64]) {
        for (start, values) in self.runs() {
            whole[start..][..values.len()].fill(0.0);
        }
    }

    /// The displacement that does work on this force, mm/N, under the force whose half is spread over `whole`.
    #[must_use]
    pub fn dot(&self, whole: &[f64]) -> f64 {
        Arch::new().dispatch(Dot { half: self, whole })
    }

    /// First unknown and values of each run.
    #[inline(always)]
    fn runs(&self) -> impl Iterator<Item = (usize, &[f64])> {
        let mut rest = self.values.as_slice();
        self.spans.iter().map(move |(start, length)| {
            let (run, after) = rest.split_at(*length as usize);
            rest = after;
            (*start as usize, run)
        })
    }
}

/// A half beside one that is spread out.
struct Dot<'a> {
    half: &'a Half,
    whole: &'a [f64],
}

impl NullaryFnOnce for Dot<'_> {
    type Output = f64;

    #[inline(always)]
    fn call(self) -> f64 {
        let mut sum = 0.0;
        for (start, values) in self.half.runs() {
            sum += product(values, &self.whole[start..][..values.len()]);
        }
        sum
    }
}

/// The part of a factor through which some unknowns are found: their supernodes and all above them. As with halves, of a few
/// unknowns that is a small part of the whole.
#[derive(Clone, Debug)]
pub struct Way {
    /// Supernodes, rising.
    supernodes: Vec<u32>,
    /// First unknown, in order of elimination, and number of unknowns of each run of them, rising.
    spans: Vec<(u32, u32)>,
}

impl Factor {
    /// The way to these unknowns (`2 * node + axis`); held ones need none.
    ///
    /// # Panics
    /// If an unknown is not one of the body.
    #[must_use]
    pub fn way_to(&self, unknowns: impl IntoIterator<Item = u32>) -> Way {
        let mut way = Way { supernodes: Vec::new(), spans: Vec::new() };
        if self.free.is_empty() {
            return way;
        }
        let factor = supernodes(&self.symbolic, &self.values);
        let symbolic = factor.symbolic();
        let tree = self.tree.get_or_init(|| EliminationTree::new(symbolic));
        let places = unknowns.into_iter().map(|unknown| self.place[unknown as usize]);
        let from = places.filter(|place| *place != HELD).map(|place| tree.holder[place as usize]).collect();
        way.supernodes = tree.ways_to_root(from);
        for s in &way.supernodes {
            let (begin, end) =
                (symbolic.supernode_begin()[*s as usize], symbolic.supernode_end()[*s as usize]);
            match way.spans.last_mut() {
                Some((start, length)) if *start + *length == begin => *length += end - begin,
                _ => way.spans.push((begin, end - begin)),
            }
        }
        way
    }

    /// As [`Self::solve_halves`], but right only for the unknowns on the way: bit by bit what the whole solve gives them. All
    /// others are zero.
    #[must_use]
    pub fn solve_halves_on<'h>(&self, way: &Way, halves: impl Iterator<Item = (&'h Half, f64)>) -> Vec<f64> {
        let mut column = vec![0.0; self.free.len()];
        for (half, scale) in halves {
            half.add_within(&way.spans, scale, &mut column);
        }
        solve_back_on(&way.supernodes, &self.symbolic, &self.values, &mut column);
        let mut u = vec![0.0; self.unknowns()];
        for (begin, length) in &way.spans {
            let run = *begin as usize..(*begin + *length) as usize;
            for (value, &unknown) in column[run.clone()].iter().zip(&self.free[run]) {
                u[unknown as usize] = *value;
            }
        }
        u
    }

    /// The displacements (mm) of a sum of forces whose halves `L^-1 f` are given, each with its scale.
    #[must_use]
    pub fn solve_halves<'h>(&self, halves: impl Iterator<Item = (&'h Half, f64)>) -> Vec<f64> {
        let mut column = vec![0.0; self.free.len()];
        for (half, scale) in halves {
            half.add_to(scale, &mut column);
        }
        solve_back(&self.symbolic, &self.values, &mut column);
        let mut u = vec![0.0; self.unknowns()];
        for (value, &unknown) in column.iter().zip(self.free.iter()) {
            u[unknown as usize] = *value;
        }
        u
    }

    /// Halves of forces (pairs of unknown, `2 * node + axis`, and N), in their order. Forces on held unknowns go into the
    /// supports and are ignored. Forces that stand near each other in `forces` should act near each other.
    ///
    /// # Panics
    /// If a force names an unknown that the body does not have.
    #[must_use]
    pub fn halves(&self, forces: &[&[(u32, f64)]]) -> Vec<Half> {
        if self.free.is_empty() {
            return vec![Half::default(); forces.len()];
        }
        let factor = supernodes(&self.symbolic, &self.values);
        let symbolic = factor.symbolic();
        let tree = self.tree.get_or_init(|| EliminationTree::new(symbolic));
        forces
            .par_chunks(LANES)
            .map_init(
                || vec![[0.0; LANES]; self.free.len()],
                |work, forces| {
                    let mut reached = Vec::new();
                    for (lane, force) in forces.iter().enumerate() {
                        for (unknown, value) in *force {
                            let place = self.place[*unknown as usize];
                            if place != HELD {
                                work[place as usize][lane] += value;
                                reached.push(tree.holder[place as usize]);
                            }
                        }
                    }
                    let way = tree.ways_to_root(reached);
                    for supernode in &way {
                        eliminate(&factor, *supernode as usize, work);
                    }
                    taken(&way, symbolic, work, forces.len())
                },
            )
            .flatten_iter()
            .collect()
    }
}

/// Solves for the unknowns of one supernode and takes their effect from those above it.
fn eliminate(factor: &SupernodalLltRef<'_, u32, f64>, supernode: usize, work: &mut [[f64; LANES]]) {
    let block = factor.supernode(supernode);
    let (start, pattern, values) = (block.start(), block.pattern(), block.val());
    for column in 0..values.ncols() {
        let below = values.col(column);
        let Some(below) = below.try_as_col_major() else { continue };
        let below = below.as_slice();
        let (diagonal, below) = (below[column], &below[column + 1..]);
        let mut solved = work[start + column];
        solved.iter_mut().for_each(|v| *v /= diagonal);
        work[start + column] = solved;
        let (inside, outside) = below.split_at(values.ncols() - column - 1);
        for (entry, row) in inside.iter().zip(&mut work[start + column + 1..]) {
            take(row, *entry, &solved);
        }
        for (entry, row) in outside.iter().zip(pattern) {
            take(&mut work[*row as usize], *entry, &solved);
        }
    }
}

fn take(row: &mut [f64; LANES], entry: f64, solved: &[f64; LANES]) {
    for (r, s) in row.iter_mut().zip(solved) {
        *r -= entry * s;
    }
}

/// The lanes of the supernodes on the way, which are set back to zero.
fn taken(
    way: &[u32],
    symbolic: &SymbolicSupernodalCholesky<u32>,
    work: &mut [[f64; LANES]],
    lanes: usize,
) -> Vec<Half> {
    let range = |s: u32| {
        (symbolic.supernode_begin()[s as usize] as usize, symbolic.supernode_end()[s as usize] as usize)
    };
    let length = way.iter().map(|s| range(*s)).map(|(begin, end)| end - begin).sum();
    let mut halves: Vec<Half> = (0..lanes)
        .map(|_| Half { spans: Vec::with_capacity(way.len()), values: Vec::with_capacity(length) })
        .collect();
    for supernode in way {
        let (begin, end) = range(*supernode);
        for (lane, half) in halves.iter_mut().enumerate() {
            let rows = &work[begin..end];
            // Supernodes of the neighbours' ways only.
            if rows.iter().all(|row| row[lane] == 0.0) {
                continue;
            }
            match half.spans.last_mut() {
                Some((start, length)) if (*start + *length) as usize == begin => {
                    *length += (end - begin) as u32
                }
                _ => half.spans.push((begin as u32, (end - begin) as u32)),
            }
            half.values.extend(rows.iter().map(|row| row[lane]));
        }
        work[begin..end].fill([0.0; LANES]);
    }
    halves
}

#[cfg(test)]
mod tests {
    use super::super::body::Body;
    use super::super::elastic::{Elastic, PlaneState};
    use super::super::grid::grid;
    use super::super::three_supports;
    use super::*;

    fn bar() -> (Body, Factor) {
        let steel = Elastic { youngs_modulus_mpa: 210e3, poisson_ratio: 0.3, state: PlaneState::Stress };
        let mesh = grid(30, 5, &|p| [30.0 * p[0], 5.0 * p[1]]);
        let body = Body::new(mesh, &|p| 2.0 + (0.2 * p[0]).sin(), &|_| false, steel).unwrap();
        let held = three_supports(body.mesh(), &|_| false).unwrap();
        let factor = Factor::new(&body, &held).unwrap();
        (body, factor)
    }

    /// Forces on one to three unknowns each, all over the body, held ones among them.
    fn forces(body: &Body, count: u32) -> Vec<Vec<(u32, f64)>> {
        let n = body.unknowns() as u32;
        (0..count)
            .map(|k| (0..=k % 3).map(|i| ((k * 97 + i * 5) % n, 1.0 - 0.7 * f64::from(i))).collect())
            .collect()
    }

    #[test]
    fn products_of_halves_are_displacements() {
        let (body, factor) = bar();
        let forces = forces(&body, 45);
        let given: Vec<&[(u32, f64)]> = forces.iter().map(Vec::as_slice).collect();
        let halves = factor.halves(&given);
        let mut spread = vec![0.0; body.unknowns()];
        for (force, half) in forces.iter().zip(&halves) {
            half.spread(&mut spread);
            let mut whole = vec![0.0; body.unknowns()];
            for (unknown, value) in force {
                whole[*unknown as usize] += value;
            }
            let u = factor.solve(&whole);
            let scale = u.iter().fold(0.0_f64, |a, v| a.max(v.abs()));
            for (other, other_half) in forces.iter().zip(&halves) {
                let wanted: f64 = other.iter().map(|(unknown, value)| value * u[*unknown as usize]).sum();
                assert!((other_half.dot(&spread) - wanted).abs() < 1e-11 * scale.max(1e-9));
            }
            half.clear(&mut spread);
            assert!(spread.iter().all(|v| *v == 0.0));
        }
    }

    #[test]
    fn on_its_way_a_solve_gives_what_the_whole_one_gives_bit_by_bit() {
        let (body, factor) = bar();
        let forces = forces(&body, 17);
        let given: Vec<&[(u32, f64)]> = forces.iter().map(Vec::as_slice).collect();
        let halves = factor.halves(&given);
        let scaled = || halves.iter().zip((0..).map(|k| 1.0 - 0.3 * f64::from(k)));
        let whole = factor.solve_halves(scaled());
        for wanted in [vec![0, 1, 2], vec![31, 211, 400], (100..160).collect(), Vec::new()] {
            let way = factor.way_to(wanted.iter().copied());
            let part = factor.solve_halves_on(&way, scaled());
            for unknown in &wanted {
                assert_eq!(part[*unknown as usize].to_bits(), whole[*unknown as usize].to_bits());
            }
            let known = part.iter().zip(&whole).filter(|(part, whole)| part == whole).count();
            let zero = part.iter().filter(|u| **u == 0.0).count();
            assert!(known + zero >= whole.len(), "{known} {zero} {}", whole.len());
        }
        // Few unknowns are found through a part of the factor only.
        assert!(
            factor.way_to([31]).supernodes.len() < factor.way_to(0..body.unknowns() as u32).supernodes.len()
        );
    }

    #[test]
    fn a_half_does_not_depend_on_its_neighbours() {
        let (body, factor) = bar();
        let forces = forces(&body, 29);
        let given: Vec<&[(u32, f64)]> = forces.iter().map(Vec::as_slice).collect();
        let together = factor.halves(&given);
        let backwards: Vec<&[(u32, f64)]> = given.iter().rev().copied().collect();
        for ((half, turned), force) in together.iter().zip(factor.halves(&backwards).iter().rev()).zip(&given)
        {
            let alone = &factor.halves(&[force])[0];
            assert_eq!((&half.spans, &half.values), (&alone.spans, &alone.values));
            assert_eq!((&half.spans, &half.values), (&turned.spans, &turned.values));
        }
    }
}
