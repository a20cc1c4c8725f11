//! From a solved connector to the picture of it.

use super::nose::nose_inset;
use crate::args::Field;
use geometry::connector::LipOn;
use geometry::curve::Point;
use geometry::mesh::Mesh;
use geometry::outline::Location;
use report::caution::CAUTION;
use report::changes::heading;
use report::map::headline;
use report::numbers::kilonewtons;
use report::pictures::{map as words, source_line};
use report::{locations, rigs};
use solver::findings::Tells;
use solver::rig::{GateState, Loader};
use solver::strength::held_gate_line;
use solver::system::Seat;
use study::map::Mapped;
use viz::{BodyField, Callout, Drawing, LoadShape, MapWords, StressMap};

/// What the picture shall show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PictureRequest<'a> {
    /// Which stress.
    pub field: Field,
    /// Displacements drawn this many times enlarged; zero for the shape before the pull.
    pub enlarged: f64,
    /// Size in pixels.
    pub size: [u32; 2],
    /// What was changed about the model, keys and values: the heading tells it.
    pub sets: &'a [(String, String)],
}

/// Points that each edge is drawn with.
const PER_EDGE: u32 = 4;

fn moved(points: &[Point], u: &[f64], times: f64) -> Vec<Point> {
    points.iter().zip(u.chunks_exact(2)).map(|(p, d)| [p[0] + times * d[0], p[1] + times * d[1]]).collect()
}

/// The outline of a mesh with its nodes at `points`: one closed polygon for each loop.
pub(crate) fn outline(mesh: &Mesh, points: &[Point]) -> Vec<Vec<Point>> {
    let mut loops: Vec<Vec<Point>> = Vec::new();
    let mut end = None;
    for edge in &mesh.boundary {
        let [a, b, m] = edge.nodes.map(|n| points[n as usize]);
        if end != Some(edge.nodes[0]) {
            loops.push(Vec::new());
        }
        end = Some(edge.nodes[1]);
        if let Some(polygon) = loops.last_mut() {
            polygon.extend((0..PER_EDGE).map(|i| {
                let t = f64::from(i) / f64::from(PER_EDGE);
                let (na, nb, nm) = ((1.0 - t) * (1.0 - 2.0 * t), t * (2.0 * t - 1.0), 4.0 * t * (1.0 - t));
                [na * a[0] + nb * b[0] + nm * m[0], na * a[1] + nb * b[1] + nm * m[1]]
            }));
        }
    }
    loops
}

/// What pulls at one end, where it sits; moved by `shift` for a deformed drawing.
pub(crate) fn load_shape(
    seat: &Seat,
    loader: Loader,
    centre: Point,
    direction: Point,
    shift: Point,
) -> LoadShape {
    match loader {
        Loader::Strap { width_mm, offset_mm, .. } => {
            const STEPS: u32 = 24;
            let edge = (0..=STEPS)
                .map(|i| {
                    let x = offset_mm + width_mm * (f64::from(i) / f64::from(STEPS) - 0.5);
                    let (edge, s) = seat.at_x(x);
                    let p = seat.edges[edge].point(s);
                    [p[0] + shift[0], p[1] + shift[1]]
                })
                .collect();
            LoadShape::Strap { centre_x: offset_mm + shift[0], width: width_mm, edge, direction }
        }
        Loader::Bar { diameter_mm, .. } => LoadShape::Bar {
            centre: [centre[0] + shift[0], centre[1] + shift[1]],
            radius: 0.5 * diameter_mm,
            direction,
        },
    }
}

fn field(field: Field) -> viz::Field {
    match field {
        Field::VonMises => viz::Field::VonMises,
        Field::PullDirection => viz::Field::PullDirection,
        Field::Principal => viz::Field::Principal,
        Field::Trajectories => viz::Field::Trajectories,
    }
}

/// How a stress is called.
pub(crate) fn field_words(shown: viz::Field) -> words::FieldWords {
    match shown {
        viz::Field::VonMises => words::VON_MISES,
        viz::Field::PullDirection => words::PULL_DIRECTION,
        viz::Field::Principal => words::PRINCIPAL,
        viz::Field::Trajectories => words::TRAJECTORIES,
    }
}

/// What is written on a map of a connector under a pull, of which spine and gate carry a part, kN.
fn map_words(
    shown: viz::Field,
    connector: &str,
    [load_kn, spine_kn, gate_kn]: [f64; 3],
    gate_open: bool,
) -> MapWords {
    let field = field_words(shown);
    MapWords {
        name: format!("{connector}: {}", field.name),
        description: String::new(),
        ruler: field.upright.map(str::to_owned),
        across: field.across.to_owned(),
        yields: words::YIELD.to_owned(),
        past: words::PAST.to_owned(),
        key_note: words::PULL_ONLY.to_owned(),
        pull: kilonewtons(load_kn),
        shares: words::shares(spine_kn, gate_kn, load_kn, gate_open),
    }
}

/// The alternative text of a map.
fn description(map: &StressMap<'_>) -> String {
    let forces = |nose: &viz::NoseInset| nose.forces.iter().map(|f| f.kn[0].hypot(f.kn[1])).collect();
    words::description(&words::MapTold {
        sentence: &map.sentence,
        subtitle: &map.subtitle,
        loads_kn: [map.load_kn, map.spine_kn, map.gate_kn],
        field: field_words(map.field),
        callouts: map.callouts.iter().map(|c| (c.words.as_str(), c.value_mpa)).collect(),
        nose: map.nose.as_ref().map(|nose| (forces(nose), nose.holds.as_str())),
        yield_mpa: map.yield_mpa,
        notes: [&map.shape_note, &map.beyond].into_iter().flatten().map(String::as_str).collect(),
        caution: map.caution,
    })
}

/// The point that is nearest to a place, by index.
fn nearest(points: &[Point], at: Point) -> Option<usize> {
    let away = |i: usize| (points[i][0] - at[0]).hypot(points[i][1] - at[1]);
    (0..points.len()).min_by(|a, b| away(*a).total_cmp(&away(*b)))
}

/// A solved connector with its nodes where they shall be drawn: what a [`StressMap`] borrows from.
#[derive(Debug)]
pub struct Shown<'a> {
    solved: &'a Mapped,
    title: &'a str,
    points: [Vec<Point>; 2],
    values: [Vec<f64>; 2],
    breadths: [Vec<f64>; 2],
    enlarged: f64,
}

impl<'a> Shown<'a> {
    /// A connector of this title. `enlarged`: displacements drawn this many times enlarged; zero for the shape before the pull.
    #[must_use]
    pub fn new(solved: &'a Mapped, title: &'a str, enlarged: f64) -> Self {
        let (system, response) = (&solved.system, &solved.response);
        let meshes = [system.frame.body.mesh(), system.gate.body.mesh()];
        let points = [
            moved(&meshes[0].points, &response.frame_u, enlarged),
            moved(&meshes[1].points, &response.gate_u, enlarged),
        ];
        let values =
            [&solved.stress.frame, &solved.stress.gate].map(|s| solver::findings::nodal_von_mises(s));
        let breadths = [
            meshes[0].points.iter().map(|p| system.breadth.at(*p)).collect::<Vec<f64>>(),
            vec![system.connector.gate.breadth_mm; meshes[1].points.len()],
        ];
        Self { solved, title, points, values, breadths, enlarged }
    }

    /// The picture's data. `name` is the model's short name, `hash` that of its inputs.
    #[must_use]
    pub fn map(&self, name: &str, hash: &str, shown: Field) -> StressMap<'_> {
        let Self { solved, title, points, values, breadths, enlarged } = self;
        let (system, response) = (&solved.system, &solved.response);
        let rig = response.rig;
        let meshes = [system.frame.body.mesh(), system.gate.body.mesh()];
        // Pins, straps and callouts follow the node that is nearest to where they were.
        let shift = |side: usize, at: Point| {
            if *enlarged == 0.0 {
                return [0.0; 2];
            }
            nearest(&meshes[side].points, at).map_or([0.0; 2], |node| {
                let (from, to) = (meshes[side].points[node], points[side][node]);
                [to[0] - from[0], to[1] - from[1]]
            })
        };
        let seats = &system.outline.seats;
        let pins = [seats.nose_pin, seats.hinge_pin]
            .map(|pin| {
                let by = shift(1, pin.centre);
                ([pin.centre[0] + by[0], pin.centre[1] + by[1]], pin.radius)
            })
            .to_vec();
        let up = response.axis.direction;
        let shown = field(shown);
        let callouts = solved
            .findings
            .peaks
            .iter()
            .filter(|p| p.trusted)
            .map(|p| {
                let side = usize::from(matches!(p.place, Location::Gate(_)));
                let place = locations::location(p.place);
                let by = shift(side, [p.x_mm, p.y_mm]);
                let value_mpa = match shown {
                    viz::Field::VonMises | viz::Field::Trajectories => p.von_mises_mpa,
                    // The node that is nearest to the peak has the other stresses of the place.
                    viz::Field::PullDirection | viz::Field::Principal => {
                        let stress = [&solved.stress.frame, &solved.stress.gate][side];
                        nearest(&meshes[side].points, [p.x_mm, p.y_mm])
                            .map_or(p.von_mises_mpa, |node| shown.at(stress[node], up))
                    }
                };
                let words = match shown {
                    // Trajectories are forces; the number beside the place is not.
                    viz::Field::Trajectories => words::von_mises_at(&place),
                    _ => place,
                };
                Callout { at: [p.x_mm + by[0], p.y_mm + by[1]], value_mpa, words, trusted: p.trusted }
            })
            .collect();
        let parts = held_gate_line(system, &solved.strengths, response);
        let notch_side = usize::from(system.outline.lip_on == LipOn::Gate);
        let nose = nose_inset(solved, &parts, &|at| {
            let by = shift(notch_side, at);
            [at[0] + by[0], at[1] + by[1]]
        });
        let down = [-up[0], -up[1]];
        let gate_open = rig.gate == GateState::Open || !response.hold.holds();
        StressMap {
            title: (*title).to_owned(),
            // A number and its unit stay on one line.
            subtitle: heading(&rigs::rig(&rig), &[]),
            sentence: headline(&solved.findings),
            frame: BodyField {
                points: &points[0],
                triangles: &meshes[0].triangles,
                values: &values[0],
                outline: outline(meshes[0], &points[0]),
                nodal_stress: &solved.stress.frame,
                breadth: &breadths[0],
            },
            gate: BodyField {
                points: &points[1],
                triangles: &meshes[1].triangles,
                values: &values[1],
                outline: outline(meshes[1], &points[1]),
                nodal_stress: &solved.stress.gate,
                breadth: &breadths[1],
            },
            gate_open,
            pins,
            upper: load_shape(
                &system.upper,
                rig.upper,
                response.axis.upper,
                up,
                shift(0, response.axis.upper),
            ),
            lower: load_shape(
                &system.lower,
                rig.lower,
                response.axis.lower,
                down,
                shift(0, response.axis.lower),
            ),
            field: shown,
            yield_mpa: solved.strengths.materials.frame.yield_mpa,
            load_kn: rig.load_kn,
            gate_kn: solved.findings.share.gate_kn,
            spine_kn: solved.findings.share.spine_kn,
            words: map_words(
                shown,
                title,
                [rig.load_kn, solved.findings.share.spine_kn, solved.findings.share.gate_kn],
                gate_open,
            ),
            callouts,
            nose,
            caution: CAUTION,
            source_line: source_line(name, hash),
            shape_note: (*enlarged != 0.0).then(|| words::enlarged(*enlarged)),
            beyond: words::beyond(Tells::of(&solved.findings.beyond, rig.load_kn)),
        }
    }
}

/// The largest enlargement, in two digits, at which a drawn shape still reads as the connector: no point then moves by more
/// than a quarter of the connector's length beside the others.
#[must_use]
pub fn most_enlarged(solved: &Mapped) -> f64 {
    let (system, response) = (&solved.system, &solved.response);
    let points = &system.frame.body.mesh().points;
    let high = points.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
    let low = points.iter().map(|p| p[1]).fold(f64::INFINITY, f64::min);
    // Straps stretch and let all of it move along: that changes no shape.
    let nodes = (response.frame_u.len() / 2).max(1) as f64;
    let mean = [0, 1].map(|k| response.frame_u.iter().skip(k).step_by(2).sum::<f64>() / nodes);
    let moves = [&response.frame_u, &response.gate_u];
    let largest = moves
        .iter()
        .flat_map(|u| u.chunks_exact(2))
        .map(|d| (d[0] - mean[0]).hypot(d[1] - mean[1]))
        .fold(1e-9, f64::max);
    let most = 0.25 * (high - low) / largest;
    let digits = 10.0_f64.powf(most.log10().floor() - 1.0);
    // A power below one is no number that divides without a rest.
    if digits >= 1.0 {
        (most / digits).floor() * digits
    } else {
        (most / digits).floor() / (1.0 / digits).round()
    }
}

/// Draws a solved connector of this title. `name` is the model's short name, `hash` that of its inputs.
#[must_use]
pub fn stress_map(
    solved: &Mapped,
    title: &str,
    (name, hash): (&str, &str),
    wanted: PictureRequest<'_>,
) -> Drawing {
    let shown = Shown::new(solved, title, wanted.enlarged);
    let mut map = shown.map(name, hash, wanted.field);
    map.subtitle = heading(&rigs::rig(&solved.response.rig), wanted.sets);
    map.words.description = description(&map);
    map.drawing(wanted.size[0], wanted.size[1])
}
