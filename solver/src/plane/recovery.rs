//! Smooth stress at the nodes, from samples inside the triangles.
//!
//! Six-node triangles have no points where their stress is superconvergent, so three interior points of each triangle
//! (those of the degree 2 rule, the best there are) are sampled, and a quadratic is fitted to the samples around each corner
//! by least squares (after Zienkiewicz and Zhu, 1992). Corners on the outline see samples on one side only and would
//! extrapolate; they borrow the patches of the inner neighbours that are near: one patch alone carries its stress to the
//! outline by extrapolation, and which one is nearest changes from corner to corner, so that the stress along a notch went up
//! and down by 2 %; the mean of several does not, nor does it depend on numbers of nodes. Mid-side nodes take the mean of what serves the two ends of their side.
//!
//! Everything up to the samples depends on the mesh alone. [`Recovery`] therefore holds one row of weights per node, and
//! recovering another displacement field is one sweep over samples and one over rows.
//!
//! Patches never cross from one zone to another: where the breadth jumps, so does the stress. A node between two zones has
//! a row in each.

use super::body::Body;
use super::element;
use super::patch::{Patch, SAMPLES, TERMS};
use super::pattern::Touching;
use super::quadrature::Rule;
use super::stress::von_mises;
use super::summed::summed;
use geometry::curve::Point;
use rayon::prelude::*;

/// Rings a patch may grow by before a lower polynomial is taken.
const RINGS: usize = 4;

/// The operator from displacements to smooth stress, for one body.
#[derive(Clone, Debug)]
pub struct Recovery {
    /// Derivatives of the shape functions at each sample, 1/mm.
    gradients: Vec<[[f64; 2]; 6]>,
    rows_of: Vec<[u32; 6]>,
    node_of: Vec<u32>,
    /// Where the weights of each row start; one more entry than rows.
    starts: Vec<u32>,
    samples: Vec<u32>,
    weights: Vec<f64>,
}

impl Recovery {
    /// Builds the operator. `zone`: a number for each triangle; patches keep to one number. Pass `&|_| 0` when the breadth
    /// has no jump.
    #[must_use]
    pub fn new(body: &Body, zone: &dyn Fn(usize) -> u32) -> Self {
        let (rows_of, node_of) = split_by_zone(body, zone);
        let stations = element::stations(Rule::Degree2);
        let mut gradients = Vec::with_capacity(SAMPLES * body.triangles());
        let mut positions = Vec::with_capacity(SAMPLES * body.triangles());
        for t in 0..body.triangles() {
            let nodes = body.nodes_of(t);
            for station in stations {
                gradients.push(element::place(&nodes, &station.gradient).gradient);
                positions.push(element::point(&nodes, &station.shape));
            }
        }
        let layout = Layout::new(body, &rows_of, &node_of, &positions);
        let patches: Vec<Option<Patch>> =
            (0..node_of.len()).into_par_iter().with_min_len(64).map(|row| layout.patch(row)).collect();
        let lists: Vec<Vec<(u32, f64)>> = (0..node_of.len())
            .into_par_iter()
            .with_min_len(64)
            .map(|row| layout.weights(row, &patches))
            .collect();
        let mut starts = Vec::with_capacity(lists.len() + 1);
        starts.push(0);
        let total = lists.iter().map(Vec::len).sum();
        let (mut samples, mut weights) = (Vec::with_capacity(total), Vec::with_capacity(total));
        for (sample, weight) in lists.into_iter().flat_map(|list| {
            starts.push(starts[starts.len() - 1] + list.len() as u32);
            list
        }) {
            samples.push(sample);
            weights.push(weight);
        }
        Self { gradients, rows_of, node_of, starts, samples, weights }
    }

    /// For each node of a triangle, its row in the triangle's zone. Rows are numbered node by node, zones ascending; without
    /// jumps they are the nodes.
    #[must_use]
    pub fn rows_of(&self, triangle: usize) -> [u32; 6] {
        self.rows_of[triangle]
    }

    /// The node of each row, ascending.
    #[must_use]
    pub fn node_of(&self) -> &[u32] {
        &self.node_of
    }

    /// Stress `[xx, yy, xy]`, MPa, at the three samples of each triangle, straight from the displacements `u`, mm.
    #[must_use]
    pub fn samples(&self, body: &Body, u: &[f64]) -> Vec<[f64; 3]> {
        let moduli = body.elastic().moduli();
        let mut out = Vec::with_capacity(self.gradients.len());
        for (t, gradients) in self.gradients.chunks_exact(SAMPLES).enumerate() {
            let displacements = body.displacements_of(t, u);
            out.extend(gradients.iter().map(|g| moduli.stress(element::strain(g, &displacements))));
        }
        out
    }

    /// Smooth stress of every row out of the samples.
    #[must_use]
    pub fn rows_from_samples(&self, samples: &[[f64; 3]]) -> Vec<[f64; 3]> {
        self.starts
            .windows(2)
            .map(|range| {
                let range = range[0] as usize..range[1] as usize;
                let mut sum = [0.0; 3];
                for (sample, weight) in self.samples[range.clone()].iter().zip(&self.weights[range]) {
                    let stress = samples[*sample as usize];
                    sum[0] += weight * stress[0];
                    sum[1] += weight * stress[1];
                    sum[2] += weight * stress[2];
                }
                sum
            })
            .collect()
    }

    /// Smooth stress `[xx, yy, xy]`, MPa, of every row.
    #[must_use]
    pub fn row_stress(&self, body: &Body, u: &[f64]) -> Vec<[f64; 3]> {
        self.rows_from_samples(&self.samples(body, u))
    }

    /// Smooth stress `[xx, yy, xy]`, MPa, tension positive, at every node. A node between zones shows the zone with the
    /// greatest von Mises stress.
    #[must_use]
    pub fn nodal_stress(&self, body: &Body, u: &[f64]) -> Vec<[f64; 3]> {
        self.nodes_from_rows(&self.row_stress(body, u))
    }

    /// One value for every node out of those of the rows, as in [`Recovery::nodal_stress`].
    #[must_use]
    pub fn nodes_from_rows(&self, rows: &[[f64; 3]]) -> Vec<[f64; 3]> {
        let mut out: Vec<[f64; 3]> = Vec::with_capacity(rows.len());
        for (row, &node) in rows.iter().zip(&self.node_of) {
            if out.len() == node as usize {
                out.push(*row);
            } else if let Some(last) = out.last_mut().filter(|last| von_mises(*row) > von_mises(**last)) {
                *last = *row;
            }
        }
        out
    }
}

/// Gives every node one row per zone around it: the rows of each triangle, and the node of each row.
fn split_by_zone(body: &Body, zone: &dyn Fn(usize) -> u32) -> (Vec<[u32; 6]>, Vec<u32>) {
    let mesh = body.mesh();
    let zones: Vec<u32> = (0..mesh.triangles.len()).map(zone).collect();
    let touching = Touching::new(mesh.points.len(), &mesh.triangles);
    let mut rows_of = vec![[0; 6]; mesh.triangles.len()];
    let mut node_of = Vec::with_capacity(mesh.points.len());
    let mut here = Vec::new();
    for node in 0..mesh.points.len() {
        here.clear();
        here.extend(touching.triangles_at(node).iter().map(|t| zones[*t as usize]));
        here.sort_unstable();
        here.dedup();
        let first = node_of.len() as u32;
        node_of.extend(here.iter().map(|_| node as u32));
        for &t in touching.triangles_at(node) {
            let rank = here.partition_point(|z| *z < zones[t as usize]) as u32;
            for (slot, n) in rows_of[t as usize].iter_mut().zip(mesh.triangles[t as usize]) {
                if n as usize == node {
                    *slot = first + rank;
                }
            }
        }
    }
    (rows_of, node_of)
}

/// Inner neighbours that are at most so many times as far as the nearest serve a corner of the outline, alike.
const NEAR: f64 = 1.5;

/// What kind of node a row is, and where its stress comes from.
#[derive(Clone, Debug)]
enum Source {
    /// A corner, and the corners whose patches serve it (itself, or the inner neighbours it borrows from).
    Corner(Vec<u32>),
    /// A mid-side node between two corners.
    Middle(u32, u32),
}

/// The triangles seen as a net of rows.
struct Layout<'a> {
    rows_of: &'a [[u32; 6]],
    touching: Touching,
    places: Vec<Point>,
    sources: Vec<Source>,
    samples: &'a [Point],
}

impl<'a> Layout<'a> {
    fn new(body: &Body, rows_of: &'a [[u32; 6]], node_of: &[u32], samples: &'a [Point]) -> Self {
        let touching = Touching::new(node_of.len(), rows_of);
        let places: Vec<Point> = node_of.iter().map(|n| body.mesh().points[*n as usize]).collect();
        let mut sources: Vec<Source> =
            (0..node_of.len() as u32).map(|row| Source::Corner(vec![row])).collect();
        let mut outline = vec![false; node_of.len()];
        for t in rows_of {
            for [a, b, m] in [[t[0], t[1], t[3]], [t[1], t[2], t[4]], [t[2], t[0], t[5]]] {
                sources[m as usize] = Source::Middle(a.min(b), a.max(b));
                // A side with one triangle of its zone bounds the zone.
                if touching.triangles_at(m as usize).len() == 1 {
                    outline[a as usize] = true;
                    outline[b as usize] = true;
                }
            }
        }
        for row in 0..node_of.len() {
            if let (Source::Corner(homes), true) = (&mut sources[row], outline[row]) {
                let distance = |other: u32| {
                    let (p, q) = (places[row], places[other as usize]);
                    (p[0] - q[0]).hypot(p[1] - q[1])
                };
                let corners = touching.triangles_at(row).iter().flat_map(|t| &rows_of[*t as usize][..3]);
                let mut inner: Vec<(f64, u32)> =
                    corners.filter(|r| !outline[**r as usize]).map(|r| (distance(*r), *r)).collect();
                let nearest = inner.iter().map(|(d, _)| *d).fold(f64::INFINITY, f64::min);
                inner.retain(|(d, _)| *d <= nearest * NEAR);
                if !inner.is_empty() {
                    *homes = inner.into_iter().map(|(_, r)| r).collect();
                    homes.sort_unstable();
                    homes.dedup();
                }
            }
        }
        Self { rows_of, touching, places, sources, samples }
    }

    /// The patch around a corner; None for mid-side rows and for corners that borrow.
    fn patch(&self, row: usize) -> Option<Patch> {
        if !matches!(&self.sources[row], Source::Corner(homes) if homes[..] == [row as u32]) {
            return None;
        }
        let mut triangles: Vec<u32> = self.touching.triangles_at(row).to_vec();
        for _ in 0..=RINGS {
            if let Some(patch) = Patch::fit(&triangles, self.samples, TERMS) {
                return Some(patch);
            }
            let before = triangles.len();
            self.grow(&mut triangles);
            if triangles.len() == before {
                break;
            }
        }
        // A piece too small for a quadratic: a plane, or at worst the mean.
        let nearest = self.touching.triangles_at(row);
        [&triangles[..], nearest]
            .iter()
            .find_map(|t| Patch::fit(t, self.samples, 3))
            .or_else(|| Patch::fit(nearest, self.samples, 1))
    }

    /// Adds every triangle that shares a corner with the patch.
    fn grow(&self, triangles: &mut Vec<u32>) {
        let corners: Vec<u32> =
            triangles.iter().flat_map(|t| self.rows_of[*t as usize][..3].to_vec()).collect();
        triangles.extend(corners.iter().flat_map(|c| self.touching.triangles_at(*c as usize)));
        triangles.sort_unstable();
        triangles.dedup();
    }

    /// The weights of one row: samples, ascending, and their shares.
    fn weights(&self, row: usize, patches: &[Option<Patch>]) -> Vec<(u32, f64)> {
        let place = self.places[row];
        let mut list: Vec<(u32, f64)> = Vec::new();
        let mut serve = |corner: u32, share: f64| {
            let Source::Corner(homes) = &self.sources[corner as usize] else { return };
            let share = share / homes.len() as f64;
            for patch in homes.iter().filter_map(|home| patches[*home as usize].as_ref()) {
                list.extend(patch.weights(place, self.samples).map(|(sample, w)| (sample, share * w)));
            }
        };
        match self.sources[row] {
            Source::Corner(_) => serve(row as u32, 1.0),
            Source::Middle(a, b) => {
                serve(a, 0.5);
                serve(b, 0.5);
            }
        }
        // Patches overlap: one weight for each sample.
        summed(list)
    }
}
