//! What the mesher is given: closed loops of named curve pieces, and lines inside that elements must follow.

use crate::curve::Curve;
use serde::Serialize;

/// The name of a stretch of outline, or of a line inside a body.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stretch {
    /// Inner edge of the spine.
    SpineInner,
    /// Outer edge of the spine.
    SpineOuter,
    /// Inner edge of the upper bar, where the upper load sits, corner arcs included.
    UpperInner,
    /// Outer edge of the upper bar.
    UpperOuter,
    /// Inner edge of the lower bar, corner arcs included.
    LowerInner,
    /// Outer edge of the lower bar.
    LowerOuter,
    /// Inner edge of the leg that carries the nose.
    NoseInner,
    /// Outer edge of the leg that carries the nose.
    NoseOuter,
    /// The tip of the nose.
    NoseTip,
    /// Flank of the notch on the lip.
    LipFlank,
    /// Round end of the notch.
    NotchEnd,
    /// Flank of the notch opposite the lip.
    BackFlank,
    /// Inner edge of the leg that carries the hinge.
    LugInner,
    /// Outer edge of the leg that carries the hinge.
    LugOuter,
    /// Round end of the lug.
    LugEnd,
    /// The hinge hole.
    HingeHole,
    /// Edge of the gate.
    GateEdge,
    /// Circle of the nose pin or head inside the body that carries it.
    NoseDisc,
    /// Circle of the hinge pin inside the gate.
    HingeDisc,
    /// Cut across the spine at mid height.
    SpineMid,
    /// Cut across the upper bar at mid width.
    UpperMid,
    /// Cut across the lower bar at mid width.
    LowerMid,
    /// Cut across the leg where the nose block ends.
    NoseRoot,
    /// Cut across the leg where the lug block ends.
    HingeRoot,
    /// Cut across the gate at mid length.
    GateMid,
    /// A stretch of a problem that is not a connector (verification).
    Side(u16),
}

/// One piece of outline or inner line.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Its shape.
    pub curve: Curve,
    /// Its name.
    pub stretch: Stretch,
}

/// A body in the plane. The first loop is the outside, counter-clockwise; the others are holes, clockwise: material is
/// always on the left. Consecutive pieces of a loop meet end to start, to 1e-9 mm.
#[derive(Clone, Debug, Default)]
pub struct Region {
    /// Closed loops.
    pub loops: Vec<Vec<Piece>>,
    /// Lines inside the material, each ending on loop-piece ends, on other lines' ends, or closed in itself.
    pub lines: Vec<Piece>,
}

impl Region {
    /// The loops as closed polygons, for drawing: arcs and paths in steps of about three degrees or a 48th.
    #[must_use]
    pub fn polygons(&self) -> Vec<Vec<crate::curve::Point>> {
        let steps = |curve: &Curve| match curve {
            Curve::Line { .. } => 1,
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a turn has at most a few hundred steps of three degrees"
            )]
            Curve::Arc { from, to, .. } => ((to - from).abs().to_degrees() / 3.0).ceil().max(1.0) as u32,
            Curve::Path(_) => 48,
        };
        self.loops
            .iter()
            .map(|pieces| {
                pieces
                    .iter()
                    .flat_map(|piece| {
                        let n = steps(&piece.curve);
                        (0..n).map(move |i| piece.curve.point(f64::from(i) / f64::from(n)))
                    })
                    .collect()
            })
            .collect()
    }
}
