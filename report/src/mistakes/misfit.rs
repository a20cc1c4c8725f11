//! Numbers that do not fit each other: what was found, what is allowed, and what follows from the other numbers.

use crate::numbers::{plain, typed};
use crate::quantities::range_in_words;
use crate::reason::Reason;
use geometry::connector::LipOn;
use study::model::misfit::{Least, LoaderKind, Misfit, Most, Side};

/// What was found and what is allowed.
pub(super) fn misfit(misfit: &Misfit) -> Reason {
    let (found, allowed) = found_and_allowed(misfit);
    Reason::Found { found, allowed }
}

fn found_and_allowed(misfit: &Misfit) -> (String, String) {
    match *misfit {
        Misfit::OverMost { found_mm, most_mm, reason } => {
            (mm(found_mm), format!("at most {}, {}", mm(most_mm), most(reason)))
        }
        Misfit::UnderLeast { found_mm, least_mm, reason } => {
            (mm(found_mm), format!("at least {}, {}", mm(least_mm), least(reason)))
        }
        Misfit::Radii { radii_mm: [first, second], take_mm, side: of, length_mm } => (
            format!(
                "radii {} and {}, which take {} of the {}",
                plain(first),
                mm(second),
                mm(take_mm),
                side(of)
            ),
            format!("at most its length, {}", mm(length_mm)),
        ),
        Misfit::EndsMeet { left_mm } => (
            format!("slopes that leave {} of the window's length", mm(left_mm)),
            "ends that do not meet".to_owned(),
        ),
        Misfit::HingeWall { found_mm, least_mm, .. } => {
            (format!("{} of metal beside the hinge hole", mm(found_mm)), format!("at least {}", mm(least_mm)))
        }
        Misfit::NoGate { between_mm, .. } => (
            format!("{} between the nose and the lug of the hinge", mm(between_mm)),
            "more than 0 mm".to_owned(),
        ),
        Misfit::NoneReads { found_mm, possible_mm } => (
            mm(found_mm),
            match possible_mm {
                Some([low, high]) => {
                    format!("{} to {}, everything else as it is", typed(low), mm_typed(high))
                }
                None => "a connector that can be drawn, which the other values do not give".to_owned(),
            },
        ),
        Misfit::LoaderTooWide { kind, size_mm, room_mm: [from, to] } => (
            format!("{} of {}", loader(kind), mm(size_mm)),
            format!("at most {} ({})", mm(to - from), room([from, to])),
        ),
        Misfit::LoaderOutside { kind, lies_mm: [low, high], room_mm, .. } => {
            (format!("{} from {} to {}", loader(kind), plain(low), mm(high)), room(room_mm))
        }
        Misfit::OverUltimate { found_mpa, ultimate_mpa } => (
            format!("{} MPa", plain(found_mpa)),
            format!("at most the ultimate strength, {} MPa", plain(ultimate_mpa)),
        ),
        Misfit::RangeLeaves { middle, more, allowed, dimension } => {
            let ends = range_in_words([middle - more, middle + more], dimension);
            (
                format!("{} plus or minus {}, that is {ends}", plain(middle), plain(more)),
                range_in_words(allowed, dimension),
            )
        }
        Misfit::RangeReversed { first, second } => {
            (format!("{} to {}", plain(first), plain(second)), "the smaller number first".to_owned())
        }
    }
}

/// What was found in a range that was written: its ends are judged as they are, all else at its middle.
pub(super) fn in_range(misfit: &Misfit, found: &str, written: &str) -> String {
    match *misfit {
        Misfit::RangeLeaves { middle, more, dimension, .. } => {
            format!("{written}, that is {}", range_in_words([middle - more, middle + more], dimension))
        }
        Misfit::RangeReversed { .. } => written.to_owned(),
        Misfit::LoaderOutside { .. } => format!("{found}, at the middle of {written}"),
        Misfit::OverMost { .. }
        | Misfit::UnderLeast { .. }
        | Misfit::NoneReads { .. }
        | Misfit::LoaderTooWide { .. }
        | Misfit::OverUltimate { .. } => format!("{found}, the middle of {written}"),
        // What is told there follows from several numbers.
        Misfit::Radii { .. } | Misfit::EndsMeet { .. } | Misfit::HingeWall { .. } | Misfit::NoGate { .. } => {
            found.to_owned()
        }
    }
}

/// What follows from the other numbers, where it helps.
pub(super) fn hint(misfit: &Misfit) -> Option<String> {
    match *misfit {
        Misfit::OverMost { reason: Most::OvalDepth, .. } => {
            Some("a bar that is broader than deep is nearest to shape = \"rectangle\"".to_owned())
        }
        Misfit::UnderLeast { reason: Least::TipPastCorner, .. } => {
            Some("tip_mm runs from the sharp corner, as if the upper inner edge went on straight".to_owned())
        }
        Misfit::UnderLeast { reason: Least::PinOnStraight, .. } => Some(
            "height_mm runs from the sharp corner, as if the lower inner edge went on straight".to_owned(),
        ),
        Misfit::HingeWall { hole_radius_mm, lug_radius_mm, half_leg_mm, .. } => Some(format!(
            "the hole has a radius of {}; the lug {}, half the leg {}",
            mm(hole_radius_mm),
            mm(lug_radius_mm),
            mm(half_leg_mm)
        )),
        Misfit::NoGate { side_mm, .. } => Some(format!("the gate side is {} long", mm(side_mm))),
        Misfit::LoaderOutside { kind, size_mm, room_mm: [from, to], .. } => {
            let half = 0.5 * size_mm;
            Some(format!(
                "its {} of {} leaves offsets of at most {} to {}, and less where corner or notch ask for it",
                kind.size_key(),
                plain(size_mm),
                plain(from + half),
                mm(to - half)
            ))
        }
        _ => None,
    }
}

fn mm_typed(value: f64) -> String {
    format!("{} mm", typed(value))
}

fn mm(value: f64) -> String {
    format!("{} mm", plain(value))
}

fn most(reason: Most) -> String {
    match reason {
        Most::OvalDepth => {
            "the depth of the bar: an oval has flat sides and round inner and outer edges".to_owned()
        }
        Most::WebBetweenFlanges => "so that some web is left between the flanges".to_owned(),
        Most::BarBreadth => "the breadth of the bar".to_owned(),
        Most::BehindNotch { wall_mm, lip_on } => {
            let holder = match lip_on {
                LipOn::Frame => "deep enough a leg: section.upper.depth_mm",
                LipOn::Gate => "wide enough a gate: gate.width_mm",
            };
            format!("so that {} stay behind the notch ({holder})", mm(wall_mm))
        }
        Most::AroundPin { wall_mm } => {
            format!("so that the gate keeps {} around its pin (gate.width_mm)", mm(wall_mm))
        }
        Most::HalfGateBreadth => "half the breadth of the gate".to_owned(),
        Most::NotchDepth => "the depth of the notch".to_owned(),
    }
}

fn least(reason: Least) -> &'static str {
    match reason {
        Least::TipPastCorner => "so that the tip is past the upper gate corner's arc",
        Least::LipAndNotch => "room for the lip and for the notch (pin and twice its clearance)",
        Least::PinOnStraight => "so that the pin is on the straight part of the leg",
    }
}

fn side(side: Side) -> &'static str {
    match side {
        Side::UpperEnd => "upper end",
        Side::Gate => "gate side",
        Side::LowerEnd => "lower end",
        Side::Spine => "spine side",
    }
}

fn loader(kind: LoaderKind) -> &'static str {
    match kind {
        LoaderKind::Strap => "a strap",
        LoaderKind::Bar => "a bench bar",
    }
}

fn room([from, to]: [f64; 2]) -> String {
    format!("{} to {} across the window here", plain(from), mm(to))
}
