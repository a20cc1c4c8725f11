//! A connector at a moment of a pull, as it is drawn: its nodes where they have gone, the gate turned and moved as a whole.

use crate::mapping::outline;
use geometry::curve::Point;
use solver::pull_to_failure::Fields;
use solver::rig::{Loader, Rig};
use solver::system::{Seat, Side, System, edge_shape};
use viz::{BodyField, LoadShape, PullMoment};

/// Points that the edge under a strap is drawn with.
const STEPS: u32 = 24;

/// A connector at a moment: what a [`PullMoment`] borrows from.
#[derive(Clone, Debug)]
pub struct Shown<'a> {
    system: &'a System,
    points: Vec<Point>,
    gate: Option<Vec<Vec<Point>>>,
    pins: Vec<(Point, f64)>,
    loads: Vec<LoadShape>,
    fields: Fields,
}

impl<'a> Shown<'a> {
    /// Of the fields of a step. What moves along as a whole is left out: the middle of the frame stands still.
    #[must_use]
    pub fn new(system: &'a System, rig: &Rig, fields: Fields) -> Self {
        let mesh = system.frame.body.mesh();
        let count = fields.moved.len().max(1) as f64;
        let mean = [0, 1].map(|k| fields.moved.iter().map(|m| m[k]).sum::<f64>() / count);
        let away = |p: Point, by: Point| [0, 1].map(|k| p[k] + by[k] - mean[k]);
        let points: Vec<Point> = mesh.points.iter().zip(&fields.moved).map(|(p, m)| away(*p, *m)).collect();
        let on_gate = |p: Point| fields.gate.map(|gate| away(gate.at(p), [0.0; 2]));
        let gate_mesh = system.gate.body.mesh();
        let gate = fields.gate.map(|_| {
            let moved: Vec<Point> = gate_mesh.points.iter().filter_map(|p| on_gate(*p)).collect();
            outline(gate_mesh, &moved)
        });
        let near = |at: Point| {
            let off = |i: &usize| (mesh.points[*i][0] - at[0]).hypot(mesh.points[*i][1] - at[1]);
            (0..mesh.points.len()).min_by(|a, b| off(a).total_cmp(&off(b)))
        };
        let with_frame = |at: Point| near(at).map_or(at, |node| away(at, fields.moved[node]));
        let seats = &system.outline.seats;
        let nose = match system.nose_disc.0 {
            Side::Frame => Some(with_frame(seats.nose_pin.centre)),
            Side::Gate => on_gate(seats.nose_pin.centre),
        };
        let pins = [(nose, seats.nose_pin.radius), (on_gate(seats.hinge_pin.centre), seats.hinge_pin.radius)];
        let axis = system.pull_axis(rig.upper, rig.lower);
        let up = axis.direction;
        let load = |seat: &Seat, loader: Loader, centre: Point, direction: Point| match loader {
            Loader::Strap { width_mm, offset_mm, .. } => {
                let edge: Vec<Point> = (0..=STEPS)
                    .map(|i| {
                        let x = offset_mm + width_mm * (f64::from(i) / f64::from(STEPS) - 0.5);
                        let (edge, s) = seat.at_x(x);
                        let nodes = seat.edges[edge].nodes.map(|n| points[seat.nodes[n].node as usize]);
                        let shape = edge_shape(s);
                        [0, 1].map(|k| (0..3).map(|i| shape[i] * nodes[i][k]).sum())
                    })
                    .collect();
                let centre_x = 0.5 * (edge[0][0] + edge[edge.len() - 1][0]);
                LoadShape::Strap { centre_x, width: width_mm, edge, direction }
            }
            Loader::Bar { diameter_mm, .. } => {
                LoadShape::Bar { centre: with_frame(centre), radius: 0.5 * diameter_mm, direction }
            }
        };
        let loads = vec![
            load(&system.upper, rig.upper, axis.upper, up),
            load(&system.lower, rig.lower, axis.lower, up.map(|c| -c)),
        ];
        Self {
            system,
            gate,
            pins: pins.into_iter().filter_map(|(at, radius)| Some((at?, radius))).collect(),
            loads,
            points,
            fields,
        }
    }

    /// The same with its gate gone.
    #[must_use]
    pub fn without_gate(self) -> Self {
        Self { gate: None, ..self }
    }

    /// The frame alone: its gate gone, and nothing that pulls.
    #[must_use]
    pub fn alone(self) -> Self {
        Self { gate: None, loads: Vec::new(), ..self }
    }

    /// What nearly all nodes stay below, MPa.
    #[must_use]
    pub fn nearly_most_mpa(&self) -> f64 {
        let mut sizes = self.fields.von_mises_mpa.clone();
        sizes.sort_unstable_by(f64::total_cmp);
        sizes.get(sizes.len() * 99 / 100).copied().unwrap_or(0.0)
    }

    /// The highest stress of the nodes, MPa.
    #[must_use]
    pub fn most_mpa(&self) -> f64 {
        self.fields.von_mises_mpa.iter().copied().fold(0.0, f64::max)
    }

    /// The moment, under its words.
    #[must_use]
    pub fn moment(&self, what: String, load: String) -> PullMoment<'_> {
        let mesh = self.system.frame.body.mesh();
        PullMoment {
            what,
            load,
            frame: BodyField {
                points: &self.points,
                triangles: &mesh.triangles,
                values: &self.fields.von_mises_mpa,
                outline: outline(mesh, &self.points),
                nodal_stress: &[],
                breadth: &[],
            },
            gate: self.gate.as_ref().map(|gate| BodyField::outlined(gate)),
            pins: self.pins.clone(),
            loads: self.loads.clone(),
        }
    }
}
