//! Where on the connector the part lies that fails first: comparisons and stills ring the same place.

use super::cases::Case;
use geometry::curve::Point;
use report::numbers::kilonewtons;
use solver::part_words::part_alone;
use solver::strength::Limits;
use viz::Weakest;

/// The part that fails first, with its place and its load.
#[must_use]
pub fn weakest(case: &Case) -> Weakest {
    let Limits { fails_first, fails_at_kn, .. } = &case.limits;
    let part = part_alone(fails_first).to_owned();
    let load = kilonewtons(*fails_at_kn).replace(' ', "\u{a0}");
    Weakest { at: place(case), part, load, does: report::pictures::FAILS_FIRST.to_owned() }
}

/// The middle of a part that is named in words.
fn place(case: &Case) -> Point {
    let system = &case.solved.system;
    let (seats, what) = (&system.outline.seats, case.limits.fails_first.as_str());
    let (nose, hinge) = (seats.nose_pin.centre, seats.hinge_pin.centre);
    let has = |word: &str| what.contains(word);
    match what {
        "upper strap" => case.solved.response.axis.upper,
        "lower strap" => case.solved.response.axis.lower,
        "root of the nose" => system.outline.frame_stations[3].centroid,
        _ if what.starts_with("frame") => case.limits.tears_point_mm.unwrap_or(nose),
        _ if has("hinge") || has("lug") => hinge,
        "gate behind its notch" => nose,
        "lip of the notch" | "flank of the notch" => {
            let notch = &seats.notch;
            [0, 1].map(|k| notch.end.centre[k] - notch.end.radius * notch.from_lip[k])
        }
        _ if has("nose") || has("notch") || has("lip") => nose,
        _ => [0.5 * (nose[0] + hinge[0]), 0.5 * (nose[1] + hinge[1])],
    }
}
