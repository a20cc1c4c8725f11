//! What the enlarged nose of a map shows: where the pin presses on its notch, and what lip and pin hold.

use geometry::connector::LipOn;
use geometry::curve::Point;
use report::numbers::kilonewtons;
use report::pictures::map as words;
use solver::response::Source;
use solver::strength::Capacity;
use solver::system::Joint;
use study::map::Mapped;
use viz::{ContactForce, NoseInset};

/// Places of the pin's edge that lie farther apart than this, seen from its centre, press apart, radians.
const APART: f64 = 0.6;
/// A force below this is told as none: it prints as 0.0 kN, N.
const NO_FORCE_N: f64 = 5.0;
/// Space around notch and pin, in radii of the pin.
const AROUND: f64 = 0.8;

/// The nose of a solved connector; absent where the gate is open or its pin is not held. `parts`: what the gate line holds.
/// `moved`: where a point of the body that has the notch is drawn.
pub(crate) fn nose_inset(
    solved: &Mapped,
    parts: &[Capacity],
    moved: &dyn Fn(Point) -> Point,
) -> Option<NoseInset> {
    let (system, response) = (&solved.system, &solved.response);
    if !response.hold.holds() {
        return None;
    }
    let notch_on_gate = system.outline.lip_on == LipOn::Gate;
    let (pin, notch) = (system.outline.seats.nose_pin, system.outline.seats.notch);
    let centre = moved(pin.centre);
    let round = AROUND * pin.radius;
    // The pin, the notch's closed end, and the lip below the mouth.
    let mouth = [0, 1].map(|k| notch.end.centre[k] + notch.inside_mouth_mm * notch.to_mouth[k]);
    let lip = [0, 1]
        .map(|k| mouth[k] - (notch.end.radius + system.connector.nose.lip_height_mm) * notch.from_lip[k]);
    let places = [
        (centre, pin.radius + round),
        (moved(notch.end.centre), notch.end.radius + round),
        (moved(lip), 0.5 * pin.radius),
    ];
    let low = [0, 1].map(|k| places.iter().map(|(p, r)| p[k] - r).fold(f64::INFINITY, f64::min));
    let high = [0, 1].map(|k| places.iter().map(|(p, r)| p[k] + r).fold(f64::NEG_INFINITY, f64::max));
    let forces = forces(solved, notch_on_gate, pin.centre, moved);
    let holds = words::holds(parts);
    Some(NoseInset {
        shown: [low, high],
        notch_on_gate,
        aside: is_not_the_share(solved, &forces).then_some(words::SHARE_OF_THE_PULL_SHORT),
        holds,
        forces,
        lines_carry: report::pictures::map::enlarged_lines,
    })
}

/// Whether forces of the pin are told by other numbers than the gate's share of the pull.
pub(crate) fn is_not_the_share(solved: &Mapped, forces: &[ContactForce]) -> bool {
    let share = kilonewtons(solved.findings.share.gate_kn);
    forces.len() > 1 || forces.iter().any(|force| force.told != share)
}

/// The forces of the pin on the notch, one for each stretch on which it presses.
fn forces(
    solved: &Mapped,
    notch_on_gate: bool,
    pin: Point,
    moved: &dyn Fn(Point) -> Point,
) -> Vec<ContactForce> {
    let system = &solved.system;
    // Angle about the pin, place, force on the notch in N.
    let mut pressed: Vec<(f64, Point, Point)> = solved
        .response
        .applied
        .iter()
        .filter_map(|applied| match applied.source {
            Source::Row(row) | Source::Stick(row) if system.rows[row].joint == Joint::Nose => {
                let at = system.rows[row].at;
                let force = if notch_on_gate { applied.on_gate } else { applied.on_frame };
                Some(((at[1] - pin[1]).atan2(at[0] - pin[0]), at, force))
            }
            _ => None,
        })
        .collect();
    pressed.sort_by(|a, b| a.0.total_cmp(&b.0));
    // A stretch may lie across the angle at which turns are counted: begin behind the widest gap.
    let turn = std::f64::consts::TAU;
    let count = pressed.len();
    let gap = |i: usize| (pressed[i].0 - pressed[(i + count - 1) % count].0).rem_euclid(turn);
    let first = (0..count).fold(0, |best, i| if gap(i) > gap(best) { i } else { best });
    let mut stretches: Vec<Vec<(Point, Point)>> = Vec::new();
    for step in 0..count {
        let i = (first + step) % count;
        if step == 0 || gap(i) > APART {
            stretches.push(Vec::new());
        }
        if let Some(stretch) = stretches.last_mut() {
            stretch.push((pressed[i].1, pressed[i].2));
        }
    }
    stretches
        .iter()
        .filter_map(|stretch| {
            let sizes = || stretch.iter().map(|(_, f)| f[0].hypot(f[1]));
            let whole: f64 = sizes().sum();
            let middle = [0, 1]
                .map(|k| stretch.iter().zip(sizes()).map(|((at, _), s)| s * at[k]).sum::<f64>() / whole);
            let kn = [0, 1].map(|k| 1e-3 * stretch.iter().map(|(_, f)| f[k]).sum::<f64>());
            (whole > NO_FORCE_N).then(|| ContactForce {
                at: moved(middle),
                kn,
                told: kilonewtons(kn[0].hypot(kn[1])),
            })
        })
        .collect()
}
