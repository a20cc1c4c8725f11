//! Outlines that cannot be meshed: what was found, and on which stretch of the outline.

use super::{Mistake, plane};
use crate::reason::Reason;
use geometry::mesh::MeshError;
use geometry::region::Stretch;
use solver::system::{Side, SystemError, Unresolved};
use std::borrow::Cow;
use study::model::key_of::of_crossing;

/// The name of a stretch of an outline, or of an inner cut.
fn stretch(stretch: Stretch) -> Cow<'static, str> {
    Cow::Borrowed(match stretch {
        Stretch::SpineInner => "inner edge of the spine",
        Stretch::SpineOuter => "outer edge of the spine",
        Stretch::UpperInner => "inner edge of the upper bar",
        Stretch::UpperOuter => "outer edge of the upper bar",
        Stretch::LowerInner => "inner edge of the lower bar",
        Stretch::LowerOuter => "outer edge of the lower bar",
        Stretch::NoseInner => "inner edge of the nose's leg",
        Stretch::NoseOuter => "outer edge of the nose's leg",
        Stretch::NoseTip => "tip of the nose",
        Stretch::LipFlank => "flank of the notch on the lip",
        Stretch::NotchEnd => "round end of the notch",
        Stretch::BackFlank => "flank of the notch opposite the lip",
        Stretch::LugInner => "inner edge of the hinge's leg",
        Stretch::LugOuter => "outer edge of the hinge's leg",
        Stretch::LugEnd => "round end of the lug",
        Stretch::HingeHole => "hinge hole",
        Stretch::GateEdge => "edge of the gate",
        Stretch::NoseDisc => "nose pin",
        Stretch::HingeDisc => "hinge pin",
        Stretch::SpineMid => "cut across the spine",
        Stretch::UpperMid => "cut across the upper bar",
        Stretch::LowerMid => "cut across the lower bar",
        Stretch::NoseRoot => "root of the nose",
        Stretch::HingeRoot => "root of the lug",
        Stretch::GateMid => "cut across the gate",
        Stretch::Side(number) => return Cow::Owned(format!("side {number}")),
    })
}

/// "near (1.2, 44.5) mm".
fn near([x, y]: [f64; 2]) -> String {
    format!("near ({x:.4}, {y:.4}) mm")
}

const fn body(body: Side) -> &'static str {
    match body {
        Side::Frame => "frame",
        Side::Gate => "gate",
    }
}

/// Two curves of an outline that run into each other, with the keys that move them.
fn crossing(of: Side, between: [Stretch; 2], [x, y]: [f64; 2]) -> Mistake {
    let [first, second] = between.map(stretch);
    let reason = Reason::FoundIn {
        what: format!("the {}", body(of)),
        found: format!("{first} and {second} running into each other near ({x:.1}, {y:.1}) mm"),
        allowed: "edges and cuts that keep apart".to_owned(),
    };
    Mistake {
        key: None,
        reason,
        hint: Some(format!("they are moved by {}", of_crossing(between).join(", "))),
    }
}

/// Why there is no mesh, in words that name no body.
fn words(error: &MeshError) -> String {
    match error {
        MeshError::Empty => "the region has no outline".to_owned(),
        MeshError::NotFinite { stretch: of } => {
            format!("{}: the curve has a point that is not finite", stretch(*of))
        }
        MeshError::NoLength { stretch: of, near: at } => {
            format!("{} {}: the piece has no length", stretch(*of), near(*at))
        }
        MeshError::Open { stretch: of, near: [x, y], gap_mm } => format!(
            "{} ends at ({x:.4}, {y:.4}) mm, {gap_mm} mm from the start of the next piece (allowed: 1e-5 mm)",
            stretch(*of)
        ),
        MeshError::Crossing { first, second, near: at } => {
            format!("{} and {} cross or touch {}", stretch(*first), stretch(*second), near(*at))
        }
        MeshError::WrongSide { stretch: of, near: at } => {
            format!("{} {}: the material is not on the left of the loop only", stretch(*of), near(*at))
        }
        MeshError::BadSize { near: at, size_mm } => {
            format!("wanted size {size_mm} mm {}: must be positive and finite", near(*at))
        }
        MeshError::TooManyPoints { limit } => format!("the wanted size needs more than {limit} points"),
        MeshError::Folded { stretch: of, near: at } => format!(
            "{} {}: a triangle folds on the curve; ask for a smaller size there",
            stretch(*of),
            near(*at)
        ),
        MeshError::OutOfRange => "coordinates are too large, or points coincide".to_owned(),
        MeshError::LostChord { stretch: of, near: at } => {
            format!("{} {}: the edge was lost in the triangulation", stretch(*of), near(*at))
        }
    }
}

/// Why a system without mistakes in its outline could not be built; `None` where its outline has some.
pub(super) fn mistake(error: &SystemError) -> Option<Mistake> {
    Some(match error {
        SystemError::Outline(_) => return None,
        SystemError::Mesh { body: of, reason: MeshError::Crossing { first, second, near } } => {
            crossing(*of, [*first, *second], *near)
        }
        SystemError::Mesh { body: of, reason } => {
            let says = format!("the {} could not be meshed: {}", body(*of), words(reason));
            Mistake::plain(None, Reason::Whole(says))
        }
        SystemError::Body { body: of, reason } => {
            let says = format!("the {} could not be assembled: {}", body(*of), plane::words(reason));
            Mistake::plain(None, Reason::Whole(says))
        }
        SystemError::TooCoarse { what } => {
            let what = match what {
                Unresolved::Connector => "connector",
                Unresolved::NosePin => "nose pin",
                Unresolved::HingePin => "hinge pin",
            };
            Mistake {
                key: None,
                reason: Reason::Whole(format!("the mesh is too coarse for the {what}")),
                hint: Some("use a smaller mesh size".to_owned()),
            }
        }
    })
}
