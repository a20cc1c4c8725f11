//! Whether the numbers of a connector fit each other, as far as that can be told without drawing the outline.
//!
//! Lengths along the gate side are compared along the gate side, which leans when the two ends differ in width. What
//! needs the real outline (an edge too steep for a strap, a strap over the notch, a frame that crosses itself) is left
//! to the outline. Comparisons with a number that was reported already are false, so nothing is reported twice.

use super::misfit::{Least, LoaderKind, Misfit, Most, Side};
use super::mistake::Problem;
use super::reader::Reader;
use geometry::caliper::Measure;
use geometry::connector::{Connector, LipOn, Section, SectionShape};
use solver::rig::{GateState, Loader, Rig};

/// Metal that must remain around a hole and behind a notch, mm: less cannot be drilled, and is no wall to a mesh of
/// millimetres either. Engineering judgement.
const WALL_MM: f64 = 1.0;
/// A strap stays this far from the sides of the window, mm.
const SIDE_CLEARANCE_MM: f64 = 0.5;
/// Slack for numbers that are meant to be equal (a radius of half the width), mm.
const ROUNDING_MM: f64 = 1e-9;

/// Reports what does not fit.
pub fn check(reader: &mut Reader, connector: &Connector, rig: &Rig) {
    for (table, section) in [
        ("section.spine", &connector.spine),
        ("section.upper", &connector.upper),
        ("section.lower", &connector.lower),
    ] {
        // A section that only inherits has been judged under the spine.
        let own = ["shape", "depth_mm", "breadth_mm", "flange_mm", "web_mm"];
        if own.iter().any(|key| reader.has(&format!("{table}.{key}"))) {
            check_section(reader, table, section);
        }
    }
    let corners = Corners::of(connector);
    check_corners(reader, connector, &corners);
    check_nose(reader, connector, &corners);
    check_hinge_and_gate(reader, connector, &corners);
    check_rig(reader, connector, rig);
}

/// Reports numbers that do not fit.
fn report(reader: &mut Reader, key: &str, misfit: Misfit) {
    reader.mistake(key, Problem::DoesNotFit(misfit), None);
}

/// Reports unless `value <= limit` (or either is not a number).
fn at_most(reader: &mut Reader, key: &str, value: f64, limit: f64, reason: Most) {
    if value > limit + ROUNDING_MM {
        report(reader, key, Misfit::OverMost { found_mm: value, most_mm: limit, reason });
    }
}

/// Reports unless `value >= limit` (or either is not a number).
fn at_least(reader: &mut Reader, key: &str, value: f64, limit: f64, reason: Least) {
    if value < limit - ROUNDING_MM {
        report(reader, key, Misfit::UnderLeast { found_mm: value, least_mm: limit, reason });
    }
}

fn check_section(reader: &mut Reader, table: &str, section: &Section) {
    let Section { shape, depth_mm, breadth_mm } = *section;
    match shape {
        SectionShape::Round | SectionShape::Rectangle => {}
        SectionShape::Oval => {
            at_most(reader, &format!("{table}.breadth_mm"), breadth_mm, depth_mm, Most::OvalDepth);
        }
        SectionShape::I { flange_mm, web_mm } => {
            let key = format!("{table}.flange_mm");
            at_most(reader, &key, flange_mm, 0.5 * depth_mm - 0.25, Most::WebBetweenFlanges);
            at_most(reader, &format!("{table}.web_mm"), web_mm, breadth_mm, Most::BarBreadth);
        }
    }
}

/// The window before rounding: its corners, and what the rounding takes from its sides. Order of the corners: upper
/// spine, upper gate, lower gate, lower spine; side `i` runs from corner `i` to the next.
struct Corners {
    /// Length of each side, mm.
    side: [f64; 4],
    /// Length that the arc takes from both sides at each corner, mm.
    tangent: [f64; 4],
}

const SIDES: [Side; 4] = [Side::UpperEnd, Side::Gate, Side::LowerEnd, Side::Spine];

impl Corners {
    fn of(connector: &Connector) -> Self {
        let window = &connector.window;
        let half = 0.5 * window.inside_length_mm;
        let spine = spine_side(connector);
        let upper = |x: f64| half + window.upper_slope_deg.to_radians().tan() * x;
        let lower = |x: f64| -half + window.lower_slope_deg.to_radians().tan() * x;
        let (right_up, right_down) = (spine + window.upper_width_mm, spine + window.lower_width_mm);
        let points = [
            [spine, upper(spine)],
            [right_up, upper(right_up)],
            [right_down, lower(right_down)],
            [spine, lower(spine)],
        ];
        let between = |from: usize, to: usize| {
            let ([x, y], [u, v]) = (points[from % 4], points[to % 4]);
            [u - x, v - y]
        };
        let length = |[x, y]: [f64; 2]| x.hypot(y);
        let side = [0, 1, 2, 3].map(|at| length(between(at, at + 1)));
        let tangent = [0, 1, 2, 3].map(|at| {
            let (back, ahead) = (between(at, at + 3), between(at, at + 1));
            let cosine = (back[0] * ahead[0] + back[1] * ahead[1]) / (length(back) * length(ahead));
            // tan(angle / 2), from the half-angle formula; the arc touches at radius / tan(angle / 2).
            let half_tangent = ((1.0 - cosine) / (1.0 + cosine)).sqrt();
            window.corner_radius_mm[at] / half_tangent
        });
        Self { side, tangent }
    }
}

/// Where the spine side of the window stands, mm.
fn spine_side(connector: &Connector) -> f64 {
    -0.25 * (connector.window.upper_width_mm + connector.window.lower_width_mm)
}

fn check_corners(reader: &mut Reader, connector: &Connector, corners: &Corners) {
    let radius = connector.window.corner_radius_mm;
    for at in 0..4 {
        let next = (at + 1) % 4;
        let needed = corners.tangent[at] + corners.tangent[next];
        if needed > corners.side[at] + ROUNDING_MM {
            let misfit = Misfit::Radii {
                radii_mm: [radius[at], radius[next]],
                take_mm: needed,
                side: SIDES[at],
                length_mm: corners.side[at],
            };
            report(reader, "window.corner_radius_mm", misfit);
        }
    }
    // Sloping ends may meet before they reach the gate: then there is no window at all.
    let window = &connector.window;
    let rise = window.upper_slope_deg.to_radians().tan() - window.lower_slope_deg.to_radians().tan();
    let spine = spine_side(connector);
    let widest = if window.upper_width_mm > window.lower_width_mm {
        window.upper_width_mm
    } else {
        window.lower_width_mm
    };
    let least = [spine, spine + widest].map(|x| window.inside_length_mm + rise * x);
    for height in least {
        if height <= 0.0 {
            report(reader, "window.upper_slope_deg", Misfit::EndsMeet { left_mm: height });
            break;
        }
    }
}

fn check_nose(reader: &mut Reader, connector: &Connector, corners: &Corners) {
    let nose = &connector.nose;
    let notch_mm = 2.0 * nose.notch_radius_mm();
    let (key, beyond) = tip_key(reader, connector);
    let tip = nose.tip_mm + beyond;
    at_least(reader, key, tip, corners.tangent[1] + beyond, Least::TipPastCorner);
    at_least(reader, key, tip, nose.lip_height_mm + notch_mm + beyond, Least::LipAndNotch);
    let wide = match nose.lip_on {
        LipOn::Frame => connector.upper.depth_mm,
        LipOn::Gate => connector.gate.width_mm,
    };
    let behind = Most::BehindNotch { wall_mm: WALL_MM, lip_on: nose.lip_on };
    at_most(reader, "nose.notch_depth_mm", nose.notch_depth_mm, wide - WALL_MM, behind);
    check_gate_around(reader, connector, "nose.pin_diameter_mm", nose.pin_diameter_mm);
}

/// The key that tells where the nose ends, and by how much more than the tip it reads, mm.
fn tip_key(reader: &Reader, connector: &Connector) -> (&'static str, f64) {
    let reading = "nose.tip_over_bar_mm";
    if reader.has(reading)
        && let Ok(reads) = Measure::TipOverBar.read(connector)
    {
        return (reading, reads - connector.nose.tip_mm);
    }
    ("nose.tip_mm", 0.0)
}

/// The gate keeps metal around a pin.
fn check_gate_around(reader: &mut Reader, connector: &Connector, key: &str, diameter_mm: f64) {
    let limit = connector.gate.width_mm - 2.0 * WALL_MM;
    at_most(reader, key, diameter_mm, limit, Most::AroundPin { wall_mm: WALL_MM });
}

fn check_hinge_and_gate(reader: &mut Reader, connector: &Connector, corners: &Corners) {
    let (hinge, gate, nose) = (&connector.hinge, &connector.gate, &connector.nose);
    // A height that follows from a caliper's reading is on the straight part already.
    at_least(reader, "hinge.height_mm", hinge.height_mm, corners.tangent[2], Least::PinOnStraight);
    let hole = 0.5 * hinge.pin_diameter_mm + hinge.pin_clearance_mm;
    check_gate_around(reader, connector, "hinge.pin_diameter_mm", hinge.pin_diameter_mm);
    // The leg and its round end both hold the hole; the thinner of the two decides.
    let leg = 0.5 * connector.lower.depth_mm;
    let (key, holder) = if hinge.lug_radius_mm < leg {
        ("hinge.lug_radius_mm", hinge.lug_radius_mm)
    } else {
        ("hinge.pin_diameter_mm", leg)
    };
    if holder - hole < WALL_MM - ROUNDING_MM {
        let misfit = Misfit::HingeWall {
            found_mm: holder - hole,
            least_mm: WALL_MM,
            hole_radius_mm: hole,
            lug_radius_mm: hinge.lug_radius_mm,
            half_leg_mm: leg,
        };
        report(reader, key, misfit);
    }
    at_most(reader, "gate.cheek_mm", gate.cheek_mm, 0.5 * gate.breadth_mm, Most::HalfGateBreadth);
    let gap = corners.side[1] - nose.tip_mm - hinge.height_mm - hinge.lug_radius_mm;
    if gap <= 0.0 {
        let (key, _) = tip_key(reader, connector);
        report(reader, key, Misfit::NoGate { between_mm: gap, side_mm: corners.side[1] });
    }
}

fn check_rig(reader: &mut Reader, connector: &Connector, rig: &Rig) {
    if let GateState::Half { engaged_mm } = rig.gate {
        let limit = connector.nose.notch_depth_mm;
        at_most(reader, "rig.engaged_mm", engaged_mm, limit, Most::NotchDepth);
    }
    let spine = spine_side(connector);
    let ends = [
        ("rig.upper", rig.upper, connector.window.upper_width_mm),
        ("rig.lower", rig.lower, connector.window.lower_width_mm),
    ];
    for (table, loader, inside_mm) in ends {
        let kind = LoaderKind::of(&loader);
        let (Loader::Strap { width_mm: size_mm, .. } | Loader::Bar { diameter_mm: size_mm, .. }) = loader;
        let room_mm @ [from, to] = [spine + SIDE_CLEARANCE_MM, spine + inside_mm - SIDE_CLEARANCE_MM];
        let lies_mm @ [low, high] = [loader.offset_mm() - 0.5 * size_mm, loader.offset_mm() + 0.5 * size_mm];
        if size_mm > to - from + ROUNDING_MM {
            let key = format!("{table}.{}", kind.size_key());
            report(reader, &key, Misfit::LoaderTooWide { kind, size_mm, room_mm });
        } else if low < from - ROUNDING_MM || high > to + ROUNDING_MM {
            let misfit = Misfit::LoaderOutside { kind, size_mm, lies_mm, room_mm };
            report(reader, &format!("{table}.offset_mm"), misfit);
        }
    }
}
