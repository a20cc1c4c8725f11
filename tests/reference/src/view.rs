//! What a problem looks like once it is solved: its bodies with one stress on them, what presses and what holds.
//!
//! Plain data, no colour and no size in pixels. A reader who sees the picture beside the numbers finds a load on the wrong
//! edge or a hole on the wrong side at once, which no table shows. Loads are read back from the nodal forces that were
//! solved for, never drawn by hand, so the picture cannot show another problem than the one that gave the numbers.

use crate::model::Solved;
use crate::pressing::Row;
use geometry::curve::Point;
use geometry::mesh::Mesh;
use solver::plane::stress::{principal, von_mises};
use solver::plane::{Body, Factor, Recovery};
use std::collections::BTreeMap;

/// A picture of one solved case.
#[derive(Clone, Debug, PartialEq)]
pub struct View {
    /// Which case, how it is held and loaded: whole sentences.
    pub caption: String,
    /// Which stress is shown.
    pub shown: Shown,
    /// Its unit.
    pub unit: &'static str,
    /// The bodies, back to front.
    pub parts: Vec<Part>,
    /// Whether the picture is completed by its mirror image across the y axis (x turns) and across the x axis (y turns).
    pub mirrored: [bool; 2],
    /// Lower and upper corner of what is shown, when the rest of the body is of no interest.
    pub window: Option<[Point; 2]>,
    /// Rigid circles that press: centre, radius.
    pub pins: Vec<(Point, f64)>,
    /// Places where compared numbers are read.
    pub read_at: Vec<Point>,
}

/// Which stress is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// Von Mises stress.
    VonMises,
    /// Stress along x.
    AlongX,
    /// Stress along y.
    AlongY,
    /// Stress around the origin.
    Around,
    /// The principal stress that is larger in size, with its sign.
    Principal,
}

/// A body with the shown stress.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Nodes.
    pub points: Vec<Point>,
    /// Six-node triangles: corners, then middles of sides 01, 12, 20.
    pub triangles: Vec<[u32; 6]>,
    /// Sides of triangles that bound the body: start, end, middle; material on the left.
    pub edges: Vec<[u32; 3]>,
    /// The shown stress of each node.
    pub values: Vec<f64>,
    /// Where a load acts, and the load: force per length on edges, force at points. Each list is compared with itself only.
    pub edge_loads: Vec<(Point, [f64; 2])>,
    /// Forces at single points.
    pub point_loads: Vec<(Point, [f64; 2])>,
    /// Edges held in one direction or both: start, end, middle.
    pub held: Vec<[u32; 3]>,
}

impl Shown {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::VonMises => "von Mises stress",
            Self::AlongX => "stress along x",
            Self::AlongY => "stress along y",
            Self::Around => "stress around the centre",
            Self::Principal => "principal stress, the larger in size",
        }
    }

    /// Whether pull and push differ.
    #[must_use]
    pub const fn is_signed(self) -> bool {
        !matches!(self, Self::VonMises)
    }

    /// Of a stress `[xx, yy, xy]` at a point.
    #[must_use]
    pub fn of(self, at: Point, stress: [f64; 3]) -> f64 {
        let [xx, yy, xy] = stress;
        match self {
            Self::VonMises => von_mises(stress),
            Self::AlongX => xx,
            Self::AlongY => yy,
            Self::Around => {
                let [x, y] = at;
                let r2 = (x * x + y * y).max(f64::MIN_POSITIVE);
                (y * y * xx + x * x * yy - 2.0 * x * y * xy) / r2
            }
            Self::Principal => {
                let p = principal(stress);
                if p.first.abs() >= p.second.abs() { p.first } else { p.second }
            }
        }
    }
}

/// Sides that belong to one triangle only, in the order of the triangles: start, end, middle.
fn outer_sides(triangles: &[[u32; 6]]) -> Vec<[u32; 3]> {
    let sides = |t: &[u32; 6]| {
        let [a, b, c, ab, bc, ca] = *t;
        [[a, b, ab], [b, c, bc], [c, a, ca]]
    };
    let mut owners: BTreeMap<u32, u32> = BTreeMap::new();
    for [.., middle] in triangles.iter().flat_map(sides) {
        *owners.entry(middle).or_default() += 1;
    }
    triangles.iter().flat_map(sides).filter(|[.., middle]| owners[middle] == 1).collect()
}

impl Part {
    /// A body with a stress at each node, and nodal forces.
    #[must_use]
    pub fn new(mesh: &Mesh, stress: &[[f64; 3]], forces: &[f64], shown: Shown) -> Self {
        let edges = outer_sides(&mesh.triangles);
        let at = |n: u32| mesh.points[n as usize];
        let force_of = |n: u32| [forces[2 * n as usize], forces[2 * n as usize + 1]];
        let acts = |f: &[f64; 2]| f[0] != 0.0 || f[1] != 0.0;
        // Two thirds of an edge's load act at its middle.
        let edge_loads = edges
            .iter()
            .filter(|[.., m]| acts(&force_of(*m)))
            .map(|&[a, b, m]| {
                let length = (at(b)[0] - at(a)[0]).hypot(at(b)[1] - at(a)[1]);
                (at(m), force_of(m).map(|f| 1.5 * f / length))
            })
            .collect::<Vec<_>>();
        let point_loads = if edge_loads.is_empty() {
            let nodes = 0..mesh.points.len() as u32;
            nodes.filter(|n| acts(&force_of(*n))).map(|n| (at(n), force_of(n))).collect()
        } else {
            Vec::new()
        };
        let values = mesh.points.iter().zip(stress).map(|(p, s)| shown.of(*p, *s)).collect();
        Self {
            points: mesh.points.clone(),
            triangles: mesh.triangles.clone(),
            edges,
            values,
            edge_loads,
            point_loads,
            held: Vec::new(),
        }
    }

    /// A body pressed on: `factor` holds it, `extra` acts on it besides the forces of the rows along `pattern`.
    #[must_use]
    pub fn pressed(body: &Body, factor: &Factor, rows: &[Row], forces: &[f64], shown: Shown) -> Self {
        let mut nodal = vec![0.0; body.unknowns()];
        for (row, force) in rows.iter().zip(forces) {
            for (unknown, weight) in &row.body {
                nodal[*unknown as usize] += weight * force;
            }
        }
        let stress = Recovery::new(body, &|_| 0).nodal_stress(body, &factor.solve(&nodal));
        Self::new(body.mesh(), &stress, &nodal, shown)
    }

    /// The elastic circle of a contact: pressed back by the rows, loaded by `load`.
    #[must_use]
    pub fn pressing(
        body: &Body,
        factor: &Factor,
        rows: &[Row],
        forces: &[f64],
        load: &[f64],
        shown: Shown,
    ) -> Self {
        let mut nodal = load.to_vec();
        for (row, force) in rows.iter().zip(forces) {
            for (unknown, weight) in &row.circle {
                nodal[*unknown as usize] -= weight * force;
            }
        }
        let stress = Recovery::new(body, &|_| 0).nodal_stress(body, &factor.solve(&nodal));
        // The arrows stand on the other body already.
        Self::new(body.mesh(), &stress, &vec![0.0; nodal.len()], shown)
    }
}

impl View {
    /// A picture of bodies. Stresses are in MPa unless said otherwise.
    #[must_use]
    pub fn of(parts: Vec<Part>, shown: Shown, caption: impl Into<String>) -> Self {
        let caption = caption.into();
        Self {
            caption,
            shown,
            unit: "MPa",
            parts,
            mirrored: [false; 2],
            window: None,
            pins: Vec::new(),
            read_at: Vec::new(),
        }
    }

    /// Completed by the mirror image across the y axis.
    #[must_use]
    pub fn mirrored_in_x(mut self) -> Self {
        self.mirrored[0] = true;
        self
    }

    /// Completed by the mirror image across the x axis.
    #[must_use]
    pub fn mirrored_in_y(mut self) -> Self {
        self.mirrored[1] = true;
        self
    }

    /// Only what lies between two corners.
    #[must_use]
    pub fn within(mut self, low: Point, high: Point) -> Self {
        self.window = Some([low, high]);
        self
    }

    /// With the stress in another unit.
    #[must_use]
    pub fn in_unit(mut self, unit: &'static str) -> Self {
        self.unit = unit;
        self
    }

    /// With a rigid circle that presses.
    #[must_use]
    pub fn with_pin(mut self, centre: Point, radius: f64) -> Self {
        self.pins.push((centre, radius));
        self
    }

    /// With the places where compared numbers are read.
    #[must_use]
    pub fn reading_at(mut self, places: &[Point]) -> Self {
        self.read_at = places.to_vec();
        self
    }
}

impl Solved {
    /// A picture of the solved body.
    #[must_use]
    pub fn view(&self, shown: Shown, caption: impl Into<String>) -> View {
        let mut part = Part::new(self.body.mesh(), &self.stress, &self.forces, shown);
        let held = |n: u32| self.held.contains(&(2 * n)) || self.held.contains(&(2 * n + 1));
        part.held = part.edges.iter().copied().filter(|[.., middle]| held(*middle)).collect();
        View::of(vec![part], shown, caption)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Model, plane_stress};
    use solver::plane::grid::{LEFT, RIGHT, grid};

    #[test]
    fn a_view_reads_its_loads_and_supports_back() -> Result<(), crate::model::ModelError> {
        let mut model = Model::plate(grid(2, 2, &|[s, t]| [4.0 * s, 2.0 * t]), 1.0, plane_stress(1e3, 0.0))?;
        model.hold(LEFT, 0, &|_| 0.0);
        model.hold_node([0.0, 0.0], 1, 0.0);
        model.load(RIGHT, &|_, _| [7.0, 0.0]);
        let view = model.solve()?.view(Shown::AlongX, "pulled").mirrored_in_x();
        let part = &view.parts[0];
        assert_eq!((part.edges.len(), part.held.len(), part.edge_loads.len()), (8, 2, 2));
        for (at, load) in &part.edge_loads {
            assert!(at[0] == 4.0 && (load[0] - 7.0).abs() < 1e-12 && load[1] == 0.0, "{at:?} {load:?}");
        }
        assert!(part.values.iter().all(|v| (v - 7.0).abs() < 1e-9));
        assert!(part.point_loads.is_empty() && view.mirrored == [true, false]);
        Ok(())
    }

    #[test]
    fn the_stress_around_is_taken_square_to_the_radius() {
        // Pull along y: around the origin on the x axis, nothing on the y axis, half of it in between.
        for (at, around) in [([2.0, 0.0], 10.0), ([0.0, 3.0], 0.0), ([1.0, 1.0], 5.0)] {
            assert!((Shown::Around.of(at, [0.0, 10.0, 0.0]) - around).abs() < 1e-12);
        }
        assert_eq!(Shown::Principal.of([0.0; 2], [-9.0, 4.0, 0.0]), -9.0);
    }
}
