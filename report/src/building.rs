//! Why a connector cannot be drawn, meshed or pulled, each mistake after the key of the model that it is told beside.

use geometry::mesh::MeshError;
use geometry::outline::OutlineError;
use geometry::region::Stretch;
use solver::response::RigError;
use solver::system::SystemError;
use study::CaseError;
use study::model::key_of::{of_crossing, of_outline, of_rig};

/// Two curves of an outline that run into each other, with the keys that move them.
fn crossing(body: &str, between: [Stretch; 2], near: [f64; 2]) -> String {
    let [first, second] = between;
    format!(
        "the {body}: found {first} and {second} running into each other near ({:.1}, {:.1}) mm; allowed: edges and cuts that keep \
         apart\n  hint: they are moved by {}",
        near[0],
        near[1],
        of_crossing(between).join(", ")
    )
}

/// Why a system could not be built, each mistake of the outline after its key.
#[must_use]
pub fn system(error: &SystemError) -> String {
    let errors = match error {
        SystemError::Outline(errors) => errors,
        SystemError::Mesh { body, reason: MeshError::Crossing { first, second, near } } => {
            return crossing(body, [*first, *second], *near);
        }
        _ => return error.to_string(),
    };
    let told = |error: &OutlineError| {
        let hint = match error {
            OutlineError::NotchMissesTheEdge => {
                "\n  hint: nose.flank_angle_deg turns the flanks, nose.notch_depth_mm makes them longer"
            }
            _ => "",
        };
        format!("{}: {error}{hint}", of_outline(error))
    };
    let all: Vec<String> = errors.iter().map(told).collect();
    all.join("\n")
}

/// Why a case cannot be solved, each mistake after its key.
#[must_use]
pub fn case(error: &CaseError) -> String {
    match error {
        CaseError::System(reason) => system(reason),
        CaseError::Rig(reason) => rig(reason),
        CaseError::Stopped => "called off".to_owned(),
    }
}

/// Why a rig cannot be pulled, after its key.
#[must_use]
pub fn rig(error: &RigError) -> String {
    match of_rig(error) {
        Some(key) => format!("{key}: {error}"),
        None => error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mistakes_are_told_after_their_key() {
        let errors = vec![OutlineError::Engagement { engaged_mm: 9.0, least_mm: 1.0, most_mm: 4.0 }];
        assert_eq!(
            system(&SystemError::Outline(errors)),
            "rig.engaged_mm: found 9.00 mm; allowed: 1.00 to 4.00 mm in this notch"
        );
        let crossing =
            MeshError::Crossing { first: Stretch::UpperMid, second: Stretch::NoseRoot, near: [0.0, 44.5] };
        assert_eq!(
            system(&SystemError::Mesh { body: "frame", reason: crossing }),
            "the frame: found cut across the upper bar and root of the nose running into each other near (0.0, 44.5) mm; \
             allowed: edges and cuts that keep apart\n  hint: they are moved by nose.flank_angle_deg, nose.notch_depth_mm, \
             nose.lip_height_mm, nose.tip_mm, window.upper_width_mm, window.upper_slope_deg"
        );
        let told = system(&SystemError::Outline(vec![OutlineError::NotchMissesTheEdge]));
        assert!(
            told.starts_with("nose.tip_mm: found ") && told.contains("hint: nose.flank_angle_deg"),
            "{told}"
        );
        assert!(rig(&RigError::Load { load_kn: 0.0 }).starts_with("rig.load_kn: found 0 kN; allowed: "));
    }
}
