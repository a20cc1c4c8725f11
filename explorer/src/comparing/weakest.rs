//! Where on the connector the part lies that gives first: comparisons and stills ring the same place.

use super::cases::Case;
use geometry::curve::Point;
use solver::load_words::kilonewtons;
use solver::strength::Limits;
use viz::Weakest;

/// The part that gives first, with its place and its load.
#[must_use]
pub fn weakest(case: &Case) -> Weakest {
    let Limits { gives_first, gives_at_kn, .. } = &case.limits;
    let part = gives_first.split(", ").next().unwrap_or(gives_first).to_owned();
    Weakest { at: place(case), part, load: kilonewtons(*gives_at_kn).replace(' ', "\u{a0}") }
}

/// The middle of a part that is named in words.
fn place(case: &Case) -> Point {
    let system = &case.solved.system;
    let (seats, what) = (&system.outline.seats, case.limits.gives_first.as_str());
    let (nose, hinge) = (seats.nose_pin.centre, seats.hinge_pin.centre);
    let has = |word: &str| what.contains(word);
    match what {
        "upper strap" => case.solved.response.axis.upper,
        "lower strap" => case.solved.response.axis.lower,
        "root of the nose" => system.outline.frame_stations[3].centroid,
        _ if what.starts_with("frame") => case.limits.tears_at.as_deref().map_or(nose, |at| tear(case, at)),
        _ if has("hinge") || has("ear") => hinge,
        "gate behind its notch" => nose,
        "lip of the notch" | "flank of the notch" => {
            let notch = &seats.notch;
            [0, 1].map(|k| notch.end.centre[k] - notch.end.radius * notch.from_lip[k])
        }
        _ if has("nose") || has("notch") || has("lip") => nose,
        _ => [0.5 * (nose[0] + hinge[0]), 0.5 * (nose[1] + hinge[1])],
    }
}

/// The middle of the stretch of outline that these words name.
fn tear(case: &Case, words: &str) -> Point {
    let outline = &case.solved.system.outline;
    let mesh = case.solved.system.frame.body.mesh();
    // "beside a corner" stands for either; one of them is marked.
    let words = words.replace("beside a corner", "beside the lower corner");
    let named: Vec<Point> = mesh
        .boundary
        .iter()
        .map(|edge| mesh.points[edge.nodes[2] as usize])
        .filter(|p| outline.frame_place(*p) == words)
        .collect();
    let n = named.len().max(1) as f64;
    let middle = named.iter().fold([0.0; 2], |sum, p| [sum[0] + p[0] / n, sum[1] + p[1] / n]);
    let away = |p: &Point| (p[0] - middle[0]).hypot(p[1] - middle[1]);
    let nearest = named.iter().copied().min_by(|a, b| away(a).total_cmp(&away(b)));
    nearest.unwrap_or(outline.frame_stations[0].inner)
}
