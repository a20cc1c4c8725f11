//! Whether the numbers of a connector fit each other, as far as that can be told without drawing the outline.
//!
//! Lengths along the gate side are compared along the gate side, which leans when the two ends differ in width. What
//! needs the real outline (an edge too steep for a strap, a strap over the notch, a frame that crosses itself) is left
//! to the outline. Comparisons with a number that was reported already are false, so nothing is reported twice.

use super::mistake::Problem;
use super::reader::Reader;
use geometry::connector::{Connector, LipOn, Section, SectionShape};
use report::numbers::plain;
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

/// Reports unless `value <= limit` (or either is not a number).
fn at_most(reader: &mut Reader, key: &str, value: f64, limit: f64, what: &str, hint: Option<&str>) {
    if value > limit + ROUNDING_MM {
        let found = format!("{} mm", plain(value));
        let allowed = format!("at most {} mm, {what}", plain(limit));
        reader.mistake(key, Problem::DoesNotFit { found, allowed }, hint.map(str::to_owned));
    }
}

/// Reports unless `value >= limit` (or either is not a number).
fn at_least(reader: &mut Reader, key: &str, value: f64, limit: f64, what: &str, hint: Option<&str>) {
    if value < limit - ROUNDING_MM {
        let found = format!("{} mm", plain(value));
        let allowed = format!("at least {} mm, {what}", plain(limit));
        reader.mistake(key, Problem::DoesNotFit { found, allowed }, hint.map(str::to_owned));
    }
}

fn check_section(reader: &mut Reader, table: &str, section: &Section) {
    let Section { shape, depth_mm, breadth_mm } = *section;
    match shape {
        SectionShape::Round | SectionShape::Rectangle => {}
        SectionShape::Oval => at_most(
            reader,
            &format!("{table}.breadth_mm"),
            breadth_mm,
            depth_mm,
            "the depth of the bar: an oval has flat sides and round inner and outer edges",
            Some("a bar that is broader than deep is nearest to shape = \"rectangle\""),
        ),
        SectionShape::I { flange_mm, web_mm } => {
            let key = format!("{table}.flange_mm");
            let limit = 0.5 * depth_mm - 0.25;
            at_most(reader, &key, flange_mm, limit, "so that some web is left between the flanges", None);
            let key = format!("{table}.web_mm");
            at_most(reader, &key, web_mm, breadth_mm, "the breadth of the bar", None);
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

const SIDES: [&str; 4] = ["upper end", "gate side", "lower end", "spine side"];

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
            let found = format!(
                "radii {} and {} mm, which take {} mm of the {}",
                plain(radius[at]),
                plain(radius[next]),
                plain(needed),
                SIDES[at]
            );
            let allowed = format!("at most its length, {} mm", plain(corners.side[at]));
            reader.mistake("window.corner_radius_mm", Problem::DoesNotFit { found, allowed }, None);
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
            let found = format!("slopes that leave {} mm of the window's length", plain(height));
            let allowed = "ends that do not meet".to_owned();
            reader.mistake("window.upper_slope_deg", Problem::DoesNotFit { found, allowed }, None);
            break;
        }
    }
}

fn check_nose(reader: &mut Reader, connector: &Connector, corners: &Corners) {
    let nose = &connector.nose;
    let notch_mm = 2.0 * nose.notch_radius_mm();
    at_least(
        reader,
        "nose.tip_mm",
        nose.tip_mm,
        corners.tangent[1],
        "so that the tip is past the upper gate corner's arc",
        Some("tip_mm runs from the sharp corner, as if the upper inner edge went on straight"),
    );
    at_least(
        reader,
        "nose.tip_mm",
        nose.tip_mm,
        nose.lip_height_mm + notch_mm,
        "room for the lip and for the notch (pin and twice its clearance)",
        None,
    );
    let (holder, wide) = match nose.lip_on {
        LipOn::Frame => ("deep enough a leg: section.upper.depth_mm", connector.upper.depth_mm),
        LipOn::Gate => ("wide enough a gate: gate.width_mm", connector.gate.width_mm),
    };
    at_most(
        reader,
        "nose.notch_depth_mm",
        nose.notch_depth_mm,
        wide - WALL_MM,
        &format!("so that {} mm stay behind the notch ({holder})", plain(WALL_MM)),
        None,
    );
    at_most(
        reader,
        "nose.pin_diameter_mm",
        nose.pin_diameter_mm,
        connector.gate.width_mm - 2.0 * WALL_MM,
        &format!("so that the gate keeps {} mm around its pin (gate.width_mm)", plain(WALL_MM)),
        None,
    );
}

fn check_hinge_and_gate(reader: &mut Reader, connector: &Connector, corners: &Corners) {
    let (hinge, gate, nose) = (&connector.hinge, &connector.gate, &connector.nose);
    at_least(
        reader,
        "hinge.height_mm",
        hinge.height_mm,
        corners.tangent[2],
        "so that the pin is on the straight part of the leg",
        Some("height_mm runs from the sharp corner, as if the lower inner edge went on straight"),
    );
    let hole = 0.5 * hinge.pin_diameter_mm + hinge.pin_clearance_mm;
    at_most(
        reader,
        "hinge.pin_diameter_mm",
        hinge.pin_diameter_mm,
        gate.width_mm - 2.0 * WALL_MM,
        &format!("so that the gate keeps {} mm around its pin (gate.width_mm)", plain(WALL_MM)),
        None,
    );
    // The leg and its round end both hold the hole; the thinner of the two decides.
    let leg = 0.5 * connector.lower.depth_mm;
    let (key, holder) = if hinge.lug_radius_mm < leg {
        ("hinge.lug_radius_mm", hinge.lug_radius_mm)
    } else {
        ("hinge.pin_diameter_mm", leg)
    };
    if holder - hole < WALL_MM - ROUNDING_MM {
        let found = format!("{} mm of metal beside the hinge hole", plain(holder - hole));
        let allowed = format!("at least {} mm", plain(WALL_MM));
        let hint = format!(
            "the hole has a radius of {} mm; the lug {} mm, half the leg {} mm",
            plain(hole),
            plain(hinge.lug_radius_mm),
            plain(leg)
        );
        reader.mistake(key, Problem::DoesNotFit { found, allowed }, Some(hint));
    }
    at_most(
        reader,
        "gate.cheek_mm",
        gate.cheek_mm,
        0.5 * gate.breadth_mm,
        "half the breadth of the gate",
        None,
    );
    let gap = corners.side[1] - nose.tip_mm - hinge.height_mm - hinge.lug_radius_mm;
    if gap <= 0.0 {
        let found = format!("{} mm between the nose and the lug of the hinge", plain(gap));
        let allowed = "more than 0 mm".to_owned();
        let hint = format!("the gate side is {} mm long", plain(corners.side[1]));
        reader.mistake("nose.tip_mm", Problem::DoesNotFit { found, allowed }, Some(hint));
    }
}

fn check_rig(reader: &mut Reader, connector: &Connector, rig: &Rig) {
    if let GateState::Half { engaged_mm } = rig.gate {
        let limit = connector.nose.notch_depth_mm;
        at_most(reader, "rig.engaged_mm", engaged_mm, limit, "the depth of the notch", None);
    }
    let spine = spine_side(connector);
    let ends = [
        ("rig.upper", rig.upper, connector.window.upper_width_mm),
        ("rig.lower", rig.lower, connector.window.lower_width_mm),
    ];
    for (table, loader, inside_mm) in ends {
        let (what, size_key, size_mm) = match loader {
            Loader::Strap { width_mm, .. } => ("a strap", "width_mm", width_mm),
            Loader::Bar { diameter_mm, .. } => ("a bench bar", "diameter_mm", diameter_mm),
        };
        let (from, to) = (spine + SIDE_CLEARANCE_MM, spine + inside_mm - SIDE_CLEARANCE_MM);
        let (low, high) = (loader.offset_mm() - 0.5 * size_mm, loader.offset_mm() + 0.5 * size_mm);
        let seat = format!("{} to {} mm across the window here", plain(from), plain(to));
        if size_mm > to - from + ROUNDING_MM {
            let found = format!("{what} of {} mm", plain(size_mm));
            let allowed = format!("at most {} mm ({seat})", plain(to - from));
            reader.mistake(&format!("{table}.{size_key}"), Problem::DoesNotFit { found, allowed }, None);
        } else if low < from - ROUNDING_MM || high > to + ROUNDING_MM {
            let found = format!("{what} from {} to {} mm", plain(low), plain(high));
            let half = 0.5 * size_mm;
            let hint = format!(
                "its {size_key} of {} leaves offsets of at most {} to {} mm, and less where corner or notch ask for it",
                plain(size_mm),
                plain(from + half),
                plain(to - half)
            );
            reader.mistake(
                &format!("{table}.offset_mm"),
                Problem::DoesNotFit { found, allowed: seat },
                Some(hint),
            );
        }
    }
}
