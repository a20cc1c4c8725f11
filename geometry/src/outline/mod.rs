//! From parameters to outline: frame and gate as regions of named curves, with pins, notch and the cuts to report on.

mod breadth;
mod corner;
mod error;
mod gate;
mod location;
mod notch;
mod stations;
mod strip;
mod window_path;

#[cfg(test)]
mod tests;

pub use breadth::{DEFAULT_FLOOR, FrameBreadth};
pub use corner::Corner;
pub use error::{OutlineError, WindowSide};
pub use location::{Across, Along, Bar, FrameLocation, GateLocation, Location};
pub use notch::{Circle, LegFrame, Notch, Seats};
pub use stations::Station;
pub use strip::{BLEND_OF_DEPTH, Mix, NO_LENGTH_MM, Place, Strip, smooth_step};
pub(crate) use window_path::loose_path;
pub use window_path::{PathPart, PathSegment, inner_path, window_corners};

use crate::connector::{Connector, GatePlace, LipOn, Nose};
use crate::curve::{Curve, Point};
use crate::region::{Piece, Region, Stretch};
use notch::circle;
pub(crate) use notch::{add, between, dot};

/// The drawn connector: what is meshed, loaded and shown.
#[derive(Clone, Debug)]
pub struct Outline {
    /// The frame.
    pub frame: Region,
    /// The gate.
    pub gate: Region,
    /// The frame as a strip along the window.
    pub strip: Strip,
    /// Pins and notch.
    pub seats: Seats,
    /// Cuts through the frame: spine mid, upper mid, lower mid, nose root, hinge root.
    pub frame_stations: [Station; 5],
    /// The cut through the gate.
    pub gate_station: Station,
    /// Which part carries the lip.
    pub lip_on: LipOn,
}

/// Least metal behind notch and hole, mm (a guard against nonsense, not a strength rule).
const LEAST_WALL_MM: f64 = 1.0;
/// Least length that is free between nose and lug, mm.
pub(crate) const LEAST_OPENING_MM: f64 = 2.0;

impl Outline {
    /// Draws a connector with its gate in place.
    ///
    /// ```
    /// use geometry::connector::{Connector, GatePlace};
    /// use geometry::outline::Outline;
    ///
    /// let mut connector = Connector::example();
    /// let outline = Outline::try_new(&connector, GatePlace::Shut).unwrap();
    /// assert_eq!(outline.frame_stations.len(), 5);
    /// // A corner radius larger than half of the window's width leaves nothing of it.
    /// connector.window.corner_radius_mm = [40.0; 4];
    /// assert!(Outline::try_new(&connector, GatePlace::Shut).is_err());
    /// ```
    ///
    /// # Errors
    /// All reasons found why the parameters give no outline.
    pub fn try_new(connector: &Connector, place: GatePlace) -> Result<Self, Vec<OutlineError>> {
        check_parameters(connector, place)?;
        let path = inner_path(&connector.window, connector.hinge.height_mm, connector.nose.tip_mm)?;
        let nose = &connector.nose;
        let strip = Strip::new(connector, path.to_vec(), nose_block_mm(nose));
        let seats = Seats::new(connector, place);
        let (gate, gate_station) = gate::gate_region(connector, &seats)?;
        let (frame, frame_stations) = frame_region(&strip, &seats, nose.lip_on)?;
        Ok(Self { frame, gate, strip, seats, frame_stations, gate_station, lip_on: nose.lip_on })
    }

    /// The breadth field of the frame with the given part of the breadth kept where the chord vanishes.
    #[must_use]
    pub fn frame_breadth(&self, connector: &Connector, floor: f64) -> FrameBreadth {
        FrameBreadth::new(
            self.strip.clone(),
            connector.hinge.lug_breadth_mm,
            connector.nose.breadth_mm,
            floor,
        )
    }
}

/// What is free along the gate side between the nose and the lug of the hinge, mm.
pub(crate) fn opening_mm(connector: &Connector) -> f64 {
    let leg = LegFrame::new(connector);
    let gate_side = dot(between(leg.upper_corner, leg.lower_corner), leg.down);
    gate_side - connector.nose.tip_mm - connector.hinge.height_mm - connector.hinge.lug_radius_mm
}

/// Length of the machined nose along the centre line from the tip, mm: it ends a pin radius behind the notch.
pub(crate) fn nose_block_mm(nose: &Nose) -> f64 {
    match nose.lip_on {
        LipOn::Frame => nose.lip_height_mm + 2.0 * nose.notch_radius_mm() + 0.5 * nose.pin_diameter_mm,
        LipOn::Gate => 2.0 * nose.pin_diameter_mm,
    }
}

fn check_parameters(connector: &Connector, place: GatePlace) -> Result<(), Vec<OutlineError>> {
    let (nose, hinge) = (&connector.nose, &connector.hinge);
    let mut errors = Vec::new();
    let hole = hinge.pin_diameter_mm + 2.0 * hinge.pin_clearance_mm;
    if hinge.lug_radius_mm < 0.5 * hole + LEAST_WALL_MM {
        errors.push(OutlineError::LugTooSmall { hole_mm: hole, lug_mm: hinge.lug_radius_mm });
    }
    let most = 0.5 * (connector.lower.depth_mm + connector.window.corner_radius_mm[2]);
    if hinge.lug_radius_mm > most {
        errors.push(OutlineError::LugTooLarge { lug_mm: hinge.lug_radius_mm, most_mm: most });
    }
    let nose_leg = connector.upper.depth_mm;
    if nose.notch_depth_mm <= nose.notch_radius_mm() + 0.2 {
        errors.push(OutlineError::NotchTooShallow {
            depth_mm: nose.notch_depth_mm,
            least_mm: nose.notch_radius_mm() + 0.2,
        });
    }
    match nose.lip_on {
        LipOn::Frame => {
            if nose.notch_depth_mm > nose_leg - LEAST_WALL_MM {
                errors.push(OutlineError::NotchTooDeep {
                    depth_mm: nose.notch_depth_mm,
                    nose_mm: nose_leg,
                    wall_mm: LEAST_WALL_MM,
                });
            }
        }
        LipOn::Gate => {
            if nose.pin_diameter_mm > nose_leg - LEAST_WALL_MM {
                errors.push(OutlineError::HeadWiderThanNose {
                    diameter_mm: nose.pin_diameter_mm,
                    nose_mm: nose_leg,
                });
            }
        }
    }
    if let GatePlace::Half { engaged_mm } = place {
        let most = nose.notch_depth_mm - nose.pin_clearance_mm;
        if !(0.3..=most).contains(&engaged_mm) {
            errors.push(OutlineError::Engagement { engaged_mm, least_mm: 0.3, most_mm: most });
        }
    }
    let opening = opening_mm(connector);
    if opening < LEAST_OPENING_MM {
        errors.push(OutlineError::NoOpening { opening_mm: opening, least_mm: LEAST_OPENING_MM });
    }
    if errors.is_empty() { Ok(()) } else { Err(errors) }
}

/// A cut of the strip's path: segment and parameter.
type AlongPath = (usize, f64);

/// Finds where `f` changes sign along an edge of the strip, running backwards from the end of segment `last` to the start
/// of segment `first`.
fn crossing(first: usize, last: usize, f: &dyn Fn(AlongPath) -> f64) -> Option<AlongPath> {
    const SAMPLES: u32 = 64;
    for segment in (first..=last).rev() {
        for i in (0..SAMPLES).rev() {
            let (low, high) = (f64::from(i) / f64::from(SAMPLES), f64::from(i + 1) / f64::from(SAMPLES));
            let (at_low, at_high) = (f((segment, low)), f((segment, high)));
            if at_high == 0.0 {
                return Some((segment, high));
            }
            if (at_low < 0.0) != (at_high < 0.0) {
                let (mut a, mut b) = (low, high);
                for _ in 0..60 {
                    let middle = 0.5 * (a + b);
                    if (f((segment, middle)) < 0.0) == (at_low < 0.0) { a = middle } else { b = middle }
                }
                let t = 0.5 * (a + b);
                // Cuts at the joints of the path are the joints.
                let t = if t < 1e-7 {
                    0.0
                } else if t > 1.0 - 1e-7 {
                    1.0
                } else {
                    t
                };
                return Some((segment, t));
            }
        }
    }
    None
}

/// Runs along one edge of the strip from `from` to `to`, cut at `cuts`, one piece per stretch.
fn edge_pieces(
    strip: &Strip,
    outer: bool,
    from: AlongPath,
    to: AlongPath,
    cuts: &[AlongPath],
    name: &dyn Fn(PathPart) -> Stretch,
) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for segment in from.0..=to.0 {
        let start = if segment == from.0 { from.1 } else { 0.0 };
        let end = if segment == to.0 { to.1 } else { 1.0 };
        let mut marks = vec![start];
        marks.extend(cuts.iter().filter(|c| c.0 == segment && c.1 > start && c.1 < end).map(|c| c.1));
        marks.push(end);
        marks.sort_by(f64::total_cmp);
        for pair in marks.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let part = strip.path[segment].part;
            let length = strip.path[segment].curve.length() * (b - a);
            if length < NO_LENGTH_MM {
                continue;
            }
            pieces.push(Piece { curve: edge_curve(strip, outer, segment, a, b), stretch: name(part) });
        }
    }
    pieces
}

/// The edge of the strip between two parameters of a segment: a true line or arc where it is one.
pub(crate) fn edge_curve(strip: &Strip, outer: bool, segment: usize, a: f64, b: f64) -> Curve {
    let offset = |t: f64| {
        let (inner, outside) = strip.edges(segment, t);
        if outer { outside } else { inner }
    };
    let point = |t: f64| if outer { strip.outer(segment, t) } else { strip.inner(segment, t) };
    let first = offset(a);
    let even = (1..=8).all(|i| (offset(a + (b - a) * f64::from(i) / 8.0) - first).abs() < 1e-12);
    match &strip.path[segment].curve {
        Curve::Line { .. } if even => Curve::Line { from: point(a), to: point(b) },
        Curve::Arc { centre, radius, from, to } if even => Curve::Arc {
            centre: *centre,
            radius: radius + first,
            from: from + a * (to - from),
            to: from + b * (to - from),
        },
        _ => {
            let strip = strip.clone();
            Curve::Path(std::sync::Arc::new(move |t| {
                let t = a + t * (b - a);
                if outer { strip.outer(segment, t) } else { strip.inner(segment, t) }
            }))
        }
    }
}

fn reversed(mut pieces: Vec<Piece>) -> Vec<Piece> {
    pieces.reverse();
    for piece in &mut pieces {
        piece.curve = piece.curve.part(1.0, 0.0);
    }
    pieces
}

/// Segment numbers of the inner path.
pub(crate) const LOWER: (usize, usize) = (1, 3);
const SPINE: usize = 4;
pub(crate) const UPPER: (usize, usize) = (5, 7);
const NOSE_LEG: usize = 8;

fn frame_region(
    strip: &Strip,
    seats: &Seats,
    lip_on: LipOn,
) -> Result<(Region, [Station; 5]), Vec<OutlineError>> {
    let middle = |at: AlongPath| {
        let (inner, outer) = (strip.inner(at.0, at.1), strip.outer(at.0, at.1));
        [0.5 * (inner[0] + outer[0]), 0.5 * (inner[1] + outer[1])]
    };
    let missing = || vec![OutlineError::NotchMissesTheEdge];
    let spine_mid = crossing(SPINE, SPINE, &|at| strip.inner(at.0, at.1)[1]).unwrap_or((SPINE, 0.5));
    let upper_mid = crossing(UPPER.0, UPPER.1, &|at| strip.inner(at.0, at.1)[0]).ok_or_else(missing)?;
    let lower_mid = crossing(LOWER.0, LOWER.1, &|at| strip.inner(at.0, at.1)[0]).ok_or_else(missing)?;
    let block_end = |target: f64| {
        crossing(0, NOSE_LEG, &|at| strip.centre_length(at.0, at.1) - target).ok_or_else(missing)
    };
    let hinge_root = block_end(seats.hinge_lug_block(strip))?;
    let station = |at: AlongPath, stretch: Stretch| {
        let (_, normal) = strip.edge_frame(at.0, at.1);
        Station {
            stretch,
            inner: strip.inner(at.0, at.1),
            outer: strip.outer(at.0, at.1),
            centroid: middle(at),
            along: [normal[1], -normal[0]],
        }
    };

    let inner_name = |part: PathPart| match part {
        PathPart::HingeLeg => Stretch::LugInner,
        PathPart::LowerGateCorner | PathPart::LowerBar | PathPart::LowerSpineCorner => Stretch::LowerInner,
        PathPart::Spine => Stretch::SpineInner,
        PathPart::UpperSpineCorner | PathPart::UpperBar | PathPart::UpperGateCorner => Stretch::UpperInner,
        PathPart::NoseLeg => Stretch::NoseInner,
    };
    let outer_name = |part: PathPart| match part {
        PathPart::HingeLeg => Stretch::LugOuter,
        PathPart::LowerGateCorner | PathPart::LowerBar | PathPart::LowerSpineCorner => Stretch::LowerOuter,
        PathPart::Spine => Stretch::SpineOuter,
        PathPart::UpperSpineCorner | PathPart::UpperBar | PathPart::UpperGateCorner => Stretch::UpperOuter,
        PathPart::NoseLeg => Stretch::NoseOuter,
    };

    let mut cuts = vec![spine_mid, upper_mid, lower_mid, hinge_root];
    let start = (0, 0.0);
    let tip = (NOSE_LEG, 1.0);
    let mut lines = Vec::new();
    let nose_root_station;
    let mut outside;
    let mut outer_cuts = cuts.clone();
    match lip_on {
        LipOn::Frame => {
            let notch = &seats.notch;
            let flank = |side: f64| {
                crossing(UPPER.0, NOSE_LEG, &|at: AlongPath| {
                    let p = strip.inner(at.0, at.1);
                    dot(between(notch.end.centre, p), notch.from_lip) - side * notch.end.radius
                })
            };
            let (lip_mouth, back_mouth) = (flank(-1.0).ok_or_else(missing)?, flank(1.0).ok_or_else(missing)?);
            let point = |at: AlongPath| strip.inner(at.0, at.1);
            let outwards = |at: AlongPath, root: Point| dot(between(root, point(at)), notch.to_mouth);
            if lip_mouth <= back_mouth
                || outwards(lip_mouth, notch.lip_root()) < 0.05
                || outwards(back_mouth, notch.back_root()) < 0.05
                || lip_mouth >= tip
            {
                return Err(missing());
            }
            outside = edge_pieces(strip, false, start, back_mouth, &cuts, &inner_name);
            outside.extend(notch.pieces(point(back_mouth), point(lip_mouth)));
            outside.extend(edge_pieces(strip, false, lip_mouth, tip, &cuts, &inner_name));
            // The weakest cut of the nose runs from the closed end of the notch straight out.
            let closed = notch.closed_end();
            let out = [-notch.to_mouth[0], -notch.to_mouth[1]];
            let square = [out[1], -out[0]];
            let nose_root = crossing(UPPER.0, NOSE_LEG, &|at: AlongPath| {
                dot(between(closed, strip.outer(at.0, at.1)), square)
            })
            .ok_or_else(missing)?;
            let outer = strip.outer(nose_root.0, nose_root.1);
            nose_root_station = Station {
                stretch: Stretch::NoseRoot,
                inner: closed,
                outer,
                centroid: [0.5 * (closed[0] + outer[0]), 0.5 * (closed[1] + outer[1])],
                along: square,
            };
            outer_cuts.push(nose_root);
        }
        LipOn::Gate => {
            let nose_root = block_end(strip.whole_length() - 4.0 * seats.nose_pin.radius)?;
            cuts.push(nose_root);
            outer_cuts.push(nose_root);
            outside = edge_pieces(strip, false, start, tip, &cuts, &inner_name);
            nose_root_station = station(nose_root, Stretch::NoseRoot);
            lines.extend(circle(seats.nose_pin, false, Stretch::NoseDisc));
        }
    }
    outside.push(Piece {
        curve: Curve::Line { from: strip.inner(tip.0, tip.1), to: strip.outer(tip.0, tip.1) },
        stretch: Stretch::NoseTip,
    });
    outside.extend(reversed(edge_pieces(strip, true, start, tip, &outer_cuts, &outer_name)));
    let outward = seats.leg.outward[1].atan2(seats.leg.outward[0]);
    outside.push(Piece {
        curve: Curve::Arc {
            centre: seats.hinge_pin.centre,
            radius: strip.edges(0, 0.0).1 - 0.5 * (strip.edges(0, 0.0).0 + strip.edges(0, 0.0).1),
            from: outward,
            to: outward + std::f64::consts::PI,
        },
        stretch: Stretch::LugEnd,
    });
    let hole = circle(seats.hinge_hole, true, Stretch::HingeHole);
    let stations = [
        station(spine_mid, Stretch::SpineMid),
        station(upper_mid, Stretch::UpperMid),
        station(lower_mid, Stretch::LowerMid),
        nose_root_station,
        station(hinge_root, Stretch::HingeRoot),
    ];
    lines.extend(
        stations
            .iter()
            .map(|s| Piece { curve: Curve::Line { from: s.inner, to: s.outer }, stretch: s.stretch }),
    );
    Ok((Region { loops: vec![outside, hole], lines }, stations))
}

impl Seats {
    /// Length of the lug block along the centre line, mm: the lug's radius.
    fn hinge_lug_block(&self, strip: &Strip) -> f64 {
        let (inner, outer) = strip.edges(0, 0.0);
        0.5 * (outer - inner)
    }

    /// Moves a point along the leg frame: `along` toward the hinge, `square` out of the window, from the upper corner.
    #[must_use]
    pub fn leg_point(&self, along: f64, square: f64) -> Point {
        add(add(self.leg.upper_corner, along, self.leg.down), square, self.leg.outward)
    }
}
