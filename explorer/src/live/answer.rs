//! The answer to a solve: findings and shapes as JSON, mesh and fields as blocks.

use super::allowed::VERSION;
use super::api_error::{ApiError, Fault};
use super::blocks::Blocks;
use super::parameters::{ranges, used};
use super::prepared::Prepared;
use super::protocol::{Extra, Want};
use super::state::Checked;
use crate::mapping::{is_not_the_share, nose_inset};
use geometry::curve::Point;
use report::caution::{CAUTION, with_caution};
use report::findings::Findings;
use report::map::{in_the_notch, not_in_headline, sentence, yields};
use report::notes::notes;
use report::pictures::map::{SHARE_OF_THE_PULL, beyond};
use report::places::word;
use report::{rigs, warnings};
use serde::Serialize;
use serde_json::{Value as Json, json};
use solver::causes::Place;
use solver::findings::{Tells, nodal_von_mises};
use solver::rig::Loader;
use solver::system::{Part, Seat, System, SystemSettings, edge_shape};
use std::time::{Duration, Instant};
use study::in_use::InUse;
use study::map::{Depth, Mapped};

/// Points along the bar under a strap.
const UNDER_STRAP: u32 = 24;
/// Points along a whole seat.
const ALONG_SEAT: u32 = 96;

/// Twelve digits that stand for everything a state's findings depend on.
#[must_use]
pub fn inputs(checked: &Checked) -> String {
    checked.model.inputs_hash(&SystemSettings::default())
}

/// The bytes of a solve's answer. `ticket` and `built` (how long the system took) are only told on.
///
/// # Errors
/// The rig is impossible.
pub fn answer(
    checked: &Checked,
    prepared: &Prepared,
    want: &Want,
    (ticket, built): (u64, Duration),
) -> Result<Vec<u8>, ApiError> {
    let (solved, [loaded, judged]) =
        prepared.load(&checked.model, if want.quick { Depth::Quick } else { Depth::Whole })?;
    let clock = Instant::now();
    let mut blocks = Blocks::default();
    let mut json = about(checked, prepared, &solved);
    json["ticket"] = json!(ticket);
    json["complete"] = json!(!want.quick);
    if want.mesh_id.as_deref() != Some(prepared.mesh_id()) {
        let mesh = prepared.blocks();
        blocks.append(&mesh.blocks);
        json["places"] = json!(mesh.places);
        json["stretches"] = json!(mesh.stretches);
    }
    let (system, response) = (&solved.system, &solved.response);
    let direction = response.axis.direction;
    add_fields(
        &mut blocks,
        "frame",
        (&system.frame, &response.frame_u, &solved.stress.frame),
        direction,
        want,
    );
    add_fields(&mut blocks, "gate", (&system.gate, &response.gate_u, &solved.stress.gate), direction, want);
    json["blocks"] = json!(blocks.list);
    let ms = |took: Duration| (1e4 * took.as_secs_f64()).round() / 10.0;
    let written = clock.elapsed();
    json["ms"] = json!({
        "system": ms(built), "response": ms(loaded), "findings": ms(judged), "fields": ms(written),
        "total": ms(built + loaded + judged + written),
    });
    let json = serde_json::to_vec(&json).map_err(|error| Fault::Writing(error.to_string()))?;
    Ok(blocks.sealed(u16::try_from(VERSION).unwrap_or_default(), &json))
}

fn about(checked: &Checked, prepared: &Prepared, solved: &Mapped) -> Json {
    let told = told(checked, solved);
    let (system, response) = (&solved.system, &solved.response);
    let rig = response.rig;
    let metals = &solved.strengths.materials;
    let seats = &system.outline.seats;
    let pin = |name: &str, pin: geometry::outline::Circle| json!({"name": name, "centre": pin.centre, "radius_mm": pin.radius});
    json!({
        "version": VERSION,
        "ticket": 0,
        "mesh_id": prepared.mesh_id(),
        "inputs": inputs(checked),
        "findings": with_caution(&Findings::new(
            &solved.findings,
            &checked.model,
            InUse::of_map(&checked.model, solved),
        )),
        "complete": true,
        "sentence": told.sentence,
        "judged": told.judged,
        "stresses": told.stresses,
        "places": told.places,
        "notch": told.notch,
        "yields": told.yields,
        "hazards": told.hazards,
        "notes": told.notes,
        "nose": nose_inset(solved, &[], &|at| at).map(|nose| json!({
            "shown": nose.shown,
            "on": if nose.notch_on_gate { "gate" } else { "frame" },
            "forces": nose.forces.iter().map(|f| json!({ "at": f.at, "kn": f.kn, "told": f.told })).collect::<Vec<_>>(),
            "beside": is_not_the_share(solved, &nose.forces).then_some(SHARE_OF_THE_PULL),
        })),
        "rig_words": rigs::rig(&rig),
        "caution": CAUTION,
        "yield_mpa": { "frame": metals.frame.yield_mpa, "gate": metals.gate.yield_mpa },
        "used": used(&checked.model),
        "ranges": ranges(&checked.model),
        "gate_state": rig.gate.word(),
        "gate_carries": response.hold.holds(),
        "axis": { "lower": response.axis.lower, "upper": response.axis.upper, "direction": response.axis.direction },
        "upper": end(system, &system.upper, rig.upper, response.axis.upper),
        "lower": end(system, &system.lower, rig.lower, response.axis.lower),
        "seats": { "upper": seat_line(solved, &system.upper), "lower": seat_line(solved, &system.lower) },
        "pins": [pin(word(Place::NosePin), seats.nose_pin), pin(word(Place::HingePin), seats.hinge_pin)],
    })
}

/// What the page says of a state, as far as it is known.
#[derive(Debug, Serialize)]
pub struct Told {
    /// Who carries the load, or what would have given way before it.
    sentence: String,
    /// Whether it is known that nothing, or what, would have given way before the load.
    judged: bool,
    /// What the stresses tell where the load is beyond what holds.
    stresses: Option<String>,
    /// Whether the highest stresses tell at least where they are.
    places: bool,
    /// The highest stresses in the notch, apart from the list of the others.
    notch: Option<String>,
    /// What stands at the hottest place where it yields.
    yields: Option<String>,
    /// What would have given way before and is not in the sentence, and what may let go of the load.
    hazards: Vec<String>,
    /// What makes the numbers less sure.
    notes: Vec<String>,
}

/// What is said of a solved state.
#[must_use]
pub fn told(checked: &Checked, solved: &Mapped) -> Told {
    let found = &solved.findings;
    let tells = Tells::of(&found.beyond, found.load_kn);
    let places = !matches!(tells, Tells::Nothing(_));
    Told {
        sentence: sentence(found, solved.judged),
        judged: solved.judged,
        stresses: beyond(tells),
        places,
        notch: in_the_notch(found).filter(|_| places),
        yields: yields(found, &solved.strengths.materials).filter(|_| places),
        hazards: not_in_headline(found).chain(warnings::hazards(&found.warnings)).collect(),
        notes: warnings::doubts(&found.warnings).chain(notes(&checked.model)).collect(),
    }
}

fn along(seat: &Seat, low: f64, high: f64, steps: u32) -> Vec<Point> {
    (0..=steps)
        .map(|i| {
            let (edge, s) = seat.at_x(low + (high - low) * f64::from(i) / f64::from(steps));
            seat.edges.get(edge).map_or([0.0; 2], |edge| edge.point(s))
        })
        .collect()
}

fn seat_line(solved: &Mapped, seat: &Seat) -> Vec<Point> {
    let (low, high) = solved.system.seat_room(seat);
    along(seat, low, high, ALONG_SEAT)
}

/// What pulls at an end, and where.
#[must_use]
pub fn end(system: &System, seat: &Seat, loader: Loader, centre: Point) -> Json {
    let (low, high) = system.seat_room(seat);
    let room = [low, high];
    match loader {
        Loader::Strap { width_mm, offset_mm, .. } => {
            let edge = along(seat, offset_mm - 0.5 * width_mm, offset_mm + 0.5 * width_mm, UNDER_STRAP);
            json!({"kind": "strap", "offset_mm": offset_mm, "width_mm": width_mm, "room_mm": room, "centre": centre, "edge": edge})
        }
        Loader::Bar { diameter_mm, offset_mm } => json!({
            "kind": "bar", "offset_mm": offset_mm, "diameter_mm": diameter_mm, "radius_mm": 0.5 * diameter_mm,
            "room_mm": room, "centre": centre,
        }),
    }
}

/// Stress along a direction of any length.
fn stress_along([xx, yy, xy]: [f64; 3], [x, y]: Point) -> f64 {
    (xx * x * x + yy * y * y + 2.0 * xy * x * y) / (x * x + y * y)
}

/// Larger and smaller principal stress, and the angle of the larger from +x, rad.
fn principal([xx, yy, xy]: [f64; 3]) -> [f64; 3] {
    let (middle, half) = (0.5 * (xx + yy), 0.5 * (xx - yy));
    let radius = half.hypot(xy);
    [middle + radius, middle - radius, 0.5 * xy.atan2(half)]
}

fn add_fields(
    blocks: &mut Blocks,
    body: &str,
    (part, u, stress): (&Part, &[f64], &[[f64; 3]]),
    direction: Point,
    want: &Want,
) {
    let name = |block: &str| format!("{body}.{block}");
    let wants = |field: Extra| want.fields.contains(&field);
    blocks.add_f32(name("u"), 2, u.iter().copied());
    blocks.add_f32(name("von_mises"), 1, nodal_von_mises(stress).into_iter());
    if wants(Extra::Pull) {
        blocks.add_f32(name("pull"), 1, stress.iter().map(|s| stress_along(*s, direction)));
    }
    if wants(Extra::Principal) {
        blocks.add_f32(name("principal"), 3, stress.iter().flat_map(|s| principal(*s)));
    }
    if wants(Extra::Ribbon) {
        let mesh = part.body.mesh();
        let ribbon = mesh.boundary.iter().flat_map(|edge| {
            let points = edge.nodes.map(|n| mesh.points[n as usize]);
            let at = |local: f64, node: usize| {
                stress_along(stress[edge.nodes[node] as usize], tangent(&points, local))
            };
            [at(-1.0, 0), at(1.0, 1), at(0.0, 2)]
        });
        blocks.add_f32(name("ribbon"), 3, ribbon);
    }
}

/// Direction of a quadratic edge at `local` in -1..=1: the slope of its shape functions, which are quadratic, over a step.
fn tangent(points: &[Point; 3], local: f64) -> Point {
    let at = |s: f64| {
        let weights = edge_shape(s);
        [0, 1].map(|axis| (0..3).map(|i| weights[i] * points[i][axis]).sum::<f64>())
    };
    let (from, to) = (at(local - 0.5), at(local + 0.5));
    [to[0] - from[0], to[1] - from[1]]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn principal_stress_of_plain_cases() {
        let near = |a: [f64; 3], b: [f64; 3]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12);
        assert!(near(principal([10.0, 0.0, 0.0]), [10.0, 0.0, 0.0]));
        assert!(near(principal([0.0, 0.0, 5.0]), [5.0, -5.0, std::f64::consts::FRAC_PI_4]));
        assert!(near(principal([0.0, 8.0, 0.0]), [8.0, 0.0, std::f64::consts::FRAC_PI_2]));
        assert!((stress_along([0.0, 0.0, 5.0], [3.0, 3.0]) - 5.0).abs() < 1e-12);
    }

    #[test]
    fn the_tangent_of_a_bent_edge_is_exact() {
        // x = s, y = s^2: slope 2 s.
        let points = [[-1.0, 1.0], [1.0, 1.0], [0.0, 0.0]];
        for s in [-1.0, 0.0, 0.25, 1.0] {
            let [x, y] = tangent(&points, s);
            assert!((y / x - 2.0 * s).abs() < 1e-12);
        }
    }
}
