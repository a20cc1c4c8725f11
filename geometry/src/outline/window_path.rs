//! The inner edge of the frame: the rounded window, from the hinge leg down, round the lower bar, up the spine, round
//! the upper bar and down to the nose. Travelling that way the material lies on the left.

use super::corner::Corner;
use super::error::{OutlineError, WindowSide};
use crate::connector::Window;
use crate::curve::{Curve, Point};

/// Corners of the window before rounding: upper spine, upper gate, lower gate, lower spine.
#[must_use]
pub fn window_corners(window: &Window) -> [Point; 4] {
    let spine = -0.25 * (window.upper_width_mm + window.lower_width_mm);
    let half = 0.5 * window.inside_length_mm;
    let upper = |x: f64| [x, half + window.upper_slope_deg.to_radians().tan() * x];
    let lower = |x: f64| [x, -half + window.lower_slope_deg.to_radians().tan() * x];
    [upper(spine), upper(spine + window.upper_width_mm), lower(spine + window.lower_width_mm), lower(spine)]
}

/// A stretch of the inner edge: a line or the arc of one corner.
#[derive(Clone, Debug)]
pub struct PathSegment {
    /// Its shape.
    pub curve: Curve,
    /// Which part of the frame it bounds.
    pub part: PathPart,
}

/// The parts of the frame along the inner edge, in order of travel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PathPart {
    /// The leg that carries the hinge.
    HingeLeg,
    /// Corner between that leg and the lower bar.
    LowerGateCorner,
    /// The lower bar.
    LowerBar,
    /// Corner between lower bar and spine.
    LowerSpineCorner,
    /// The spine.
    Spine,
    /// Corner between spine and upper bar.
    UpperSpineCorner,
    /// The upper bar.
    UpperBar,
    /// Corner between the upper bar and the nose leg.
    UpperGateCorner,
    /// The leg that carries the nose.
    NoseLeg,
}

fn unit(from: Point, to: Point) -> Point {
    let [x, y] = [to[0] - from[0], to[1] - from[1]];
    let length = x.hypot(y);
    [x / length, y / length]
}

/// The inner edge laid out: what its rounding takes of each side is not yet judged.
struct LaidOut {
    /// The ends of the five straight sides before rounding, in order of travel.
    ends: [Point; 6],
    /// What each corner's arc takes of the sides beside it, mm.
    tangent: [f64; 4],
    /// The arcs: lower gate, lower spine, upper spine, upper gate.
    arcs: [Curve; 4],
}

impl LaidOut {
    fn new(window: &Window, hinge_mm: f64, tip_mm: f64) -> Result<Self, Vec<OutlineError>> {
        let [upper_spine, upper_gate, lower_gate, lower_spine] = window_corners(window);
        let down = unit(upper_gate, lower_gate);
        // Order of travel: each corner with the side before it and the side after it.
        let start = [lower_gate[0] - hinge_mm * down[0], lower_gate[1] - hinge_mm * down[1]];
        let end = [upper_gate[0] + tip_mm * down[0], upper_gate[1] + tip_mm * down[1]];
        let corners = [lower_gate, lower_spine, upper_spine, upper_gate];
        let radii = [2, 3, 0, 1].map(|i: usize| window.corner_radius_mm[i]);
        let names = [Corner::LowerGate, Corner::LowerSpine, Corner::UpperSpine, Corner::UpperGate];
        let ends = [start, lower_gate, lower_spine, upper_spine, upper_gate, end];

        let mut errors = Vec::new();
        let mut tangent = [0.0; 4];
        let arcs = std::array::from_fn(|i| {
            let before = unit(ends[i], corners[i]);
            let after = unit(corners[i], ends[i + 2]);
            let cosine = before[0] * after[0] + before[1] * after[1];
            let turn = cosine.clamp(-1.0, 1.0).acos();
            if !(0.17..=2.97).contains(&turn) {
                errors.push(OutlineError::CornerTurn { corner: names[i], turn_deg: turn.to_degrees() });
            }
            tangent[i] = radii[i] * (0.5 * turn).tan();
            let touch = [corners[i][0] - tangent[i] * before[0], corners[i][1] - tangent[i] * before[1]];
            // The path turns right, so the centre lies on the right of the side before.
            let centre = [touch[0] + radii[i] * before[1], touch[1] - radii[i] * before[0]];
            let from = (touch[1] - centre[1]).atan2(touch[0] - centre[0]);
            Curve::Arc { centre, radius: radii[i], from, to: from - turn }
        });
        if errors.is_empty() { Ok(Self { ends, tangent, arcs }) } else { Err(errors) }
    }

    /// Every radius that does not fit its sides, and legs that start inside a corner arc.
    fn misfits(&self) -> Vec<OutlineError> {
        let Self { ends, tangent, .. } = self;
        let mut errors = Vec::new();
        let sides = [
            WindowSide::GateAtHinge,
            WindowSide::LowerEnd,
            WindowSide::Spine,
            WindowSide::UpperEnd,
            WindowSide::GateAtNose,
        ];
        for i in 0..5 {
            let length = (ends[i + 1][0] - ends[i][0]).hypot(ends[i + 1][1] - ends[i][1]);
            let needed = if i > 0 { tangent[i - 1] } else { 0.0 } + if i < 4 { tangent[i] } else { 0.0 };
            if needed > length + 1e-9 {
                errors.push(OutlineError::RadiiDoNotFit {
                    side: sides[i],
                    length_mm: length,
                    needed_mm: needed,
                });
            }
        }
        errors
    }

    fn path(&self) -> [PathSegment; 9] {
        let Self { ends: [start, .., end], arcs, .. } = self;
        let point = |i: usize, t: f64| arcs[i].point(t);
        let line = |from, to, part| PathSegment { curve: Curve::Line { from, to }, part };
        let arc = |i: usize, part| PathSegment { curve: arcs[i].clone(), part };
        [
            line(*start, point(0, 0.0), PathPart::HingeLeg),
            arc(0, PathPart::LowerGateCorner),
            line(point(0, 1.0), point(1, 0.0), PathPart::LowerBar),
            arc(1, PathPart::LowerSpineCorner),
            line(point(1, 1.0), point(2, 0.0), PathPart::Spine),
            arc(2, PathPart::UpperSpineCorner),
            line(point(2, 1.0), point(3, 0.0), PathPart::UpperBar),
            arc(3, PathPart::UpperGateCorner),
            line(point(3, 1.0), *end, PathPart::NoseLeg),
        ]
    }
}

/// The rounded inner edge. `hinge_mm` and `tip_mm` are where it starts and ends along the gate side: above the lower,
/// below the upper gate corner.
///
/// # Errors
/// Every radius that does not fit its sides, and legs that start inside a corner arc.
pub fn inner_path(
    window: &Window,
    hinge_mm: f64,
    tip_mm: f64,
) -> Result<[PathSegment; 9], Vec<OutlineError>> {
    let laid_out = LaidOut::new(window, hinge_mm, tip_mm)?;
    let misfits = laid_out.misfits();
    if misfits.is_empty() { Ok(laid_out.path()) } else { Err(misfits) }
}

/// The same where arcs may take more of a side than there is: a step on the way to a window that fits. `None` where corners
/// turn by next to nothing, or back.
pub(crate) fn loose_path(window: &Window, hinge_mm: f64, tip_mm: f64) -> Option<[PathSegment; 9]> {
    LaidOut::new(window, hinge_mm, tip_mm).ok().map(|laid_out| laid_out.path())
}
